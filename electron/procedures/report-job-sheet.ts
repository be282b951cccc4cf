import { jobsById } from '../../db/modules/jobs.ts';
import { type JobAdvice, recommendationsOfJobs } from '../../db/modules/recommendations.ts';
import { type RecordStored, recordCells } from '../../db/modules/records.ts';
import { writtenDate } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import type { Deviation } from '../../shared/core/recommendations/deviations.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toIso } from './clock.ts';
import { putOnGround } from './dose-put.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import { changedWork } from './recommendations.ts';
import { recordDetails } from './records.ts';
import {
	alphabetical,
	counted,
	date,
	number,
	once,
	type Period,
	type ReportTable,
	text,
	time,
} from './report-table.ts';
import { doseInSpaceWords, doseOnSeedWords, seedWords, spaceWords } from './treated-words.ts';

type Wish = Period & { readonly jobId?: string | undefined };

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
export async function jobSheet(context: QueryContext, { from, to, jobId }: Wish): Promise<ReportTable> {
	const { db } = context;
	const wanted = jobId === undefined ? { from, to } : { jobId };
	const records = await recordCells(db, columnsRead, { ...wanted, order: 'as they come' });
	const found = await jobsById(db, new Set(records.map((row) => row.jobId)));
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
		columns: [
			text('job', 'job', once),
			text('customer', 'for', { under: 'job' }),
			date('date', 'date', once),
			time('startedAt', 'began', { under: 'date', bare: true }),
			time('finishedAt', 'ended', { under: 'date', bare: true }),
			text('field', 'field', once),
			text('crop', 'crop', { under: 'field', bare: true }),
			number('treatedHa', 'treated', 2, { unit: 'ha', ...once }),
			text('seed', 'seed', { under: 'treatedHa' }),
			text('space', 'closed space', { under: 'treatedHa' }),
			number('washedHa', 'washings on', 2, { unit: 'ha', under: 'treatedHa' }),
			text('product', 'product'),
			text('authorisationNo', 'authorisation no.', { under: 'product', bare: true }),
			number('dosePerHa', 'dose per ha', 3, { unitFrom: 'unit' }),
			text('onSeed', 'dose on seed', { under: 'dosePerHa' }),
			text('inSpace', 'dose in closed space', { under: 'dosePerHa' }),
			number('amount', 'amount', 3, { unitFrom: 'unit' }),
			text('unit', 'unit'),
			text('reason', 'reason', once),
			text('advised', 'recommended by', { under: 'reason' }),
			text('operator', 'operator', once),
			text('certificateNo', 'certificate no.', { under: 'operator', bare: true }),
			text('sprayer', 'sprayer', once),
			number('sprayVolumeLPerHa', 'volume', 0, { unit: 'L/ha', under: 'sprayer' }),
			text('carrier', 'carrier', { under: 'sprayer' }),
			number('windSpeedKmh', 'wind', 0, { unit: 'km/h', ...once }),
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
		operator: lines.length === 1 ? details.operator : operatorsOf(lines),
		certificateNo: details.certificateNo,
		sprayer: details.sprayer,
		sprayVolumeLPerHa: details.sprayVolumeLPerHa,
		carrier: details.carrier,
		windSpeedKmh: details.weather?.windSpeedKmh ?? null,
		windDirection: details.weather?.windDirection ?? null,
	};
}

function operatorsOf(lines: readonly SheetRecord[]): string {
	return [...new Set(lines.map((line) => recordDetails(line).operator))].join(', ');
}
