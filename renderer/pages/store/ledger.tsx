import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { Movement } from '../../../shared/contract/store.ts';
import { count, productName, shortDate } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { MovementTable } from './movement-table.tsx';
import { StoreNav } from './store-nav.tsx';

const LINES = 2000;

/** Every movement of the store, newest first. Nothing is changed here; a wrong posting is taken back by another. */
export function LedgerSection() {
	const [productId, setProductId] = useState<string | null>(null);
	const [from, setFrom] = useState<string | null>(null);
	const [to, setTo] = useState<string | null>(null);
	const [wrong, setWrong] = useState<Movement | null>(null);
	const products = useProcedure(['products'], (api) => api.products.list({}));
	const movements = useProcedure(
		['store', 'movements', productId, from, to],
		(api) =>
			api.store.movements({
				limit: LINES,
				...(productId ? { productId } : {}),
				...(from ? { from } : {}),
				...(to ? { to } : {}),
			}),
		{ keepPrevious: true },
	);
	return (
		<Page title="Store ledger">
			<section>
				<PageHead title="Store" under={movements.answer ? lines(movements.answer.length) : undefined} />
				<StoreNav at="/store/ledger" />
				<div className="pair screen-only" style={{ maxWidth: 760, marginBottom: 12 }}>
					<Pick
						label="Product"
						options={(products.answer ?? []).map((product) => ({
							value: product.id,
							label: productName(product.name, product.formulation),
						}))}
						value={productId}
						onChange={setProductId}
						clearable
						placeholder="All products"
					/>
					<DateInput label="From" value={from} onChange={setFrom} />
					<DateInput label="To" value={to} onChange={setTo} />
				</div>
				<Answered asked={movements}>
					{(rows) =>
						rows.length === 0 && !productId && !from && !to ? (
							<Empty
								title="Nothing came to the store or left it yet."
								next={
									<Button component={Link} href="/store">
										See what is on hand
									</Button>
								}
							>
								Every delivery, load, count and loss stands here as a line of its own, and no line is ever altered.
							</Empty>
						) : (
							<MovementTable rows={rows} onReverse={setWrong} />
						)
					}
				</Answered>
			</section>
			<Dialog
				title={wrong ? `Take back the ${wrong.kind}` : 'Take back'}
				opened={wrong !== null}
				onClose={() => setWrong(null)}
			>
				{wrong && <ReverseForm movement={wrong} onClose={() => setWrong(null)} />}
			</Dialog>
		</Page>
	);
}

function ReverseForm({ movement, onClose }: { readonly movement: Movement; readonly onClose: () => void }) {
	const farmUnits = useUnits();
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const reverse = useCommand(
		(api, _: undefined, key) => api.store.reverse({ key, movementId: movement.id, why, by }),
		onClose,
	);
	return (
		<EntryForm
			command={reverse}
			onSubmit={() => reverse.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={reverse.busy}>
						Take it back
					</Button>
				</>
			}
		>
			<p>
				{movement.product}, {farmUnits.amount(Math.abs(movement.amount), movement.unit)} on{' '}
				{shortDate(movement.occurredAt)}. The line stays in the ledger; a second line takes it back.
			</p>
			<WhyInput first value={why} onChange={setWhy} />
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}

function lines(many: number): string {
	return many >= LINES ? `The newest ${count(LINES, 'line')}; choose a period for older ones` : count(many, 'line');
}
