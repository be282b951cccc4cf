import { chainHead } from '../../db/chain.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { type Report, type ReportName, type ReportUnits, reportNames } from '../../shared/contract/season.ts';
import { displayUnitsOf } from '../../shared/core/display/display-units.ts';
import { csvReport } from '../files/csv-report.ts';
import { xlsxReport } from '../files/xlsx-report.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { paperProgram } from '../paper/render.ts';
import { toIso } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { areaStatement } from './report-areas.ts';
import { containerStatement } from './report-containers.ts';
import { diaryByField, sprayDiary } from './report-diary.ts';
import { treatmentFrequencyIndex } from './report-frequency.ts';
import { jobSheet, missingJob } from './report-job-sheet.ts';
import { limitReview } from './report-limits.ts';
import { limitsUsed } from './report-limits-used.ts';
import { operatorLog, sprayerLog } from './report-logs.ts';
import { nutrientsByField } from './report-nutrients.ts';
import { recommendationReport } from './report-recommendations.ts';
import { stockCounts, stockStatement } from './report-store.ts';
import type { DoneFor, MakeReport, Period } from './report-table.ts';
import { todayOnFields } from './report-today.ts';
import { activeTotals, productTotals } from './report-totals.ts';
import { inUnits } from './report-units.ts';
import { usApplicationList } from './report-us.ts';
import { cleaningLog, incidentLog } from './report-yard.ts';

const makers: Readonly<Record<ReportName, MakeReport>> = {
	today: todayOnFields,
	'spray diary': sprayDiary,
	'diary by field': diaryByField,
	'job sheet': jobSheet,
	'limit review': limitReview,
	'limits used': limitsUsed,
	'nutrients by field': nutrientsByField,
	'product totals': productTotals,
	'active substance totals': activeTotals,
	'treatment frequency index': treatmentFrequencyIndex,
	'stock statement': stockStatement,
	'stock counts': stockCounts,
	'container statement': containerStatement,
	'area statement': areaStatement,
	'operator log': operatorLog,
	'sprayer log': sprayerLog,
	'cleaning log': cleaningLog,
	'incident log': incidentLog,
	recommendations: recommendationReport,
	'US application list': usApplicationList,
};

type Wish = Period &
	DoneFor & {
		readonly report: string;
		readonly units?: ReportUnits | undefined;
	};
type Format = 'json' | 'csv' | 'xlsx' | 'pdf';

/** A report as rows, with the newest entry of both chains, so that a printed page can be held against the books later. */
export async function readReport(
	context: QueryContext,
	{ report, from, to, units = 'metric', ...of }: Wish,
): Promise<Result<Report>> {
	const name = reportNamed(report);
	if (name === null) return refuse('report.unknown', { report, reports: reportNames });
	if (to < from) return refuse('period.reversed', { from, to });
	const { db, farm, now } = context;
	const missing = await missingJob(db, of);
	if (missing) return missing;
	const heads = [];
	for (const chain of ['records', 'ledger'] as const) heads.push({ chain, ...(await chainHead(db, chain)) });
	const made: Report = {
		report: name,
		title: `${name.charAt(0).toUpperCase()}${name.slice(1)}`,
		farm: farm.farmName ?? '',
		from,
		to,
		madeAt: toIso(now, farm.zone),
		heads,
		...(await makers[name](context, { from, to, ...of })),
	};
	return ok(units === 'metric' ? made : inUnits(made, displayUnitsOf(farm)));
}

/** Writes a report to a file, whole or not at all. */
export async function writeReport(
	context: QueryContext,
	{ format, path, ...wish }: Wish & { readonly format: Format; readonly path?: string | undefined },
): Promise<Result<{ path: string; rows: number }>> {
	const report = await readReport(context, { units: format === 'json' ? 'metric' : 'of the farm', ...wish });
	if (!report.ok) return report;
	const bytes = await bytesOf(context, report.value, format);
	if (!bytes.ok) return bytes;
	const { title, from, to, rows } = report.value;
	const written = writeExport(exportPath(context.book.folder, path, `${title} ${from} to ${to}`, format), bytes.value);
	return written.ok ? ok({ path: written.value, rows: rows.length }) : written;
}

async function bytesOf({ printer }: QueryContext, report: Report, format: Format): Promise<Result<Uint8Array>> {
	if (format === 'json') return ok(new TextEncoder().encode(`${JSON.stringify(report, null, '\t')}\n`));
	if (format === 'csv') return ok(new TextEncoder().encode(csvReport(report)));
	if (format === 'xlsx') return ok(await xlsxReport(report));
	if (printer === null) return refuse('pdf.noBrowser');
	const { reportHtml } = await paperProgram();
	return printer.pdf(reportHtml(report));
}

/** The report of that name, however its words are joined. */
function reportNamed(asked: string): ReportName | null {
	const plain = asked
		.replace(/([a-z])([A-Z])/g, '$1 $2')
		.replace(/[-_\s]+/g, ' ')
		.trim()
		.toLowerCase();
	return reportNames.find((name) => name.toLowerCase() === plain) ?? null;
}
