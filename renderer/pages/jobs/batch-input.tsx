import { TextInput } from '@mantine/core';
import { useId } from 'react';
import { useProcedure } from '../../use-procedure.ts';

/** The batch, or batches in their order, a product was poured from. Empty: those the plan named. */
export function BatchInput(props: {
	readonly productId: string;
	readonly product: string;
	/** What the plan named; it is drawn where nothing is entered. */
	readonly named: readonly string[];
	readonly value: string;
	readonly onChange: (text: string) => void;
}) {
	const list = useId();
	const stock = useProcedure(['store', 'on hand'], (api) => api.store.onHand({}));
	const batches = stock.answer?.find(({ productId }) => productId === props.productId)?.batches ?? [];
	return (
		<>
			<TextInput
				label={<span className="visually-hidden">Batches of {props.product}</span>}
				placeholder={props.named.length > 0 ? `batch ${props.named.join(', ')}` : 'batch'}
				autoComplete="off"
				spellCheck={false}
				maxLength={200}
				list={list}
				value={props.value}
				onChange={(event) => props.onChange(event.currentTarget.value)}
			/>
			<datalist id={list}>
				{batches.map(({ batch }) => (
					<option key={batch} value={batch} />
				))}
			</datalist>
		</>
	);
}
