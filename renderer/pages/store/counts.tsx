import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { StockTake } from '../../../shared/contract/stock-take.ts';
import type { Api } from '../../api.ts';
import { bareAmount, count, shortDate, timeOfDay } from '../../format.ts';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { Table } from '../../parts/table.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { CountCourse } from './count-course.tsx';
import { PrintStorePaper } from './print-store-paper.tsx';
import { StoreNav } from './store-nav.tsx';
import { useStoreName } from './store-pick.tsx';
import './store.css';
import { useUnits } from '../../units.ts';

type Count = Awaited<ReturnType<Api['store']['counts']>>[number];
type Take = StockTake & { readonly products: number; readonly leftOpen: number };

/** Every stock take so far, with what shelf and book were apart. */
export function CountsSection() {
	const farmUnits = useUnits();
	const counts = useProcedure(['store', 'counts'], (api) => api.store.counts({}));
	const takes = useProcedure(['store', 'stock takes'], (api) => api.store.stockTakes({}));
	const [, go] = useLocation();
	const [chosen, setChosen] = useState<string | null>(null);
	const one = counts.answer?.find(({ id }) => id === chosen);
	const open = takes.answer?.find(({ outcome }) => outcome === null);
	const storeName = useStoreName();
	const leftOpen = takes.answer?.[0]?.leftOpen ?? 0;
	return (
		<Page title="Stock takes" columns={one ? 'two' : 'one'}>
			<section>
				<PageHead title="Store" under={counts.answer ? count(counts.answer.length, 'count') : undefined}>
					<PrintStorePaper paper="count sheet" />
					<PrintStorePaper paper="count sheet with the book" />
					<Button onClick={() => go('/store/stock-take')}>{open ? 'Go on counting' : 'Stock take'}</Button>
				</PageHead>
				<StoreNav at="/store/counts" />
				{leftOpen > 0 && (
					<div className="notice" role="status">
						<span className="word">Look</span>
						<div>
							{count(leftOpen, 'difference')} of the last stock take {leftOpen === 1 ? 'was' : 'were'} left open.{' '}
							<Link href="/store/stock-take">Look into it</Link>
						</div>
					</div>
				)}
				{takes.answer && takes.answer.length > 0 && (
					<Takes rows={takes.answer} several={storeName(takes.answer[0]?.storeId ?? '') !== null} />
				)}
				<Answered asked={counts}>
					{(rows) =>
						rows.length === 0 ? (
							<Empty title="Nothing was counted yet.">
								Two counts in a season are what makes the store an independent measure: only then can it be set against
								tank and ground.
							</Empty>
						) : (
							<>
								<h2>Counts, product by product</h2>
								<Table
									caption="Counts"
									rows={rows}
									rowKey={(row) => row.id}
									onOpen={(row) => setChosen(row.id === chosen ? null : row.id)}
									selected={one?.id}
									height={rows.length > 200 ? '70vh' : undefined}
									columns={[
										{ key: 'on', head: 'Date', sort: (row) => row.on, cell: (row) => shortDate(row.on) },
										...(storeName(rows[0]?.storeId ?? '') === null
											? []
											: [{ key: 'store', head: 'Store', cell: (row: Count) => storeName(row.storeId) }]),
										{ key: 'product', head: 'Product', sort: (row) => row.product, cell: (row) => row.product },
										{
											key: 'counted',
											head: 'counted',
											number: true,
											sort: (row) => row.counted,
											cell: (row) => farmUnits.amount(row.counted, row.unit),
										},
										{
											key: 'book',
											head: 'by the book',
											number: true,
											cell: (row) => (
												<span className="quiet">{bareAmount(farmUnits.value(row.bookAmount, row.unit))}</span>
											),
										},
										{
											key: 'difference',
											head: 'apart',
											number: true,
											sort: (row) => row.difference,
											cell: (row) =>
												Math.abs(row.difference) > row.likelySize ? (
													<span className="chip">{farmUnits.signed(row.difference, row.unit, 2)}</span>
												) : (
													farmUnits.signed(row.difference, row.unit, 2)
												),
										},
										{
											key: 'likely',
											head: 'measuring ±',
											number: true,
											cell: (row) => (
												<span className="quiet">
													{bareAmount(Number(farmUnits.value(row.likelySize, row.unit).toFixed(2)))}
												</span>
											),
										},
										{ key: 'by', head: 'By', cell: (row) => row.by },
										{ key: 'why', head: 'Why', cell: (row) => <span className="quiet">{row.why}</span> },
									]}
								/>
							</>
						)
					}
				</Answered>
			</section>
			{one && <OneCounted count={one} many={ofSame(counts.answer, one)} store={storeName(one.storeId)} />}
		</Page>
	);
}

function ofSame(rows: readonly Count[] | undefined, { productId, storeId }: Count): number {
	return (rows ?? []).filter((row) => row.productId === productId && row.storeId === storeId).length;
}

/** One product over its stock takes. */
function OneCounted(props: { readonly count: Count; readonly many: number; readonly store: string | null }) {
	const { count: counted, many, store } = props;
	return (
		<section aria-label={counted.product}>
			<h1>{counted.product}</h1>
			{store && <p className="quiet">{store}</p>}
			<CountCourse productId={counted.productId} storeId={counted.storeId} />
			<p className="quiet small above">
				{many > 1
					? 'A gap that always lies on one side has a cause: a delivery that is not booked, a measure that is read wrongly. Gaps to both sides are measuring.'
					: 'Counted once so far. From the second count on it shows whether the gaps lie on one side.'}
			</p>
		</section>
	);
}

function Takes({ rows, several }: { readonly rows: readonly Take[]; readonly several: boolean }) {
	return (
		<>
			<h2>Stock takes</h2>
			<Table
				caption="Stock takes"
				rows={rows}
				rowKey={(row) => row.id}
				columns={[
					{
						key: 'freeze',
						head: 'As of',
						cell: (row) => `${shortDate(row.freezeAt)}, ${timeOfDay(row.freezeAt)}`,
					},
					...(several ? [{ key: 'store', head: 'Store', cell: (row: Take) => row.store }] : []),
					{ key: 'products', head: 'products', number: true, cell: (row) => row.products },
					{ key: 'how', head: 'Book', cell: (row) => (row.blind ? 'hidden' : 'shown') },
					{ key: 'by', head: 'Opened by', cell: (row) => row.openedBy },
					{
						key: 'outcome',
						head: 'Outcome',
						cell: (row) =>
							row.outcome === null ? (
								<Link href="/store/stock-take">being counted</Link>
							) : (
								`${row.outcome} by ${row.endedBy ?? ''}, ${shortDate(row.endedAt)}`
							),
					},
					{
						key: 'open',
						head: 'left open',
						number: true,
						cell: (row) => (row.leftOpen === 0 ? <span className="quiet">–</span> : row.leftOpen),
					},
				]}
			/>
		</>
	);
}
