import { findJob, type JobStored, jobsById } from '../../db/modules/jobs.ts';
import { type JobAdvice, recommendationsOfJobs } from '../../db/modules/recommendations.ts';
import { type RecordStored, recordCells } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { writtenDate } from '../../shared/basics/calendar.ts';
import { refuse } from '../../shared/basics/result.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import type { Deviation } from '../../shared/core/recommendations/deviations.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toIso } from './clock.ts';
import { putOnGround } from './dose-put.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import { changedWork } from './recommendations.ts';
import { type RecordDetails, recordDetails } from './records.ts';
import {
	alphabetical,
	counted,
	type DoneFor,
	date,
	number,
	once,
	type Period,
	type ReportTable,
	text,
	time,
	writtenMoment,
} from './report-table.ts';
import { doseInSpaceWords, doseOnSeedWords, seedWords, spaceWords } from './treated-words.ts';

type Wish = Period & DoneFor;

const columnsRead = [
	'jobId',
	'sprayDate',
	'fieldId',
	'fieldName',
	'productId',
	'productName',
	'unit',
	'treatedM2',
	'washedM2',
	'amount',
	'startedAt',
	'finishedAt',
	'confirmed',
	'writtenAt',
	'details',
] as const;
type SheetRecord = Pick<RecordStored, (typeof columnsRead)[number]>;

/** What was done, for whoever it was done for: one job, or all jobs of the period, field by field and product by product. */
export async function jobSheet(context: QueryContext, { from, to, ...of }: Wish): Promise<ReportTable> {
	const { db } = context;
	const wanted = of.jobId === undefined ? { from, to } : { jobId: of.jobId };
	const all = await recordCells(db, columnsRead, { ...wanted, order: 'as they come' });
	const found = await jobsById(db, new Set(all.map((row) => row.jobId)));
	const records = all.filter((row) => isFor(found.get(row.jobId), of));
	const advice = await recommendationsOfJobs(db, found.keys());
	const jobs = new Map(
		[...found].map(([id, job]): [string, JobOf] => {
			const given = advice.get(id)?.row;
			const advised = given ? `${given.adviser}, ${writtenDate(given.givenOn)}` : null;
			const { name, version } = job;
			return [id, { name, version, customer: detailsOf(job).customer, advised }];
		}),
	);
	const together = Map.groupBy(records, inOrder(records, jobs));
	const rows = [...together]
		.sort(([a], [b]) => a - b)
		.flatMap(([, lines]): ReportRow[] => {
			// Few lines have others beside them: these are sorted, not the whole season.
			const [first] = lines.length > 1 ? lines.sort((a, b) => a.startedAt - b.startedAt) : lines;
			const job = first && jobs.get(first.jobId);
			return first && job ? [lineOf(first, lines, job)] : [];
		});
	const unconfirmed = records.filter(({ confirmed }) => confirmed === 0).length;
	return {
		...daysOf(records, of),
		columns: [
			text('job', 'job', once),
			text('customer', 'for', { under: 'job' }),
			date('date', 'date', once),
			time('startedAt', 'began', { under: 'date', bare: true }),
			time('finishedAt', 'ended', { under: 'date', bare: true }),
			text('field', 'field', once),
			text('crop', 'crop', { under: 'field', bare: true }),
			text('eppoCode', 'EPPO code', { under: 'field', bare: true }),
			text('growthStage', 'BBCH', { under: 'field' }),
			number('treatedHa', 'treated', 2, { unit: 'ha', ...once }),
			text('seed', 'seed', { under: 'treatedHa' }),
			text('space', 'closed space', { under: 'treatedHa' }),
			number('washedHa', 'washings on', 2, { unit: 'ha', under: 'treatedHa' }),
			text('product', 'product'),
			text('authorisationNo', 'authorisation no.', { under: 'product', bare: true }),
			number('dosePerHa', 'dose per ha', 3, { unitFrom: 'unit' }),
			text('onSeed', 'dose on seed', { under: 'dosePerHa' }),
			text('inSpace', 'dose in closed space', { under: 'dosePerHa' }),
			text('noEntryUntil', 'no entry until', { under: 'dosePerHa', bare: true }),
			number('amount', 'amount', 3, { unitFrom: 'unit' }),
			text('unit', 'unit'),
			date('harvestFrom', 'harvest from', { under: 'amount', bare: true }),
			text('reason', 'reason', once),
			text('advised', 'recommended by', { under: 'reason' }),
			text('operator', 'operator', once),
			text('certificateNo', 'certificate no.', { under: 'operator', bare: true }),
			text('sprayer', 'sprayer', once),
			number('sprayVolumeLPerHa', 'volume', 0, { unit: 'L/ha', under: 'sprayer' }),
			text('carrier', 'carrier', { under: 'sprayer' }),
			number('windSpeedKmh', 'wind', 0, { unit: 'km/h', ...once }),
			number('windUpToKmh', 'up to', 0, { unit: 'km/h', under: 'windSpeedKmh' }),
			text('windDirection', 'wind from', { under: 'windSpeedKmh', bare: true }),
		],
		rows,
		totals: null,
		notes: [
			...(await adviceWords(context, { jobs, advice, records })),
			...(unconfirmed > 0
				? [`${counted(unconfirmed, 'record line holds', 'record lines hold')} planned amounts that nobody confirmed.`]
				: []),
			'Contract work: the customer is given the records, or a copy, without delay (guidance on Implementing Regulation (EU) 2023/564).',
		],
	};
}

