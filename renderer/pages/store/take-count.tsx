import { type ReactNode, useRef, useState } from 'react';
import type { StockTake, TakeLine } from '../../../shared/contract/stock-take.ts';
import { bareAmount, formulationAfter } from '../../format.ts';
import { Page } from '../../parts/page.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { disagreements } from './counted-twice.ts';
import { PrintStorePaper } from './print-store-paper.tsx';
import { packSizeWords } from './stock-words.ts';
import { DropTake } from './take-end.tsx';
import { CountEntryForm } from './take-entry.tsx';

/** Counting: the products in the order of the shelves, and one entry form that goes from one to the next with Enter. */
export function TakeCount(props: {
	readonly take: StockTake;
	readonly lines: readonly TakeLine[];
	readonly head: ReactNode;
	readonly onCompare: () => void;
}) {
	const units = useUnits();
	const { take, lines } = props;
	const [chosen, setChosen] = useState<string | null>(null);
	const order = useRef<readonly string[]>([]);
	if (order.current.length === 0) order.current = lines.map(({ productId }) => productId);
	const line =
		lines.find((each) => each.productId === chosen) ?? lines.find((each) => each.counted === null) ?? lines[0];
	const place = (row: TakeLine) => {
		const at = order.current.indexOf(row.productId);
		return at < 0 ? Number.MAX_SAFE_INTEGER : at;
	};
	const inOrder = [...lines].sort((a, b) => place(a) - place(b));

	function next(): void {
		const at = inOrder.findIndex((each) => each.productId === line?.productId);
		const rest = [...inOrder.slice(at + 1), ...inOrder.slice(0, at)];
		setChosen(rest.find((each) => each.counted === null)?.productId ?? null);
		if (!rest.some((each) => each.counted === null)) props.onCompare();
	}

	return (
		<Page title="Stock take" columns={line ? 'two' : 'one'}>
			<section>
				{props.head}
				<Table
					caption="Products to count"
					rows={inOrder}
					columns={take.blind ? columnsIn(units) : [...columnsIn(units), bookColumn(units)]}
					rowKey={(row) => row.productId}
					onOpen={(row) => setChosen(row.productId)}
					selected={line?.productId}
					muted={(row) => row.counted !== null}
				/>
				<div className="row above screen-only">
					<PrintStorePaper paper="count sheet" storeId={take.storeId} />
					<DropTake takeId={take.id} />
				</div>
			</section>
			{line && (
				<section aria-label={`Count ${line.name}`}>
					<CountEntryForm key={line.productId} takeId={take.id} storeId={take.storeId} line={line} onEntered={next} />
				</section>
			)}
		</Page>
	);
}

const columnsIn = (units: Units): readonly Column<TakeLine>[] => [
	{
		key: 'place',
		head: 'Place',
		sort: (row) => row.place,
		cell: (row) => row.place || <span className="quiet">–</span>,
	},
	{
		key: 'name',
		head: 'Product',
		sort: (row) => row.name,
		cell: (row) => (
			<>
				{row.name} <span className="quiet">{formulationAfter(row.name, row.formulation)}</span>
			</>
		),
	},
	{
		key: 'packs',
		head: 'Containers',
		cell: (row) => packSizeWords(row, units),
	},
	{
		key: 'counted',
		head: 'counted',
		number: true,
		sort: (row) => row.counted,
		cell: (row) =>
			row.counted === null ? <span className="quiet">–</span> : <b>{units.amount(row.counted, row.unit)}</b>,
	},
	{
		key: 'by',
		head: 'By',
		cell: (row) => (
			<>
				{[...new Set(row.entries.filter(({ stands }) => stands).map(({ by }) => by))].join(', ')}
				{disagreements(row).length > 0 && <span className="chip">two counts differ</span>}
			</>
		),
	},
];

const bookColumn = ({ value }: Units): Column<TakeLine> => ({
	key: 'book',
	head: 'by the book',
	number: true,
	cell: (row) => <span className="quiet">{bareAmount(row.book === null ? null : value(row.book, row.unit))}</span>,
});
