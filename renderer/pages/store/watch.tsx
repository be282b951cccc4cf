import { Button, Checkbox, Textarea, TextInput } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { StoreSite, StoreWatch } from '../../../shared/contract/store-watch.ts';
import { amount, figure, longDate, shortDate } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Answered, EntryForm, Facts, Page, PageHead } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { Table } from '../../parts/table.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { BuildingPlan } from './building-plan.tsx';
import { PrintStorePaper } from './print-store-paper.tsx';
import { StoreNav } from './store-nav.tsx';
import './store.css';

/** What asks for a look: ends within 90 days, products the planned jobs lack, the bund. */
export function WatchSection() {
	const watch = useProcedure(['store', 'watch'], (api) => api.store.watch({}));
	const [opened, setOpened] = useState(false);
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
				<Answered asked={watch}>{(answer) => <Building answer={answer} onChange={() => setOpened(true)} />}</Answered>
			</section>
			<Dialog title="The store building" opened={opened} onClose={() => setOpened(false)}>
				{watch.answer && <SiteForm site={watch.answer.site} onClose={() => setOpened(false)} />}
			</Dialog>
		</Page>
	);
}

function Short({ rows }: { readonly rows: StoreWatch['short'] }) {
	return (
		<>
			<h2>Too little for the jobs that are planned</h2>
			{rows.length === 0 ? (
				<p className="quiet">The book covers every load that is still to be made.</p>
			) : (
				<Table
					caption="Too little for the planned jobs"
					rows={rows}
					rowKey={(row) => row.productId}
					columns={[
						{ key: 'product', head: 'Product', sort: (row) => row.product, cell: (row) => row.product },
						{ key: 'have', head: 'on hand', number: true, cell: (row) => amount(row.inStore, row.unit) },
						{ key: 'planned', head: 'planned', number: true, cell: (row) => amount(row.planned, row.unit) },
						{
							key: 'short',
							head: 'to get',
							number: true,
							sort: (row) => row.short,
							cell: (row) => <span className="chip">{amount(row.short, row.unit)}</span>,
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

type End = {
	readonly key: string;
	readonly product: string;
	readonly what: string;
	readonly on: string;
	readonly past: boolean;
	readonly much: string;
};

function Ends({ answer }: { readonly answer: StoreWatch }) {
	const ends: End[] = [
		...answer.batches.map((row) => ({
			...{ key: `${row.productId} ${row.batch} ${row.expires}`, product: row.product, on: row.expires, past: row.past },
			...{
				what: row.batch === null ? 'batch without a number' : `batch ${row.batch}`,
				much: amount(row.amount, row.unit),
			},
		})),
		...answer.authorisations.map((row) => ({
			...{ key: `${row.productId} ${row.what}`, product: row.product, on: row.on, past: row.past },
			...{ what: row.what, much: amount(row.amount, row.unit) },
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

function Building({ answer, onChange }: { readonly answer: StoreWatch; readonly onChange: () => void }) {
	const { bund, site } = answer;
	const litres = (value: number) => `${figure(value)} L`;
	return (
		<>
			<PageHead title="The building">
				<Button variant="default" onClick={onChange}>
					{site.version === 0 ? 'Enter it' : 'Change'}
				</Button>
			</PageHead>
			{bund.holds !== null && (
				<p className="say">
					{bund.holds ? 'The bund holds what it must.' : 'The bund holds too little for what was stored.'}
				</p>
			)}
			<Facts
				items={[
					site.place !== '' && ['Where', site.place],
					['Stored now', litres(bund.storedL)],
					['Most in twelve months', litres(bund.mostL)],
					[`Bund must hold ${site.sensitive ? '185' : '110'} %`, litres(bund.neededL)],
					['Bund holds', site.bundL === null ? 'not entered' : litres(site.bundL)],
					site.contacts !== '' && [
						'To ring',
						<span key="contacts" className="pre">
							{site.contacts}
						</span>,
					],
				]}
			/>
			<p className="quiet small above-small">
				110 % of the most that is likely to be stored, 185 % in an environmentally sensitive area (HSE, Agriculture
				Information Sheet 16). A kilogram counts as a litre, on the safe side. Local rules may ask for more.
			</p>
			<BuildingPlan site={site} />
			<h2>List for emergencies</h2>
			<p>
				Products, amounts, hazards and the plan on one page, to be kept away from the store where those who come can
				find it. Print it again after every large delivery.
			</p>
			<div className="row above-small screen-only">
				<PrintStorePaper paper="store list" />
			</div>
		</>
	);
}

function SiteForm({ site, onClose }: { readonly site: StoreSite; readonly onClose: () => void }) {
	const [place, setPlace] = useState(site.place);
	const [contacts, setContacts] = useState(site.contacts);
	const [bundL, setBundL] = useState<number | null>(site.bundL);
	const [sensitive, setSensitive] = useState(site.sensitive);
	const save = useCommand(
		(api, _: undefined, key) => api.store.saveSite({ key, version: site.version, place, contacts, bundL, sensitive }),
		onClose,
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						Save
					</Button>
				</>
			}
		>
			<TextInput
				label="Where it stands"
				description="As you would tell the fire service"
				maxLength={300}
				data-autofocus
				value={place}
				onChange={(event) => setPlace(event.currentTarget.value)}
			/>
			<Textarea
				label="Whom to ring"
				description="Names and numbers, one a line"
				autosize
				minRows={2}
				maxLength={600}
				value={contacts}
				onChange={(event) => setContacts(event.currentTarget.value)}
			/>
			<QuantityInput label="The bund holds" unit="L" min={0} value={bundL} onChange={setBundL} />
			<Checkbox
				label="It stands in an environmentally sensitive area"
				checked={sensitive}
				onChange={(event) => setSensitive(event.currentTarget.checked)}
			/>
		</EntryForm>
	);
}
