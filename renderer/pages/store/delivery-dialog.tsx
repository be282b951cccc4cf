import { Button, Checkbox, TextInput } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import type { Product } from '../../../shared/contract/products.ts';
import { count, figure, productName, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { useProducts } from './product-pick.tsx';
import { size } from './stock-words.ts';
import { StorePick } from './store-pick.tsx';

type Props = {
	readonly opened: boolean;
	readonly productId: string | undefined;
	readonly storeId: string | null;
	readonly onClose: () => void;
};

/** Books a delivery note with all its lines at once. */
export function DeliveryDialog({ opened, ...rest }: Props) {
	return (
		<Dialog title="Book a delivery" opened={opened} onClose={rest.onClose} size="widest">
			<DeliveryForm {...rest} />
		</Dialog>
	);
}

type Draft = {
	readonly id: number;
	readonly productId: string | null;
	readonly packSize: number | null;
	readonly packs: number | null;
	readonly batch: string;
	readonly expires: string | null;
	readonly price: number | null;
};

type Line = { productId: string; packSize: number; packs: number; batch?: string; expires?: string; price?: number };

function DeliveryForm({ productId, storeId: first, onClose }: Omit<Props, 'opened'>) {
	const products = useProducts();
	const nextId = useRef(1);
	const newLine = (chosen: string | null): Draft => ({
		...{ id: nextId.current++, productId: chosen, packSize: null, packs: null, batch: '', expires: null, price: null },
	});
	const [drafts, setDrafts] = useState<readonly Draft[]>(() => [newLine(productId ?? null)]);
	const [date, setDate] = useState<string | null>(today());
	const [note, setNote] = useState('');
	const [other, setOther] = useState(false);
	const [by, setBy] = useState(useUsualOperator());
	const [storeId, setStoreId] = useState<string | null>(first);
	const receive = useCommand(
		(api, lines: Line[], key) =>
			api.store.receiveDelivery({
				key,
				lines,
				by,
				otherDelivery: other,
				...(storeId ? { storeId } : {}),
				...(date ? { date } : {}),
				...(note.trim() ? { note } : {}),
			}),
		onClose,
	);
	const change = (id: number, to: Partial<Draft>) =>
		setDrafts(drafts.map((draft) => (draft.id === id ? { ...draft, ...to } : draft)));
	const lines = drafts.flatMap((draft) => lineOf(draft, products));
	const cost = drafts.reduce((sum, { price }) => sum + (price ?? 0), 0);

	return (
		<EntryForm
			command={receive}
			onSubmit={() => receive.run(lines)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={receive.busy} disabled={lines.length !== drafts.length}>
						{lines.length === 0
							? 'Book it'
							: `Book ${count(lines.length, 'line')}${cost > 0 ? `, ${figure(cost, 2)}` : ''}`}
					</Button>
				</>
			}
		>
			<div className="pair">
				<TextInput
					label="Delivery note"
					maxLength={120}
					data-autofocus
					value={note}
					onChange={(event) => setNote(event.currentTarget.value)}
				/>
				<DateInput label="Delivered on" value={date} onChange={setDate} max={today()} required />
				<ByInput value={by} onChange={setBy} label="Received by" />
				<StorePick label="Into" value={storeId} onChange={setStoreId} />
			</div>
			<div className="stack tight">
				{drafts.map((draft) => (
					<DeliveryLine
						key={draft.id}
						draft={draft}
						products={products}
						onChange={(to) => change(draft.id, to)}
						onTakeOff={drafts.length > 1 ? () => setDrafts(drafts.filter(({ id }) => id !== draft.id)) : undefined}
					/>
				))}
				<div>
					<Button variant="default" size="xs" onClick={() => setDrafts([...drafts, newLine(null)])}>
						Another line
					</Button>
				</div>
			</div>
			{receive.problem?.code === 'delivery.noteTwice' && (
				<Checkbox
					label="It is another delivery with the same number"
					checked={other}
					onChange={(event) => setOther(event.currentTarget.checked)}
				/>
			)}
		</EntryForm>
	);
}

function DeliveryLine(props: {
	readonly draft: Draft;
	readonly products: readonly Product[];
	readonly onChange: (to: Partial<Draft>) => void;
	readonly onTakeOff: (() => void) | undefined;
}) {
	const farmUnits = useUnits();
	const { draft, products, onChange } = props;
	const product = products.find(({ id }) => id === draft.productId);
	const packSize = draft.packSize ?? product?.packSizes[0] ?? null;
	const frame = useRef<HTMLDivElement>(null);
	useEffect(() => {
		if (draft.id > 1) frame.current?.querySelector('input')?.focus();
	}, [draft.id]);
	return (
		<div className="delivery-line" ref={frame}>
			<Pick
				label="Product"
				required
				options={products.map(({ id, name, formulation }) => ({ value: id, label: productName(name, formulation) }))}
				value={draft.productId}
				onChange={(id) => onChange({ productId: id, packSize: null })}
				nothingFound="No such product on the books"
			/>
			<Pick
				label="Pack"
				required
				options={(product?.packSizes ?? []).map((each) => ({
					value: String(each),
					label: farmUnits.say(`${size(each)} ${product?.unit ?? ''}`),
				}))}
				value={packSize === null ? null : String(packSize)}
				onChange={(chosen) => onChange({ packSize: Number(chosen) })}
			/>
			<QuantityInput
				label="Packs"
				required
				whole
				min={1}
				max={100_000}
				value={draft.packs}
				onChange={(packs) => onChange({ packs })}
			/>
			<TextInput
				label="Batch"
				maxLength={60}
				value={draft.batch}
				onChange={(event) => onChange({ batch: event.currentTarget.value })}
			/>
			<DateInput label="Use by" value={draft.expires} onChange={(expires) => onChange({ expires })} />
			<QuantityInput label="Price" min={0} value={draft.price} onChange={(price) => onChange({ price })} />
			<span className="line-sum">
				{product && packSize !== null && draft.packs !== null && farmUnits.amount(draft.packs * packSize, product.unit)}
				{props.onTakeOff && (
					<Button
						variant="subtle"
						size="xs"
						aria-label={`Take off ${product?.name ?? 'this line'}`}
						onClick={props.onTakeOff}
					>
						Take off
					</Button>
				)}
			</span>
		</div>
	);
}

/** A line that is complete; none while something is missing. */
function lineOf(draft: Draft, products: readonly Product[]): Line[] {
	const product = products.find(({ id }) => id === draft.productId);
	const packSize = draft.packSize ?? product?.packSizes[0];
	if (!product || packSize === undefined || draft.packs === null) return [];
	const line: Line = { productId: product.id, packSize, packs: draft.packs };
	if (draft.batch.trim()) line.batch = draft.batch;
	if (draft.expires) line.expires = draft.expires;
	if (draft.price !== null) line.price = draft.price;
	return [line];
}
