import { Button } from '@mantine/core';
import { type ReactNode, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { StockLine } from '../../../shared/contract/store.ts';
import { count, formulationAfter, shortDate } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Facts, Page, PageHead } from '../../parts/page.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { CountCourse } from './count-course.tsx';
import { CountDialog } from './count-dialog.tsx';
import { DeliveryDialog } from './delivery-dialog.tsx';
import { MoveDialog } from './move-dialog.tsx';
import { MovementTable } from './movement-table.tsx';
import { PostDialog } from './post-dialog.tsx';
import { ProductCourse } from './product-course.tsx';
import { ProductForm } from './product-form.tsx';
import { firstExpiry, openedWords, packWords, size } from './stock-words.ts';
import { StoreNav } from './store-nav.tsx';
import { useStores } from './store-pick.tsx';
import { StoreSwitch } from './store-switch.tsx';
import './store.css';
import { type Units, useUnits } from '../../units.ts';

type Opened = 'delivery' | 'delivery of it' | 'count' | 'post' | 'move' | null;

/** What the book says is in the store; one product opened beside the list. */
export function OnHand() {
	const units = useUnits();
	const stores = useStores();
	const [storeId, setStoreId] = useState<string | null>(null);
	const stock = useProcedure(['store', 'on hand', storeId], (api) => api.store.onHand(storeId ? { storeId } : {}));
	const [chosen, setChosen] = useState<string | null>(null);
	const [opened, setOpened] = useState<Opened>(null);
	const [, go] = useLocation();
	const all = stock.answer ?? [];
	const there = storeId === null ? all : all.filter((each) => each.amount !== 0 || each.openDiscrepancy !== 0);
	const lines = there.length > 0 ? there : all;
	const line = lines.find((each) => each.productId === chosen) ?? lines[0];
	return (
		<Page title="Store" columns={line ? 'two' : 'one'}>
			<section>
				<PageHead title="Store" under={line ? summary(lines) : undefined}>
					{line && (
						<>
							<Button variant="default" onClick={() => go('/store/stock-take')}>
								Stock take
							</Button>
							<Button onClick={() => setOpened('delivery')}>Book a delivery</Button>
						</>
					)}
				</PageHead>
				<StoreNav at="/store" />
				{stores.length > 1 && <StoreSwitch stores={stores} value={storeId} all="All stores" onChange={setStoreId} />}
				<Answered asked={stock}>
					{() =>
						line ? (
							<Table
								caption="On hand by the book"
								rows={lines}
								columns={
									stores.length > 1 && storeId === null ? [...columnsIn(units), whereColumn(units)] : columnsIn(units)
								}
								rowKey={(row) => row.productId}
								onOpen={(row) => setChosen(row.productId)}
								selected={line.productId}
								muted={(row) => row.amount === 0 && row.openDiscrepancy === 0}
							/>
						) : (
							<NothingYet />
						)
					}
				</Answered>
			</section>
			{line && <OneProduct line={line} several={stores.length > 1} onOpen={setOpened} />}
			<DeliveryDialog
				storeId={storeId}
				opened={opened === 'delivery' || opened === 'delivery of it'}
				productId={opened === 'delivery of it' ? line?.productId : undefined}
				onClose={() => setOpened(null)}
			/>
			<CountDialog
				storeId={storeId}
				opened={opened === 'count'}
				productId={line?.productId}
				onClose={() => setOpened(null)}
			/>
			<MoveDialog
				opened={opened === 'move'}
				from={storeId ?? line?.stores[0]?.storeId ?? null}
				productId={line?.productId}
				onClose={() => setOpened(null)}
			/>
			<PostDialog
				storeId={storeId}
				opened={opened === 'post'}
				productId={line?.productId}
				onClose={() => setOpened(null)}
			/>
		</Page>
	);
}

function NothingYet() {
	const [entering, setEntering] = useState(false);
	const [, go] = useLocation();
	return (
		<>
			<Empty
				title="No product is on the books yet."
				next={<Button onClick={() => setEntering(true)}>Put a product on the books</Button>}
			>
				Enter a product with its formulation and pack sizes; then book its delivery, or take stock of what stands in the
				store.
			</Empty>
			<Dialog title="Put a product on the books" opened={entering} onClose={() => setEntering(false)} size="wide">
				<ProductForm product={null} onClose={() => setEntering(false)} onSaved={() => go('/store/products')} />
			</Dialog>
		</>
	);
}

const columnsIn = (units: Units): readonly Column<StockLine>[] => [
	{
		key: 'name',
		head: 'Product',
		sort: (row) => row.name,
		cell: (row) => (
			<>
				{row.name} <span className="quiet">{formulationAfter(row.name, row.formulation)}</span>
				{row.openDiscrepancy !== 0 && <span className="second">{shortWords(row, units)}</span>}
			</>
		),
	},
	{
		key: 'amount',
		head: 'on hand',
		number: true,
		sort: (row) => row.amount,
		cell: (row) => <b>{units.amount(row.amount, row.unit)}</b>,
	},
	{
		key: 'packs',
		head: 'Full containers',
		cell: (row) => (
			<>
				{units.say(packWords(row.packs, row.unit))}
				{row.opened.length > 0 && (
					<span className="second">opened: {units.say(openedWords(row.opened, row.unit))}</span>
				)}
			</>
		),
	},
	{
		key: 'expires',
		head: 'First to expire',
		sort: (row) => firstExpiry(row)?.on ?? null,
		cell: (row) => <Expiry line={row} />,
	},
	{
		key: 'counted',
		head: 'Counted',
		sort: (row) => row.lastCountOn,
		cell: (row) => <span className="nowrap">{shortDate(row.lastCountOn)}</span>,
	},
];

