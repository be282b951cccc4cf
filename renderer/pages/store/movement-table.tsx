import { Button } from '@mantine/core';
import { Link } from 'wouter';
import type { Movement } from '../../../shared/contract/store.ts';
import { bareAmount, shortDate, signed } from '../../format.ts';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { byDocument, movementWords, size } from './stock-words.ts';
import { useStoreName } from './store-pick.tsx';

/** Ledger lines as they were posted. `short`: one product, a line a document, without the reasons. */
export function MovementTable(props: {
	readonly rows: readonly Movement[];
	readonly short?: boolean;
	readonly most?: number;
	readonly onReverse?: (movement: Movement) => void;
}) {
	const units = useUnits();
	const storeName = useStoreName();
	if (props.rows.length === 0) return <p className="quiet">Nothing was posted.</p>;
	const reversed = new Set(props.rows.flatMap((row) => (row.reverses === null ? [] : [row.reverses])));
	const rows = props.short ? byDocument(props.rows, reversed).slice(0, props.most) : props.rows;
	const columns = props.short
		? [date, kind, changeIn(units), balanceIn(units)]
		: [
				...longColumns(units),
				...(props.rows.some((row) => storeName(row.storeId) !== null)
					? [{ key: 'store', head: 'Store', cell: (row: Movement) => storeName(row.storeId) }]
					: []),
				...(props.onReverse ? [reverseColumn(props.onReverse, reversed)] : []),
			];
	return (
		<Table
			caption="Store ledger"
			rows={rows}
			columns={columns}
			rowKey={(row) => row.id}
			muted={(row) => reversed.has(row.id)}
			height={rows.length > 200 ? 'calc(100vh - 260px)' : undefined}
		/>
	);
}

/** Postings that may be taken back here; a load, with the containers it opened, is taken back through its job. */
const reversible: ReadonlySet<Movement['kind']> = new Set([
	'delivery',
	'disposal',
	'return',
	'spill',
	'transfer',
	'loan',
]);

/** Of a gallon or a pound: a fluid ounce is 0.008 gal. */
const US_DECIMALS = 3;

const date: Column<Movement> = {
	key: 'date',
	head: 'Date',
	cell: (row) => shortDate(row.occurredAt),
	sort: (row) => row.occurredAt,
};
const kind: Column<Movement> = {
	key: 'kind',
	head: 'What',
	sort: (row) => row.kind,
	cell: (row) => movementWords(row),
};
const changeIn = (units: Units): Column<Movement> => ({
	key: 'amount',
	head: 'change',
	number: true,
	sort: (row) => row.amount,
	cell: (row) =>
		units.units === 'metric'
			? `${signed(row.amount, decimals(row.amount))} ${row.unit}`
			: `${units.signed(row.amount, row.unit, US_DECIMALS)} ${units.name(row.unit)}`,
});
const balanceIn = (units: Units): Column<Movement> => ({
	key: 'balance',
	head: 'then',
	number: true,
	cell: (row) => <span className="quiet">{bareAmount(units.value(row.balance, row.unit))}</span>,
});
const longColumns = (units: Units): readonly Column<Movement>[] => [
	{ key: 'seq', head: 'No.', number: true, width: '60px', cell: (row) => <span className="quiet">{row.seq}</span> },
	date,
	{ key: 'product', head: 'Product', sort: (row) => row.product, cell: (row) => row.product },
	{
		...kind,
		cell: (row) => (
			<>
				{row.jobId === null ? movementWords(row) : <Link href={`/jobs/${row.jobId}`}>{movementWords(row)}</Link>}
				{notes(row, units) && <span className="second">{notes(row, units)}</span>}
			</>
		),
	},
	changeIn(units),
	balanceIn(units),
	{ key: 'who', head: 'By', sort: (row) => row.who, cell: (row) => row.who },
];

function reverseColumn(onReverse: (movement: Movement) => void, reversed: ReadonlySet<string>): Column<Movement> {
	return {
		key: 'reverse',
		head: <span className="visually-hidden">Take back</span>,
		number: true,
		cell: (row) =>
			reversed.has(row.id) ? (
				<span className="quiet">taken back</span>
			) : reversible.has(row.kind) ? (
				<Button
					className="screen-only"
					variant="subtle"
					size="xs"
					aria-label={`Take back ${row.kind} of ${row.product}`}
					onClick={() => onReverse(row)}
				>
					Take back
				</Button>
			) : null,
	};
}

function notes(row: Movement, { say }: Units): string {
	const pack = row.packSize === null ? '' : say(`${size(row.packSize)} ${row.unit} pack`);
	const batch = row.batch === null ? '' : `batch ${row.batch}`;
	return [pack, batch, row.document ?? '', row.why ?? ''].filter((part) => part !== '').join(' · ');
}

function decimals(value: number): number {
	return [1, 2, 3].find((places) => Math.abs(value - Number(value.toFixed(places))) < 5e-7) ?? 3;
}