/** A refusal where there is no such job. */
export async function missingJob(db: ReadDb, { jobId }: DoneFor): Promise<ReturnType<typeof refuse> | null> {
	if (jobId === undefined || (await findJob(db, jobId))) return null;
	return refuse('not.found', { what: 'job', id: jobId });
}

/** Whether a job is one of those asked for. */
export function isFor(job: JobStored | undefined, { jobId, customer }: DoneFor): boolean {
	if (jobId !== undefined && job?.id !== jobId) return false;
	return customer === undefined || (job !== undefined && detailsOf(job).customer === customer);
}

/** The days of one job, where it is looked at by itself. */
export function daysOf(records: readonly { readonly sprayDate: string }[], { jobId }: DoneFor): Partial<Period> {
	const days = records.map(({ sprayDate }) => sprayDate).sort();
	const [from, to] = [days.at(0), days.at(-1)];
	return jobId === undefined || from === undefined || to === undefined ? {} : { from, to };
}

/** One number for each date, job, field and product that grows in that order, names as a person looks them up. */
function inOrder(
	records: readonly SheetRecord[],
	named: ReadonlyMap<string, { readonly name: string }>,
): (record: SheetRecord) => number {
	const dates = places(new Map(records.map(({ sprayDate }) => [sprayDate, sprayDate])));
	const jobs = places(new Map([...named].map(([id, { name }]) => [id, name])));
	const fields = places(new Map(records.map((row) => [placeOf(row), row.fieldName])));
	const products = places(new Map(records.map(({ productId, productName }) => [productId, productName])));
	return (row) => {
		const job = dates.of(row.sprayDate) * jobs.size + jobs.of(row.jobId);
		const line = (job * fields.size + fields.of(placeOf(row))) * products.size + products.of(row.productId);
		return 2 * line + (row.washedM2 === null ? 0 : 1);
	};
}

/** A field, or where there is none the lot of seed or the closed space. */
function placeOf({ fieldId, fieldName }: SheetRecord): string {
	return fieldId ?? fieldName;
}

/** The place of each id when they are sorted by their names. */
function places(names: ReadonlyMap<string, string>): { readonly size: number; of(id: string): number } {
	const sorted = [...names].sort(([a, nameA], [b, nameB]) => alphabetical(nameA, nameB) || (a < b ? -1 : 1));
	const at = new Map(sorted.map(([id], place) => [id, place]));
	return { size: sorted.length, of: (id) => at.get(id) ?? 0 };
}

type JobOf = {
	readonly name: string;
	readonly version: number;
	readonly customer: string | null;
	/** Who recommended it, and when. */
	readonly advised: string | null;
};

type Advised = {
	readonly jobs: ReadonlyMap<string, JobOf>;
	readonly advice: ReadonlyMap<string, JobAdvice>;
	readonly records: readonly SheetRecord[];
};