const whereColumn = (units: Units): Column<StockLine> => ({
	key: 'where',
	head: 'Where',
	cell: (line) => whereWords(line, units),
});

function whereWords(line: StockLine, { amount }: Units): ReactNode {
	const [only, ...others] = line.stores;
	if (only && others.length === 0) return <span className="nowrap">{only.store}</span>;
	return line.stores.map((each) => `${each.store} ${amount(each.amount, line.unit)}`).join(', ') || '–';
}

function Expiry({ line }: { readonly line: StockLine }) {
	const first = firstExpiry(line);
	if (!first) return <span className="quiet">–</span>;
	if (first.state === 'later') return <span className="nowrap">{shortDate(first.on)}</span>;
	return (
		<span className={first.state === 'past' ? 'chip stop' : 'chip'}>
			{first.state === 'past' ? 'past' : 'soon'}: {shortDate(first.on)}
		</span>
	);
}

function OneProduct(props: {
	readonly line: StockLine;
	readonly several: boolean;
	readonly onOpen: (opened: Opened) => void;
}) {
	const units = useUnits();
	const { line, several, onOpen } = props;
	const movements = useProcedure(['store', 'movements', line.productId], (api) =>
		api.store.movements({ productId: line.productId, limit: 5000 }),
	);
	return (
		<section aria-label={line.name}>
			<h1>{line.name}</h1>
			<p className="quiet">{line.formulation}</p>
			<p className="big-figure store" style={{ margin: '12px 0' }}>
				{units.amount(line.amount, line.unit)}
			</p>
			{line.openDiscrepancy !== 0 && (
				<div className="notice" role="status">
					<span className="word">Look</span>
					<div>{shortWords(line, units)} It stands open until a stock take closes it.</div>
				</div>
			)}
			<Facts
				items={[
					['Full containers', units.say(packWords(line.packs, line.unit))],
					line.opened.length > 0 && ['Opened', units.say(openedWords(line.opened, line.unit))],
					line.onLoan !== 0 && [
						line.onLoan > 0 ? 'Lent to other farms' : 'Borrowed from other farms',
						units.amount(Math.abs(line.onLoan), line.unit),
					],
					several && line.stores.length > 0 && ['Where', whereWords(line, units)],
					line.elsewhere > 0 && [
						several ? 'In other places' : 'In other stores',
						units.amount(line.elsewhere, line.unit),
					],
					['Last stock take', line.lastCountOn ? shortDate(line.lastCountOn) : 'never'],
				]}
			/>
			<div className="row above screen-only">
				<Button onClick={() => onOpen('delivery of it')}>Book a delivery</Button>
				<Button variant="default" onClick={() => onOpen('count')}>
					Count it
				</Button>
				{several && (
					<Button variant="default" onClick={() => onOpen('move')}>
						Move it
					</Button>
				)}
				<Button variant="subtle" onClick={() => onOpen('post')}>
					Other movement
				</Button>
			</div>
			{movements.answer && <ProductCourse rows={movements.answer} unit={line.unit} />}
			<CountCourse productId={line.productId} />
			{line.lots.length > 0 && (
				<>
					<h2>Batches</h2>
					<Table
						caption={`Batches of ${line.name}`}
						rows={line.lots}
						rowKey={(lot) => lot.lotId}
						columns={[
							{ key: 'batch', head: 'Batch', cell: (lot) => lot.batch ?? 'not noted' },
							{ key: 'expires', head: 'Use by', cell: (lot) => shortDate(lot.expires) },
							{
								key: 'count',
								head: 'full',
								number: true,
								cell: (lot) => units.say(`${lot.count} × ${size(lot.size)} ${line.unit}`),
							},
						]}
					/>
				</>
			)}
			<h2>Last movements</h2>
			<Answered asked={movements}>{(rows) => <MovementTable rows={rows} short most={8} />}</Answered>
			<p className="above screen-only">
				<Link href="/store/ledger">The whole ledger</Link>
			</p>
		</section>
	);
}

function shortWords(line: StockLine, { amount }: Units): string {
	return `${amount(Math.abs(line.openDiscrepancy), line.unit)} more was drawn than the book held.`;
}

function summary(lines: readonly StockLine[]): string {
	const there = lines.filter((line) => line.amount > 0).length;
	const open = lines.filter((line) => line.openDiscrepancy !== 0).length;
	const past = lines.filter((line) => firstExpiry(line)?.state === 'past').length;
	const parts = [`${count(there, 'product')} on hand`];
	if (open > 0) parts.push(`${count(open, 'discrepancy', 'discrepancies')} open`);
	if (past > 0) parts.push(`${count(past, 'product')} past the use-by date`);
	return parts.join(' · ');
}
