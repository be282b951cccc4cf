import { Button } from '@mantine/core';
import { type ReactNode, useState } from 'react';
import { Link } from 'wouter';
import type { Incident } from '../../../shared/contract/fills.ts';
import { SPILL_CAUTIONS, TROUBLE_ROUTINE } from '../../../shared/core/filling/yard-routines.ts';
import { count, shortDate, timeOfDay } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { MoreAbout } from '../fill/incident-entry.tsx';
import { WhomToTell } from '../fill/whom-to-tell.tsx';
import { RecordsNav } from '../records/records-nav.tsx';
import { PeriodPick, usePeriod } from '../season/period.tsx';
import { EnterIncident } from './enter-incident.tsx';
import { WithdrawIncident } from './withdraw-incident.tsx';
import './incidents.css';
import { type Units, useUnits } from '../../units.ts';

/** What went over, out or onto somebody in a period; each may still be said more about. */
export function IncidentsPage() {
	const units = useUnits();
	const period = usePeriod();
	const { dates } = period;
	const incidents = useProcedure(
		['fills', 'incidents', dates?.from, dates?.to],
		(api) => api.fills.incidents({ ...dates }),
		{ enabled: dates !== null, keepPrevious: true },
	);
	const products = useProcedure(['products'], (api) => api.products.list({}));
	const jobs = useProcedure(['jobs'], (api) => api.jobs.list({}));
	const [opened, setOpened] = useState<Incident | 'new' | null>(null);
	const [withdrawing, setWithdrawing] = useState(false);
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const close = () => {
		setOpened(null);
		setWithdrawing(false);
	};
	const lost = (products.answer ?? []).map(({ id, name, unit }) => ({ productId: id, name, unit }));
	return (
		<Page title="Incidents" columns="two">
			<section aria-label="Incidents">
				<PageHead title="Incidents" under={summary(incidents.answer, period.during)}>
					<Button component={Link} href="/season/reports/incident-log" variant="default">
						Print or hand over
					</Button>
					<Button onClick={() => setOpened('new')}>Enter an incident</Button>
				</PageHead>
				<RecordsNav at="/records/incidents" />
				<div className="row incident-period">
					<PeriodPick period={period} />
				</div>
				<Answered asked={incidents}>
					{(rows) =>
						rows.length === 0 ? (
							<Empty title={`Nothing was logged ${period.during}.`}>
								Overflow, foam over the side, spill, splash, leak, blocked foil: two presses log it in the running fill,
								and the rest may follow here.
							</Empty>
						) : (
							<Table
								caption="Incidents, newest first"
								rows={rows}
								rowKey={(row) => row.id}
								columns={columnsIn(units)}
								muted={(row) => row.withdrawn !== null}
								onOpen={(row) => row.withdrawn === null && setOpened(row)}
							/>
						)
					}
				</Answered>
			</section>
			<section aria-label="What to do and whom to tell">
				<WhatToDo />
			</section>
			<Dialog title="Enter an incident" opened={opened === 'new'} onClose={close} size="wide">
				<EnterIncident products={lost} onClose={close} />
			</Dialog>
			<Dialog
				title={withdrawing ? 'Withdraw the incident' : 'More about it'}
				opened={opened !== null && opened !== 'new'}
				onClose={close}
				size="wide"
			>
				{opened !== null && opened !== 'new' && (
					<>
						<p>{said(opened, units)}</p>
						{withdrawing ? (
							<WithdrawIncident incident={opened} by={settings.answer?.operator ?? opened.who} onClose={close} />
						) : (
							<>
								<MoreAbout
									products={lost}
									kind={jobs.answer?.find(({ id }) => id === opened.jobId)?.kind ?? null}
									incident={opened}
									by={opened.who}
									onClose={close}
									back="Back to the list"
								/>
								<p className="above small">
									Entered wrongly?{' '}
									<Button size="compact-sm" variant="subtle" onClick={() => setWithdrawing(true)}>
										Withdraw it
									</Button>
								</p>
							</>
						)}
					</>
				)}
			</Dialog>
		</Page>
	);
}

