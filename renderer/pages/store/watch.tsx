import { useState } from 'react';
import { Link } from 'wouter';
import type { StoreWatch } from '../../../shared/contract/store-watch.ts';
import { longDate, shortDate } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { Table } from '../../parts/table.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { AddStoreForm, Building, SiteForm } from './store-building.tsx';
import { StoreNav } from './store-nav.tsx';
import { StoreSwitch } from './store-switch.tsx';
import './store.css';
import { type Units, useUnits } from '../../units.ts';

/** What asks for a look: ends within 90 days, products the planned jobs lack, the bund. */
export function WatchSection() {
	const watch = useProcedure(['store', 'watch'], (api) => api.store.watch({}));
	const [opened, setOpened] = useState<'change' | 'add' | null>(null);
	const [storeId, setStoreId] = useState<string | null>(null);
	const close = () => setOpened(null);
	return (
		<Page title="To watch" columns="two">
			<section>
				<PageHead
					title="Store"
					under={watch.answer ? `What needs a look until ${longDate(watch.answer.until)}` : undefined}
				/>
				<StoreNav at="/store/watch" />
				<Answered asked={watch}>
					{(answer) => (
						<>
							<Short rows={answer.short} />
							<Ends answer={answer} />
						</>
					)}
				</Answered>
			</section>
			<section aria-label="The building">
				<Answered asked={watch}>
					{({ stores }) => {
						const shown = stores.find((store) => store.storeId === storeId) ?? stores[0];
						return (
							shown && (
								<>
									{stores.length > 1 && <StoreSwitch stores={stores} value={shown.storeId} onChange={setStoreId} />}
									<Building
										key={shown.storeId}
										store={shown}
										several={stores.length > 1}
										onChange={() => setOpened('change')}
										onAdd={() => setOpened('add')}
									/>
									<Dialog title="The store building" opened={opened === 'change'} onClose={close}>
										<SiteForm key={shown.storeId} site={shown} several={stores.length > 1} onClose={close} />
									</Dialog>
								</>
							)
						);
					}}
				</Answered>
			</section>
			<Dialog title="Add a store" opened={opened === 'add'} onClose={close}>
				<AddStoreForm
					onAdded={(added) => {
						setStoreId(added);
						close();
					}}
					onClose={close}
				/>
			</Dialog>
		</Page>
	);
}

function Short({ rows }: { readonly rows: StoreWatch['short'] }) {
	const farmUnits = useUnits();
	return (
		<>
			<h2>Too little for the jobs that are planned</h2>
			{rows.length === 0 ? (
				<p className="quiet">The book covers every load that is still to be made.</p>
			) : (
				<Table
					caption="Too little for the planned jobs"
					rows={rows}
					rowKey={(row) => `${row.productId} ${row.storeId}`}
					columns={[
						{
							key: 'product',
							head: 'Product',
							sort: (row) => row.product,
							cell: (row) => (
								<>
									{row.product}
									{row.elsewhere.length > 0 && <span className="second">{elsewhereWords(row, farmUnits)}</span>}
								</>
							),
						},
						{ key: 'have', head: 'on hand', number: true, cell: (row) => farmUnits.amount(row.inStore, row.unit) },
						{ key: 'planned', head: 'planned', number: true, cell: (row) => farmUnits.amount(row.planned, row.unit) },
						{
							key: 'short',
							head: 'to get',
							number: true,
							sort: (row) => row.short,
							cell: (row) => <span className="chip">{farmUnits.amount(row.short, row.unit)}</span>,
						},
						{
							key: 'jobs',
							head: 'For',
							cell: (row) =>
								row.jobs.map((job) => (
									<span className="second" key={job.jobId}>
										<Link href={`/jobs/${job.jobId}`}>{job.job}</Link>, {shortDate(job.date)}
									</span>
								)),
						},
					]}
				/>
			)}
		</>
	);
}

/** `Lacks in Main store; North barn holds 40 L.` */
function elsewhereWords({ store, elsewhere, unit }: StoreWatch['short'][number], farmUnits: Units): string {
	const others = elsewhere.map((each) => `${each.store} holds ${farmUnits.amount(each.amount, unit)}`).join(', ');
	return `Lacks in ${store}; ${others}`;
}

type End = {
	readonly key: string;
	readonly product: string;
	readonly what: string;
	readonly on: string;
	readonly past: boolean;
	readonly much: string;
};

/** Where it stands, said only where there is more than one store. */
function whereOf({ stores }: StoreWatch, held: StoreWatch['batches'][number]['stores']): string {
	return stores.length > 1 ? `, ${held.map(({ store }) => store).join(' and ')}` : '';
}

function Ends({ answer }: { readonly answer: StoreWatch }) {
	const farmUnits = useUnits();
	const ends: End[] = [
		...answer.batches.map((row) => ({
			...{ key: `${row.productId} ${row.batch} ${row.expires}`, product: row.product, on: row.expires, past: row.past },
			...{
				what: `${row.batch === null ? 'batch without a number' : `batch ${row.batch}`}${whereOf(answer, row.stores)}`,
				much: farmUnits.amount(row.amount, row.unit),
			},
		})),
		...answer.authorisations.map((row) => ({
			...{ key: `${row.productId} ${row.what}`, product: row.product, on: row.on, past: row.past },
			...{ what: row.what, much: farmUnits.amount(row.amount, row.unit) },
		})),
	].sort((a, b) => (a.on < b.on ? -1 : 1));
	return (
		<>
			<h2>Ends within 90 days, or has ended</h2>
			{ends.length === 0 ? (
				<p className="quiet">No batch and no authorisation of what is in the store ends by {longDate(answer.until)}.</p>
			) : (
				<Table
					caption="Ends soon"
					rows={ends}
					rowKey={(row) => row.key}
					columns={[
						{
							key: 'on',
							head: 'On',
							sort: (row) => row.on,
							cell: (row) => <span className={row.past ? 'chip stop' : 'chip'}>{shortDate(row.on)}</span>,
						},
						{ key: 'product', head: 'Product', sort: (row) => row.product, cell: (row) => row.product },
						{ key: 'what', head: 'What', cell: (row) => row.what },
						{ key: 'much', head: 'in the store', number: true, cell: (row) => row.much },
					]}
				/>
			)}
		</>
	);
}
