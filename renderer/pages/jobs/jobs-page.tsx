import { Button } from '@mantine/core';
import { useLocation } from 'wouter';
import type { JobRow } from '../../../shared/contract/jobs.ts';
import { count, shortDate } from '../../format.ts';
import { portionWord } from '../../kind-words.ts';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { Reminders } from '../../parts/reminders.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { FindCard } from './find-card.tsx';
import { NothingToPlanWith } from './nothing-to-plan-with.tsx';

/** Every job, newest first, each with the load that comes next. */
export function JobsPage() {
	const farmUnits = useUnits();
	const [, go] = useLocation();
	const jobs = useProcedure(['jobs'], (api) => api.jobs.list({}));
	const advice = (
		<Button variant="subtle" onClick={() => go('/jobs/recommendations')}>
			Recommendations
		</Button>
	);
	return (
		<Page title="Jobs">
			<section>
				<Answered asked={jobs}>
					{(rows) =>
						rows.length === 0 ? (
							<>
								<PageHead title="Jobs">{advice}</PageHead>
								<NothingToPlanWith />
							</>
						) : (
							<>
								<PageHead title="Jobs" under={summary(rows)}>
									{advice}
									<Button onClick={() => go('/jobs/new')}>Plan a job</Button>
								</PageHead>
								<Reminders />
								<FindCard />
								<Table
									caption="Jobs, newest first"
									rows={rows}
									columns={columns((row) => go(`/jobs/${row.id}/${row.nextLoad}/log`), farmUnits)}
									rowKey={(row) => row.id}
									onOpen={(row) => go(`/jobs/${row.id}`)}
									muted={(row) => row.state === 'closed'}
									height={rows.length > 200 ? 'calc(100vh - 240px)' : undefined}
								/>
							</>
						)
					}
				</Answered>
			</section>
		</Page>
	);
}

function columns(onLog: (row: JobRow) => void, farmUnits: Units): Column<JobRow>[] {
	return [
		{
			key: 'date',
			head: 'Spray date',
			sort: (row) => row.date,
			cell: (row) => <span className="nowrap">{shortDate(row.date)}</span>,
		},
		{
			key: 'name',
			head: 'Job',
			sort: (row) => row.name,
			cell: (row) => (
				<>
					{row.name}
					<span className="second">{row.products.join(', ')}</span>
				</>
			),
		},
		{ key: 'fields', head: 'Fields', cell: (row) => <span className="quiet">{someOf(row.fields)}</span> },
		{ key: 'sprayer', head: 'Sprayer', sort: (row) => row.sprayer, cell: (row) => row.sprayer },
		{
			key: 'area',
			head: farmUnits.name('ha'),
			number: true,
			sort: (row) => row.areaHa,
			cell: (row) => (row.areaHa > 0 ? farmUnits.hectares(row.areaHa) : '–'),
		},
		{
			key: 'loads',
			head: 'loads logged',
			number: true,
			sort: (row) => row.loadsLogged / Math.max(1, row.loads),
			cell: (row) => `${row.loadsLogged} of ${row.loads}`,
		},
		{ key: 'state', head: 'State', sort: (row) => row.state, cell: (row) => <State state={row.state} /> },
		{
			key: 'next',
			head: 'Next',
			cell: (row) =>
				row.nextLoad !== null && row.state !== 'closed' ? (
					<Button size="compact-sm" variant="default" onClick={() => onLog(row)}>
						Log {portionWord(row.kind)} {row.nextLoad}
					</Button>
				) : row.state === 'done' ? (
					<span className="quiet">close it</span>
				) : null,
		},
	];
}

const NAMED_FIELDS = 3;

function someOf(names: readonly string[]): string {
	const rest = names.length - NAMED_FIELDS;
	return rest > 1
		? `${names.slice(0, NAMED_FIELDS).join(', ')} and ${rest} more`
		: names.slice(0, NAMED_FIELDS + 1).join(', ');
}

/** The state of a job in a word. */
export function State({ state }: { readonly state: JobRow['state'] }) {
	return <span className={state === 'in progress' || state === 'done' ? 'chip' : 'chip plain'}>{state}</span>;
}

function summary(rows: readonly JobRow[]): string {
	const open = rows.filter(({ state }) => state === 'planned' || state === 'in progress');
	const done = rows.filter(({ state }) => state === 'done').length;
	const loads = open.reduce((sum, row) => sum + row.loads - row.loadsLogged, 0);
	const parts = [
		count(rows.length, 'job'),
		open.length > 0 ? `${count(open.length, 'job')} open with ${count(loads, 'load')} to do` : 'none open',
		...(done > 0 ? [`${done} to close`] : []),
	];
	return parts.join(', ');
}
