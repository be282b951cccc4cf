import { Button } from '@mantine/core';

import { Link } from 'wouter';
import type { ReportName } from '../../../shared/contract/season.ts';
import { useBook } from '../../api.ts';
import { downloadExported } from '../../door.ts';
import { count } from '../../format.ts';
import { ReportSheet } from '../../paper/report-sheet.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page } from '../../parts/page.tsx';
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
export function ReportsPage({ report: asked }: { readonly report?: string | undefined }) {
	const period = usePeriod();
	const report = reportOfAddress(asked ?? addressOf('spray diary'));
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
				{report && period.dates && <OneReport key={report} report={report} {...period.dates} />}
			</section>
		</Page>
	);
}

type Wish = { readonly report: ReportName; readonly from: string; readonly to: string };

function OneReport({ report, from, to }: Wish) {
	const read = useProcedure(['season', 'report', report, from, to], (api, signal) =>
		api.season.read({ report, from, to, units: 'of the farm' }, { signal }),
	);
	return (
		<>
			<Formats key={`${from} ${to}`} report={report} from={from} to={to} />
			<div className="preview">
				<Answered asked={read}>{(answer) => <ReportSheet report={answer} />}</Answered>
			</div>
		</>
	);
}

/** The records themselves also go into the file that (EU) 2023/564 asks for. */
const recordReports: ReadonlySet<ReportName> = new Set(['spray diary', 'diary by field']);

/** One button a form. In the desktop window the place is asked for; in a browser the file is downloaded. */
function Formats({ report, from, to }: Wish) {
	const book = useBook();
	const write = useCommand(
		(api, { format, path }: { readonly format: ReportFormat; readonly path?: string }) =>
			api.season.report({ report, format, from, to, ...(path === undefined ? {} : { path }) }),
		({ path }, wish) => {
			if (wish.path === undefined) downloadExported(book, path);
		},
	);

	const file = useCommand(
		(api, { path }: { readonly path?: string }) =>
			api.season.recordFile({ from, to, ...(path === undefined ? {} : { path }) }),
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
