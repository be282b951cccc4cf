import { jobFields, jobProducts, type LoadLogStored, listJobs, loadLogs, standing } from '../../db/modules/jobs.ts';
import { listRecords } from '../../db/modules/records.ts';
import type { ReportColumn, ReportRow } from '../../shared/contract/season.ts';
import { endOfDay, startOfDay, toIso, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { logDetails, planOf } from './job-details.ts';
import { recordDetails } from './records.ts';
import { alphabetical, date, number, type Period, type ReportTable, text, time, totalsOf } from './report-table.ts';

const operator: readonly ReportColumn[] = [
	text('operator', 'operator'),
	text('certificateNo', 'certificate no.', { under: 'operator' }),
];

const rest: readonly ReportColumn[] = [
	date('date', 'date'),
	time('startedAt', 'began', { under: 'date' }),
	time('finishedAt', 'ended', { under: 'date' }),
	text('job', 'job'),
	text('load', 'load'),
	text('state', 'state', { under: 'load' }),
	text('fields', 'fields'),
	text('products', 'products'),
	number('areaHa', 'treated', 2, { unit: 'ha' }),
	number('newMixL', 'mix made up', 0, { unit: 'L' }),
	number('meteredL', 'water metered', 0, { unit: 'L' }),
];

/** Who mixed and sprayed which loads. */
export async function operatorLog(context: QueryContext, period: Period): Promise<ReportTable> {
	return logTable([...operator, text('sprayer', 'sprayer'), ...rest], await logRows(context, period), 'operator');
}

/** Which loads each sprayer carried. */
export async function sprayerLog(context: QueryContext, period: Period): Promise<ReportTable> {
	return logTable([text('sprayer', 'sprayer'), ...operator, ...rest], await logRows(context, period), 'sprayer');
}

function logTable(columns: ReportColumn[], rows: ReportRow[], by: string): ReportTable {
	rows.sort(
		(a, b) =>
			alphabetical(String(a[by]), String(b[by])) ||
			Date.parse(String(a['startedAt'])) - Date.parse(String(b['startedAt'])),
	);
	return { columns, rows, totals: totalsOf(rows, by, ['areaHa', 'newMixL', 'meteredL']), notes: [] };
}

async function logRows({ db, farm }: QueryContext, { from, to }: Period): Promise<ReportRow[]> {
	const start = startOfDay(from, farm.zone);
	const end = endOfDay(to, farm.zone);
	const logs = standing(await loadLogs(db)).filter(({ startedAt }) => startedAt >= start && startedAt <= end);
	const ids = [...new Set(logs.map(({ jobId }) => jobId))];
	const jobs = new Map((await listJobs(db)).map((row) => [row.job.id, row]));
	const names = new Map((await jobFields(db, ids)).map(({ line, name }) => [line.fieldId, name]));
	const products = Map.groupBy(await jobProducts(db, ids), ({ line }) => line.jobId);
	const records = await listRecords(db, { loadLogIds: logs.map(({ id }) => id) });
	const certificates = new Map(records.map((row) => [row.loadLogId, recordDetails(row).certificateNo]));
	return logs.map((log: LoadLogStored): ReportRow => {
		const found = jobs.get(log.jobId);
		const plan = found ? planOf(found.job) : null;
		const { ground } = logDetails(log);
		return {
			operator: log.operator,
			certificateNo: certificates.get(log.id) ?? null,
			sprayer: found?.sprayer ?? null,
			date: toLocalDate(log.startedAt, farm.zone),
			startedAt: toIso(log.startedAt, farm.zone),
			finishedAt: toIso(log.finishedAt, farm.zone),
			job: found?.job.name ?? null,
			load: `${log.loadNumber} of ${plan?.loads.length ?? '?'}`,
			state: log.state === 'complete' ? 'complete' : 'broken off',
			fields: ground.map(({ fieldId }) => names.get(fieldId) ?? '?').join(', '),
			products: (products.get(log.jobId) ?? []).map(({ name }) => name).join(', '),
			areaHa: ground.reduce((sum, { areaHa }) => sum + areaHa, 0),
			newMixL: plan?.loads.find(({ load }) => load === log.loadNumber)?.newMixL ?? null,
			meteredL: log.meteredL,
		};
	});
}