const columnsIn = (units: Units): Column<Incident>[] => [
	{
		key: 'when',
		head: 'When',
		sort: (row) => row.happenedAt,
		cell: (row) => (
			<span className="nowrap">
				{shortDate(row.happenedAt)} <span className="second">{timeOfDay(row.happenedAt)}</span>
			</span>
		),
	},
	{
		key: 'kind',
		head: 'What',
		sort: (row) => row.kind,
		cell: (row) => (
			<>
				{row.withdrawn ? <s>{row.kind}</s> : row.kind}
				{row.withdrawn && <span className="second">withdrawn: {row.withdrawn.why}</span>}
				{row.job && (
					<span className="second">
						{row.job}
						{row.load !== null && `, load ${row.load}`}
					</span>
				)}
			</>
		),
	},
	{ key: 'lost', head: 'How much', cell: (row) => struck(row, lostWords(row, units)) ?? <Open row={row} /> },
	{ key: 'went', head: 'Where it went', cell: (row) => struck(row, row.wentTo) ?? <Open row={row} /> },
	{ key: 'done', head: 'What was done', cell: (row) => struck(row, row.done) ?? <Open row={row} /> },
	{
		key: 'told',
		head: 'Who was told',
		cell: (row) => (
			<>
				{struck(row, row.told) ?? <Open row={row} />}
				<span className="second">
					{row.withdrawn ? 'withdrawn' : 'entered'} by {row.who}
				</span>
			</>
		),
	},
];

/** Of what is withdrawn nothing more is asked. */
function Open({ row }: { readonly row: Incident }) {
	return row.withdrawn ? null : <span className="chip">not said</span>;
}

function struck({ withdrawn }: Incident, words: string | null): ReactNode {
	return withdrawn && words !== null ? <s>{words}</s> : words;
}

function lostWords({ amount: lost, unit, product, mixL }: Incident, { amount, volume }: Units): string | null {
	const parts = [
		lost !== null && unit !== null ? `${amount(lost, unit)} ${product}` : null,
		mixL === null ? null : `${volume(mixL)} of mix or water`,
	].filter((part) => part !== null);
	return parts.length > 0 ? parts.join(', ') : null;
}

function said(incident: Incident, units: Units): string {
	const { kind, happenedAt, wentTo, done, told } = incident;
	const known = [lostWords(incident, units), wentTo, done, told && `told: ${told}`].filter(Boolean).join('; ');
	return `${shortDate(happenedAt)}, ${timeOfDay(happenedAt)}, ${kind}${known === '' ? '.' : `: ${known}.`}`;
}

function summary(rows: readonly Incident[] | undefined, during: string): string | null {
	if (!rows || rows.length === 0) return null;
	const standing = rows.filter(({ withdrawn }) => withdrawn === null);
	const open = standing.filter((row) => row.wentTo === null || row.done === null || row.told === null).length;
	return `${count(standing.length, 'incident')} ${during}${open > 0 ? `, ${open} not told in full` : ''}`;
}

function WhatToDo() {
	return (
		<>
			<h2>When it happens</h2>
			<ol className="steps">
				{TROUBLE_ROUTINE.map((step) => (
					<li key={step.do}>
						<b>{step.do}.</b> <span className="quiet">{step.how}</span>
					</li>
				))}
			</ol>
			<h2>What got out</h2>
			<ul className="cautions">
				{SPILL_CAUTIONS.map((line) => (
					<li key={line}>{line}</li>
				))}
			</ul>
			<h2>Whom to tell</h2>
			<WhomToTell />
			<p className="quiet small">
				Common practice. The labels, the safety data sheets and the law of the place come first; some ask for a report
				within a set time.
			</p>
		</>
	);
}
