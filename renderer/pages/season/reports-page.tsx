import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { ReportName } from '../../../shared/contract/season.ts';
import { useBook } from '../../api.ts';
import { downloadExported } from '../../door.ts';
import { count, figure, today } from '../../format.ts';
import { ReportSheet } from '../../paper/report-sheet.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice, ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { usePeriod } from './period.tsx';
import {
	addressOf,
	capital,
	type ReportFormat,
	reportFormats,
	reportOfAddress,
	reportPurposes,
	reports,
} from './report-words.ts';
import { SeasonHead } from './season-head.tsx';

/** Reports of the period: what each is for, how it reads, and the file in the form that is asked for. */
export function ReportsPage(props: { readonly report?: string | undefined; readonly jobId?: string | undefined }) {
	const { report: asked, jobId } = props;
	const period = usePeriod();
	const report = reportOfAddress(asked ?? addressOf('spray diary'));
	// What hangs on the yard door is of today, whichever season is looked at.
	const dates = report === 'today' ? { from: today(), to: today() } : period.dates;
	return (
		<Page title={report ? capital(report) : 'Reports'} columns="two-left">
			<section className="screen-only">
				<SeasonHead at="/season/reports" period={period} />
				<nav className="reports" aria-label="Reports">
					{reports.map((name) => (
						<Link
							key={name}
							href={`/season/reports/${addressOf(name)}`}
							aria-current={name === report ? 'page' : undefined}
						>
							<b>{capital(name)}</b>
							<span className="quiet small">{reportPurposes[name]}</span>
						</Link>
					))}
				</nav>
			</section>
			<section aria-label={report ? capital(report) : 'Report'}>
				{report === undefined && <Empty title="There is no such report. Choose one of the list." />}
				{report && dates && <OneReport key={`${report} ${jobId}`} report={report} jobId={jobId} {...dates} />}
			</section>
		</Page>
	);
}

type Wish = {
	readonly report: ReportName;
	readonly from: string;
	readonly to: string;
	readonly jobId?: string | undefined;
	readonly customer?: string | undefined;
};

function useReport(wish: Wish) {
	const { report, from, to, jobId, customer } = wish;
	return useProcedure(
		['season', 'report', report, from, to, jobId, customer],
		(api, signal) => api.season.read({ ...wish, units: 'of the farm' }, { signal }),
		{ keepPrevious: true },
	);
}

function OneReport(asked: Wish) {
	const { report, from, to, jobId } = asked;
	const [customer, setCustomer] = useState<string>();
	const wish = { ...asked, customer };
	const read = useReport(wish);
	return (
		<>
			<Formats key={`${from} ${to} ${customer}`} {...wish} />
			{report === 'job sheet' && jobId === undefined && (
				<CustomerPick wish={asked} customer={customer} onChange={setCustomer} />
			)}
			{jobId !== undefined && (
				<p className="screen-only">
					This job alone, whenever it was done.{' '}
					<Link href={`/season/reports/${addressOf(report)}`}>All jobs of the period</Link>
				</p>
			)}
			<div className="preview">
				<Answered asked={read}>{(answer) => <ReportSheet report={answer} />}</Answered>
			</div>
		</>
	);
}

/** For whom the sheet is, where the period has contract work: no customer reads what was done for another. */
function CustomerPick(props: {
	readonly wish: Wish;
	readonly customer: string | undefined;
	readonly onChange: (customer: string | undefined) => void;
}) {
	const { wish, customer, onChange } = props;
	const names = new Set((useReport(wish).answer?.rows ?? []).flatMap((row) => row['customer'] ?? []).map(String));
	if (names.size === 0) return null;
	return (
		<div className="formats screen-only">
			<Pick
				label="Done for"
				placeholder="Everyone"
				clearable
				options={[...names].sort().map((value) => ({ value, label: value }))}
				value={customer ?? null}
				onChange={(name) => onChange(name ?? undefined)}
			/>
		</div>
	);
}

/** The records themselves also go into the file that (EU) 2023/564 asks for. */
const recordReports: ReadonlySet<ReportName> = new Set(['spray diary', 'diary by field', 'job sheet']);

/** One button a form. In the desktop window the place is asked for; in a browser the file is downloaded. */
function Formats({ report, ...of }: Wish) {
	const { from, to } = of;
	const book = useBook();
	const write = useCommand(
		(api, { format, path }: { readonly format: ReportFormat; readonly path?: string }) =>
			api.season.report({ report, format, ...of, ...(path === undefined ? {} : { path }) }),
		({ path }, wish) => {
			if (wish.path === undefined) downloadExported(book, path);
		},
	);

	const file = useCommand(
		(api, { path }: { readonly path?: string }) =>
			api.season.recordFile({ ...of, ...(path === undefined ? {} : { path }) }),
		({ path }, wish) => {
			if (wish.path === undefined) downloadExported(book, path);
		},
	);

	async function makeFile(): Promise<void> {
		const pickTarget = window.fillmark?.pickTarget;
		if (!pickTarget) return void file.run({});
		const path = await pickTarget(`Spray records ${from} to ${to}.json`);
		if (path !== null) await file.run({ path });
	}

	async function make(format: ReportFormat): Promise<void> {
		const pickTarget = window.fillmark?.pickTarget;
		if (!pickTarget) return void write.run({ format });
		const path = await pickTarget(`${capital(report)} ${from} to ${to}.${format}`);
		if (path !== null) await write.run({ format, path });
	}

	return (
		<div className="screen-only">
			<div className="formats">
				{reportFormats.map(([format, words], index) => (
					<Button
						key={format}
						variant={index === 0 ? 'filled' : 'default'}
						disabled={write.busy}
						onClick={() => make(format)}
					>
						{words}
					</Button>
				))}
				{recordReports.has(report) && (
					<Button variant="default" disabled={file.busy} title="Read by software, for the authority" onClick={makeFile}>
						Record file of the EU rule
					</Button>
				)}
			</div>
			<ProblemNotice problem={write.problem ?? file.problem} />
			{file.answer && (
				<div className="formats">
					<DoneNotice>
						{count(file.answer.records, 'record')} written to {file.answer.path}
						{file.answer.incomplete > 0 &&
							`; ${count(file.answer.incomplete, 'record lacks', 'records lack')} something the EU rule asks for, named in it`}
						{file.answer.late > 0 &&
							`; ${count(file.answer.late, 'was', 'were')} first written later than 30 days after the use`}
						{file.answer.unplaced > 0 &&
							`; of ${figure(file.answer.unplaced)} the field has neither a code nor a boundary: enter one in the register, for the rule asks where it was`}
					</DoneNotice>
				</div>
			)}
			{write.answer && (
				<div className="formats">
					<DoneNotice>
						{count(write.answer.rows, 'row')} written to {write.answer.path}
					</DoneNotice>
				</div>
			)}
		</div>
	);
}
