import type { Empties } from '../../../shared/contract/waste.ts';
import { shortDate } from '../../format.ts';
import { type Column, Table } from '../../parts/table.tsx';
import { useUnits } from '../../units.ts';
import { size } from './stock-words.ts';

type Figures = Pick<
	Empties['products'][number],
	'delivered' | 'found' | 'full' | 'opened' | 'waiting' | 'collected' | 'passedOn' | 'missing' | 'size' | 'unit'
>;

/** The account by size. */
export function Account({ rows }: { readonly rows: Empties['sizes'] }) {
	return (
		<Table
			caption="Containers by size"
			rows={rows}
			rowKey={(row) => `${row.size} ${row.unit}`}
			columns={[
				sizeColumn,
				...figures(rows, (row) => (
					<>
						<b>{row.waiting === 0 ? '–' : row.waiting}</b>
						{row.counted && (
							<span className="second quiet small">
								counted {row.counted.pieces} on {shortDate(row.counted.on)}
								{row.counted.pieces !== row.counted.book && `, book ${row.counted.book}`}
							</span>
						)}
					</>
				)),
			]}
		/>
	);
}

type Line = Figures & { readonly key: string; readonly product: string | null };

/** The same account by product; what nobody told the product of stands below it, size by size. */
export function ByProduct({ products, sizes }: Pick<Empties, 'products' | 'sizes'>) {
	const untold = sizes.filter(({ notTold }) => Object.values(notTold).some((pieces) => pieces !== 0));
	const rows: Line[] = [
		...products.map((line) => ({ ...line, key: `${line.productId} ${line.size}` })),
		...untold.map(({ notTold, size: each, unit }) => ({
			...{ key: `${each} ${unit}`, product: null, size: each, unit },
			...{ delivered: 0, found: 0, full: 0, opened: 0, passedOn: 0, ...notTold },
		})),
	];
	return (
		<>
			<h2>By product</h2>
			{untold.length > 0 && (
				<p className="quiet">
					“Not told by product” is what was collected or counted by size only: nobody noted whose containers it was, so
					it is shared out to none. Added to the products it gives the account by size.
				</p>
			)}
			<Table
				caption="Containers by product"
				rows={rows}
				rowKey={(row) => row.key}
				muted={(row) => row.product === null}
				height={rows.length > 200 ? '60vh' : undefined}
				columns={[
					{
						key: 'product',
						head: 'Product',
						sort: (row) => row.product ?? LAST,
						cell: (row) => row.product ?? <em>Not told by product</em>,
					},
					{ ...sizeColumn, sort: (row) => row.size },
					...figures(rows, (row) => (row.waiting === 0 ? <span className="quiet">–</span> : signed(row.waiting))),
				]}
			/>
		</>
	);
}

/** Sorts after every name. */
const LAST = '\uffff';

const sizeColumn: Column<Figures> = {
	key: 'size',
	head: 'Size',
	cell: (row) => <Size of={row} />,
};

function Size({ of }: { readonly of: Pick<Figures, 'size' | 'unit'> }) {
	return useUnits().say(`${size(of.size)} ${of.unit}`);
}

/** delivered + found = full + opened + waiting + collected + passed on + unaccounted; columns nobody needs are left out. */
function figures<Row extends Figures>(rows: readonly Row[], waiting: Column<Row>['cell']): Column<Row>[] {
	const figure = (key: Exclude<keyof Figures, 'unit'>, head: string): Column<Row> => ({
		...{ key, head, number: true },
		cell: (row) => (row[key] === 0 ? <span className="quiet">–</span> : signed(row[key])),
	});
	return [
		figure('delivered', 'delivered'),
		...(rows.some(({ found }) => found !== 0) ? [figure('found', 'found')] : []),
		figure('full', 'full'),
		figure('opened', 'opened'),
		{ key: 'waiting', head: 'empty, waiting', number: true, cell: waiting },
		figure('collected', 'collected'),
		...(rows.some(({ passedOn }) => passedOn !== 0) ? [figure('passedOn', 'passed on')] : []),
		{
			...{ key: 'missing', head: 'unaccounted', number: true },
			cell: (row) =>
				row.missing === 0 ? <span className="quiet">none</span> : <span className="chip">{signed(row.missing)}</span>,
		},
	];
}

function signed(pieces: number): string {
	return pieces < 0 ? `−${-pieces}` : String(pieces);
}
