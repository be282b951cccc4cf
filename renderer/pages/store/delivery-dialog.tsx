import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { amount, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand } from '../../use-procedure.ts';
import { ProductPick, useProducts } from './product-pick.tsx';
import { size } from './stock-words.ts';

type Props = { readonly opened: boolean; readonly productId: string | undefined; readonly onClose: () => void };

/** Books a delivery line by line; date and delivery note stay for the next line. */
export function DeliveryDialog({ opened, productId, onClose }: Props) {
	return (
		<Dialog title="Book a delivery" opened={opened} onClose={onClose}>
			<DeliveryForm productId={productId} onClose={onClose} />
		</Dialog>
	);
}

type Line = { readonly packSize: number; readonly packs: number; readonly said: string };

function DeliveryForm({ productId, onClose }: Omit<Props, 'opened'>) {
	const products = useProducts();
	const [chosen, setChosen] = useState<string | null>(productId ?? null);
	const [pack, setPack] = useState<string | null>(null);
	const [packs, setPacks] = useState<number | null>(null);
	const [date, setDate] = useState<string | null>(today());
	const [batch, setBatch] = useState('');
	const [expires, setExpires] = useState<string | null>(null);
	const [note, setNote] = useState('');
	const [booked, setBooked] = useState<readonly string[]>([]);
	const product = products.find((each) => each.id === chosen);
	const packSize = Number(pack ?? product?.packSizes[0] ?? Number.NaN);
	const receive = useCommand(
		(api, line: Line, key) =>
			api.store.receive({
				key,
				productId: chosen ?? '',
				packSize: line.packSize,
				packs: line.packs,
				...(date ? { date } : {}),
				...(batch.trim() ? { batch } : {}),
				...(expires ? { expires } : {}),
				...(note.trim() ? { note } : {}),
			}),
		(_, line) => {
			setBooked([...booked, line.said]);
			setPacks(null);
			setBatch('');
			setExpires(null);
		},
	);
	const total = packs !== null && Number.isFinite(packSize) ? packs * packSize : null;

	function submit(): void {
		if (!product || packs === null || total === null) return;
		receive.run({
			packSize,
			packs,
			said: `${product.name}: ${packs} × ${size(packSize)} ${product.unit}, ${amount(total, product.unit)}`,
		});
	}

	return (
		<EntryForm
			command={receive}
			onSubmit={submit}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						{booked.length > 0 ? 'Done' : 'Leave it'}
					</Button>
					<Button type="submit" loading={receive.busy}>
						{total === null || !product ? 'Book it' : `Book ${amount(total, product.unit)}`}
					</Button>
				</>
			}
		>
			{booked.length > 0 && (
				<DoneNotice>
					{booked.map((line) => (
						<div key={line}>{line}</div>
					))}
				</DoneNotice>
			)}
			<ProductPick
				products={products}
				value={chosen}
				onChange={(id) => {
					setChosen(id);
					setPack(null);
				}}
				autoFocus={chosen === null}
			/>
			<div className="pair">
				<Pick
					label="Pack size"
					options={(product?.packSizes ?? []).map((each) => ({
						value: String(each),
						label: `${size(each)} ${product?.unit ?? ''}`,
					}))}
					value={Number.isFinite(packSize) ? String(packSize) : null}
					onChange={setPack}
					required
				/>
				<QuantityInput
					label="Packs"
					value={packs}
					onChange={setPacks}
					required
					whole
					min={1}
					max={100_000}
					autoFocus={chosen !== null}
				/>
				<DateInput label="Delivered on" value={date} onChange={setDate} max={today()} required />
			</div>
			<div className="pair">
				<TextInput
					label="Batch number"
					maxLength={60}
					value={batch}
					onChange={(event) => setBatch(event.currentTarget.value)}
				/>
				<DateInput label="Use by" value={expires} onChange={setExpires} />
				<TextInput
					label="Delivery note"
					maxLength={120}
					value={note}
					onChange={(event) => setNote(event.currentTarget.value)}
				/>
			</div>
		</EntryForm>
	);
}
