import { TextInput } from '@mantine/core';
import { useId } from 'react';
import { useProcedure } from '../../use-procedure.ts';

/** The batch, or batches in their order, a product was poured from. Empty: the one that expires first. */
export function BatchInput(props: {
	readonly productId: string;
	readonly product: string;
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
				placeholder={batches[0] ? `batch ${batches[0].batch}` : 'batch'}
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
