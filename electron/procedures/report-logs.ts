import { fieldNames } from '../../db/modules/fields.ts';
import { jobsById, type LoadLogStored, productNamesOfJobs, standingLogs } from '../../db/modules/jobs.ts';
import { listOperators } from '../../db/modules/operators.ts';
import { recordedOfLoads } from '../../db/modules/records.ts';
import { listSprayers } from '../../db/modules/sprayers.ts';
import { writtenDate } from '../../shared/basics/calendar.ts';
import type { ReportColumn, ReportRow } from '../../shared/contract/season.ts';
import { dueWords } from '../../shared/core/sprayers/reminders.ts';
import { endOfDay, startOfDay, toIso, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { logDetails, planOf } from './job-details.ts';
import { date, number, once, type Period, type ReportTable, ranks, text, time, totalsOf } from './report-table.ts';
import type { SprayerDetails } from './sprayers.ts';

const operator: readonly ReportColumn[] = [
	text('operator', 'operator', once),
	text('certificateNo', 'certificate no.', { under: 'operator', bare: true }),
];

const rest: readonly ReportColumn[] = [
	date('date', 'date', once),
	text('job', 'job', once),
	text('products', 'products', once),
	text('load', 'load'),
	time('startedAt', 'began', { under: 'load', bare: true }),
	time('finishedAt', 'ended', { under: 'load', bare: true }),
	text('state', 'state', { under: 'load', usual: 'complete' }),
	text('fields', 'fields'),
	number('areaHa', 'treated', 2, { unit: 'ha' }),
	number('newMixL', 'mix made up', 0, { unit: 'L' }),
	number('meteredL', 'water metered', 0, { unit: 'L' }),
];

/** Who mixed and sprayed which loads, and of whom no certificate is named. */
export async function operatorLog(context: QueryContext, period: Period): Promise<ReportTable> {
	const rows = await logRows(context, period);
	const today = toLocalDate(context.now, context.farm.zone);
	const held = new Map((await listOperators(context.db)).map((each) => [each.name.toLowerCase(), each]));
	const notes = [...Map.groupBy(rows, ({ operator }) => String(operator))].flatMap(([name, own]) => {
		const without = own.filter(({ certificateNo }) => certificateNo === null).length;
		const until = held.get(name.toLowerCase())?.certificateUntil;
		return [
			`${name}: ${until ? `certificate ${dueWords('certificate', until, today)}` : 'when the certificate runs out is not on the books'}.`,
			...(without === 0 ? [] : [`${name}: no certificate number stands on ${without} of ${own.length} loads.`]),
		];
	});
	return { ...logTable([...operator, text('sprayer', 'sprayer', once), ...rest], rows, 'operator'), notes };
}

/** Which loads each sprayer carried, and when it is to be tested next. */
export async function sprayerLog(context: QueryContext, period: Period): Promise<ReportTable> {
	const rows = await logRows(context, period);
	const today = toLocalDate(context.now, context.farm.zone);
	const used = new Set(rows.map(({ sprayer }) => sprayer));
	const sprayers = (await listSprayers<SprayerDetails>(context.db)).filter(({ name }) => used.has(name));
	const notes = sprayers.map(
		({ name, testedOn, testDueOn }) => `${name}: ${testWords({ testedOn, testDueOn, today })}.`,
	);
	return { ...logTable([text('sprayer', 'sprayer', once), ...operator, ...rest], rows, 'sprayer'), notes };
}

function testWords({ testedOn, testDueOn, today }: Pick<SprayerDetails, 'testedOn' | 'testDueOn'> & { today: string }) {
	const last = testedOn ? `tested on ${writtenDate(testedOn)}` : 'no sprayer test is on the books';
	if (!testDueOn) return `${last}; when it is due next is not on the books`;
	return `${last}; ${dueWords('sprayer test', testDueOn, today)}`;
}

function logTable(columns: ReportColumn[], rows: ReportRow[], by: string): ReportTable {
	const place = ranks(rows.map((row) => String(row[by])));
	const at = new Map(rows.map((row) => [row, Date.parse(String(row['startedAt']))]));
	rows.sort((a, b) => place(String(a[by])) - place(String(b[by])) || (at.get(a) ?? 0) - (at.get(b) ?? 0));
	return { columns, rows, totals: totalsOf(rows, by, ['areaHa', 'newMixL', 'meteredL']), notes: [] };
}

async function logRows({ db, farm }: QueryContext, { from, to }: Period): Promise<ReportRow[]> {
	const start = startOfDay(from, farm.zone);
	const end = endOfDay(to, farm.zone);
	const logs = await standingLogs(db, { from: start, to: end });
	const ids = [...new Set(logs.map(({ jobId }) => jobId))];
	const jobs = new Map([...(await jobsById(db, ids))].map(([id, job]) => [id, { ...job, loads: planOf(job).loads }]));
	const names = await fieldNames(db);
	const products = await productNamesOfJobs(db, ids);
	const recorded = await recordedOfLoads(
		db,
		logs.map(({ id }) => id),
	);
	const made = new Set<string>();
	return logs.map((log: LoadLogStored): ReportRow => {
		const job = jobs.get(log.jobId);
		// A load that is gone on with after a stop was made up once.
		const goesOn = made.has(`${log.jobId} ${log.loadNumber}`);
		made.add(`${log.jobId} ${log.loadNumber}`);
		const { ground } = logDetails(log);
		// As its records have it: a zone that is set later moves none of them.
		const zone = recorded.get(log.id)?.zone ?? farm.zone;
		return {
			operator: log.operator,
			certificateNo: recorded.get(log.id)?.certificateNo ?? null,
			sprayer: job?.sprayer ?? null,
			date: toLocalDate(log.startedAt, zone),
			startedAt: toIso(log.startedAt, zone),
			finishedAt: toIso(log.finishedAt, zone),
			job: job?.name ?? null,
			load: `${log.loadNumber} of ${job?.loads.length ?? '?'}`,
			state: log.state === 'complete' ? 'complete' : 'broken off',
			fields: ground.map(({ fieldId }) => names.get(fieldId) ?? '?').join(', '),
			products: (products.get(log.jobId) ?? []).join(', '),
			areaHa: ground.length > 0 ? ground.reduce((sum, { areaHa }) => sum + areaHa, 0) : null,
			newMixL: goesOn ? null : job?.loads.find(({ load }) => load === log.loadNumber)?.newMixL || null,
			meteredL: log.meteredL,
		};
	});
}
