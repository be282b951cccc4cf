import { Button, Checkbox, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Collection, Empties } from '../../../shared/contract/waste.ts';
import { longDate, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { size } from './stock-words.ts';

type Row = {
	readonly key: string;
	readonly kind: Collection['lines'][number]['kind'];
	readonly label: string;
	/** Under the entry. */
	readonly hint: string;
	/** Written in already. */
	readonly pieces: number | null;
	readonly size?: number;
	readonly unit?: 'L' | 'kg';
	readonly productId?: string;
};
type Size = Empties['sizes'][number];

/** A collection by a licensed contractor: what waits is written in already, by size and, where asked for, by product. */
export function CollectionForm({ empties, onClose }: { readonly empties: Empties; readonly onClose: () => void }) {
	const units = useUnits();
	const sizes = empties.sizes.filter(({ waiting, emptied }) => waiting > 0 || emptied > 0);
	const waiting = sizes.filter((line) => line.waiting > 0);
	const [byProduct, setByProduct] = useState<ReadonlySet<string>>(new Set());
	const [typed, setTyped] = useState<Readonly<Record<string, number | null>>>({});
	const [carrier, setCarrier] = useState(empties.collections[0]?.carrier ?? '');
	const [registrationNo, setRegistrationNo] = useState(empties.collections[0]?.registrationNo ?? '');
	const [noteNo, setNoteNo] = useState('');
	const [date, setDate] = useState<string | null>(today());
	const [more, setMore] = useState(false);
	const [by, setBy] = useState(useUsualOperator());
	const plain = [
		...sizes.filter((line) => !byProduct.has(keyOf(line))).flatMap((line) => rowsOf(line, whatOf(line, units))),
		...others(empties.bags.waiting),
	];
	const told = sizes
		.filter((line) => byProduct.has(keyOf(line)))
		.map((line) => ({ line, rows: productRows(line, empties.products) }));
	const piecesOf = ({ key, pieces }: Row) => (key in typed ? (typed[key] ?? null) : pieces);
	const lines = [...told.flatMap(({ rows }) => rows), ...plain].flatMap((row) => {
		const { kind, size: each, unit, productId } = row;
		const pieces = piecesOf(row) ?? 0;
		if (pieces === 0) return [];
		const of = each === undefined || unit === undefined ? {} : { size: each, unit };
		return [{ kind, pieces, ...of, ...(productId === undefined ? {} : { productId }) }];
	});
	const collect = useCommand((api, _: undefined, key) =>
		api.waste.collect({
			...{ key, carrier, registrationNo, noteNo, lines, by, allowMore: more },
			...(date ? { date } : {}),
		}),
	);
	if (collect.answer) {
		return (
			<div className="stack">
				<DoneNotice>The collection is booked. Keep the note until {longDate(collect.answer.keepUntil)}.</DoneNotice>
				<div className="form-foot">
					<Button onClick={onClose} data-autofocus>
						Done
					</Button>
				</div>
			</div>
		);
	}
	const entries = (rows: readonly Row[]) =>
		rows.map((row) => (
			<QuantityInput
				key={row.key}
				label={row.label}
				description={row.hint}
				whole
				min={0}
				placeholder="0"
				value={piecesOf(row)}
				onChange={(many) => setTyped({ ...typed, [row.key]: many })}
			/>
		));
	const toggle = (key: string) => {
		const next = new Set(byProduct);
		if (!next.delete(key)) next.add(key);
		setByProduct(next);
	};
	return (
		<EntryForm
			command={collect}
			onSubmit={() => collect.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={collect.busy} disabled={lines.length === 0}>
						Book the collection
					</Button>
				</>
			}
		>
			<div className="pair">
				<TextInput
					label="Carrier"
					required
					maxLength={200}
					data-autofocus
					value={carrier}
					onChange={(event) => setCarrier(event.currentTarget.value)}
				/>
				<TextInput
					label="Registration number"
					required
					maxLength={60}
					value={registrationNo}
					onChange={(event) => setRegistrationNo(event.currentTarget.value)}
				/>
			</div>
			<div className="pair">
				<TextInput
					label="Note number"
					required
					maxLength={60}
					value={noteNo}
					onChange={(event) => setNoteNo(event.currentTarget.value)}
				/>
				<DateInput label="Collected on" value={date} onChange={setDate} max={today()} required />
				<ByInput value={by} onChange={setBy} label="Handed over by" />
			</div>
			<div className="pair">{entries(plain)}</div>
			{waiting.length > 0 && (
				<fieldset className="group tell-products">
					<legend className="entry-label">Tell by product, where you want to</legend>
					{waiting.map((line) => (
						<Checkbox
							key={keyOf(line)}
							label={whatOf(line, units)}
							checked={byProduct.has(keyOf(line))}
							onChange={() => toggle(keyOf(line))}
						/>
					))}
				</fieldset>
			)}
			{told.map(({ line, rows }) => (
				<fieldset className="group" key={keyOf(line)}>
					<legend className="entry-label">
						{whatOf(line, units)}: {line.waiting} waiting
					</legend>
					<div className="pair">{entries(rows)}</div>
				</fieldset>
			))}
			{collect.problem?.code === 'waste.moreThanWaiting' && (
				<Checkbox
					label="More were there than the book has"
					checked={more}
					onChange={(event) => setMore(event.currentTarget.checked)}
				/>
			)}
		</EntryForm>
	);
}

function keyOf({ size: each, unit }: Size): string {
	return `${each} ${unit}`;
}

function whatOf({ size: each, unit }: Size, { say }: Units): string {
	return say(`${size(each)} ${unit}`);
}

type Waiting = Pick<Size, 'size' | 'unit' | 'waiting' | 'notRinsed'> & { readonly productId?: string };

/** Containers that wait: the rinsed ones, and those that were not, for they are another kind of waste. */
function rowsOf({ size: each, unit, waiting, notRinsed, productId }: Waiting, what: string): Row[] {
	const own = { size: each, unit, ...(productId === undefined ? {} : { productId }) };
	const row = (kind: 'rinsed' | 'unrinsed', label: string, pieces: number): Row => ({
		...own,
		...{ key: `${productId ?? ''} ${each} ${unit} ${kind}`, kind: `${kind} containers`, label: `${what}, ${label}` },
		...{ hint: `${pieces} waiting`, pieces: pieces === 0 ? null : pieces },
	});
	return [
		row('rinsed', 'rinsed', waiting - notRinsed),
		...(notRinsed > 0 ? [row('unrinsed', 'not rinsed', notRinsed)] : []),
	];
}

/**
 * One size by its products. Where some were collected or counted by size only, nobody knows whose they were: then
 * nothing is written in.
 */
function productRows(line: Size, products: Empties['products']): Row[] {
	const own = products.filter((each) => each.size === line.size && each.unit === line.unit && each.waiting > 0);
	const sure = Object.values(line.notTold).every((pieces) => pieces === 0);
	const rows = own
		.flatMap((each) => rowsOf(each, each.product))
		.map((row) => (sure ? row : { ...row, pieces: null, hint: `at most ${row.pieces ?? 0}` }));
	const rest = rowsOf(line, 'Product not known').map((row) => ({
		...row,
		...{ key: `not told ${row.key}`, pieces: null, hint: 'by size only' },
	}));
	return [...rows, ...rest];
}

/** Bags, and what is weighed. */
function others(bags: number): Row[] {
	return [
		{
			...{ key: 'bags', kind: 'caps and foils', label: 'Bags of caps and foils', hint: `${bags} waiting` },
			pieces: bags === 0 ? null : bags,
		},
		{ key: 'absorbents', kind: 'absorbents and clothing', label: 'Absorbents, clothing', hint: 'kg', pieces: null },
		{ key: 'product', kind: 'product', label: 'Old product', hint: 'kg', pieces: null },
	];
}
