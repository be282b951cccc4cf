import { Button } from '@mantine/core';
import { useState } from 'react';
import { amount, bareAmount, count, shortDate, signed } from '../../format.ts';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { Table } from '../../parts/table.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { CountDialog } from './count-dialog.tsx';
import { StoreNav } from './store-nav.tsx';

/** Every stock take so far, with what shelf and book were apart. */
export function CountsSection() {
	const counts = useProcedure(['store', 'counts'], (api) => api.store.counts({}));
	const [opened, setOpened] = useState(false);
	const take = <Button onClick={() => setOpened(true)}>Stock take</Button>;
	return (
		<Page title="Stock takes">
			<section>
				<PageHead title="Store" under={counts.answer ? count(counts.answer.length, 'stock take') : undefined}>
					{take}
				</PageHead>
				<StoreNav at="/store/counts" />
				<Answered asked={counts}>
					{(rows) =>
						rows.length === 0 ? (
							<Empty title="Nothing was counted yet.">
								Two counts in a season are what makes the store an independent measure: only then can it be set against
								tank and ground.
							</Empty>
						) : (
							<Table
								caption="Stock takes"
								rows={rows}
								rowKey={(row) => row.id}
								columns={[
									{ key: 'on', head: 'Date', sort: (row) => row.on, cell: (row) => shortDate(row.on) },
									{ key: 'product', head: 'Product', sort: (row) => row.product, cell: (row) => row.product },
									{
										key: 'counted',
										head: 'counted',
										number: true,
										sort: (row) => row.counted,
										cell: (row) => amount(row.counted, row.unit),
									},
									{
										key: 'book',
										head: 'by the book',
										number: true,
										cell: (row) => <span className="quiet">{bareAmount(row.bookAmount)}</span>,
									},
									{
										key: 'difference',
										head: 'apart',
										number: true,
										sort: (row) => row.difference,
										cell: (row) =>
											Math.abs(row.difference) > row.likelySize ? (
												<span className="chip">{signed(row.difference, 2)}</span>
											) : (
												signed(row.difference, 2)
											),
									},
									{
										key: 'likely',
										head: 'measuring ±',
										number: true,
										cell: (row) => <span className="quiet">{bareAmount(Number(row.likelySize.toFixed(2)))}</span>,
									},
									{ key: 'by', head: 'By', cell: (row) => row.by },
									{ key: 'why', head: 'Why', cell: (row) => <span className="quiet">{row.why}</span> },
								]}
							/>
						)
					}
				</Answered>
			</section>
			<CountDialog opened={opened} productId={undefined} onClose={() => setOpened(false)} />
		</Page>
	);
}