/** One sentence for each job that was recommended: by whom, until when it held, where the work departed from it. */
async function adviceWords({ db, farm }: QueryContext, { jobs, advice, records }: Advised): Promise<string[]> {
	const notes: string[] = [];
	const recordsOf = Map.groupBy(records, ({ jobId }) => jobId);
	for (const [jobId, { name, version }] of jobs) {
		const followed = advice.get(jobId);
		if (!followed) continue;
		const { adviser, certificateNo, reference, givenOn, validUntil } = followed.row;
		const days = new Set((recordsOf.get(jobId) ?? []).map(({ sprayDate }) => sprayDate));
		const changed = version > 1 ? await changedWork(db, farm, jobId, followed) : null;
		const apart = [
			...(changed ?? (JSON.parse(followed.deviations) as Deviation[])).map(({ say }) => say),
			...[...days]
				.filter((day) => day > validUntil)
				.map((day) => `Sprayed on ${writtenDate(day)}, when it no longer held.`),
		];
		const who = [adviser, certificateNo && `certificate ${certificateNo}`, reference && `sheet ${reference}`];
		const until = `given ${writtenDate(givenOn)}, valid until ${writtenDate(validUntil)}`;
		const taken = followed.withdrawal ? ` It was withdrawn: ${followed.withdrawal.why}.` : '';
		notes.push(
			`${name}: recommended by ${who.filter(Boolean).join(', ')}, ${until}.${taken} ${apart.length > 0 ? apart.join(' ') : 'Followed.'}`,
		);
	}
	return notes;
}

function lineOf(first: SheetRecord, lines: readonly SheetRecord[], { name, customer, advised }: JobOf): ReportRow {
	const details = recordDetails(first);
	const each = lines.length === 1 ? [details] : lines.map(recordDetails);
	const m2 = lines.reduce((sum, { treatedM2 }) => sum + treatedM2, 0);
	const washedM2 = lines.reduce((sum, line) => sum + (line.washedM2 ?? 0), 0);
	const amount = fromStockAmount(lines.reduce((sum, line) => sum + line.amount, 0));
	return {
		customer,
		job: name,
		date: first.sprayDate,
		startedAt: toIso(Math.min(...lines.map(({ startedAt }) => startedAt)), details.zone),
		finishedAt: toIso(Math.max(...lines.map(({ finishedAt }) => finishedAt)), details.zone),
		field: first.fieldName,
		crop: details.crop,
		eppoCode: details.eppoCode,
		growthStage: details.growthStage,
		treatedHa: m2 > 0 ? toHectares(m2) : null,
		washedHa: washedM2 > 0 ? toHectares(washedM2) : null,
		seed: details.seed && seedWords(lines.map(recordDetails)),
		space: details.space && spaceWords(lines.map(recordDetails)),
		product: first.productName,
		authorisationNo: details.authorisationNo,
		dosePerHa:
			details.seed || details.space
				? null
				: lines.reduce((sum, line) => sum + putOnGround(line), 0) / toHectares(washedM2 || m2),
		onSeed: doseOnSeedWords(details.seed, first.unit),
		inSpace: doseInSpaceWords(details.space),
		amount,
		unit: first.unit,
		reason: details.reason,
		advised,
		operator: each.length === 1 ? details.operator : [...new Set(each.map(({ operator }) => operator))].join(', '),
		certificateNo: details.certificateNo,
		sprayer: details.sprayer,
		sprayVolumeLPerHa: details.sprayVolumeLPerHa,
		carrier: details.carrier,
		noEntryUntil: latestOf(each, ({ noEntryUntil, zone }) => noEntryUntil && toIso(noEntryUntil, zone), writtenMoment),
		harvestFrom: latestOf(each, ({ harvestFrom }) => harvestFrom),
		...windOf(each),
	};
}

/** The wind of all loads: from the least to the most, and each direction. Most lines are of one load. */
function windOf(each: readonly RecordDetails[]) {
	const [first] = each;
	if (each.length === 1) {
		const { windSpeedKmh = null, windDirection = null } = first?.weather ?? {};
		return { windSpeedKmh, windUpToKmh: null, windDirection };
	}
	const winds = each.flatMap(({ weather }) => weather?.windSpeedKmh ?? []);
	return {
		windSpeedKmh: winds.length > 0 ? Math.min(...winds) : null,
		windUpToKmh: new Set(winds).size > 1 ? Math.max(...winds) : null,
		windDirection: [...new Set(each.flatMap(({ weather }) => weather?.windDirection ?? []))].join(', ') || null,
	};
}

/** The latest of the days or moments the loads end with, in the words of `say`; null: none is known. */
function latestOf(
	each: readonly RecordDetails[],
	read: (details: RecordDetails) => string | 0 | null,
	say: (found: string) => string = String,
): string | null {
	const [first] = each;
	if (first && each.length === 1) {
		const only = read(first);
		return only ? say(only) : null;
	}
	const last = each
		.flatMap((details) => read(details) || [])
		.sort()
		.at(-1);
	return last === undefined ? null : say(last);
}
