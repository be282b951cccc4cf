import { findJob, listJobs } from '../../db/modules/jobs.ts';
import { listRecords, type RecordStored } from '../../db/modules/records.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toIso } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import { doseOnSeedWords, recordDetails, seedWords } from './records.ts';
import { alphabetical, date, number, type Period, type ReportTable, text, time } from './report-table.ts';

type Wish = Period & { readonly jobId?: string | undefined };

/** What was done, for whoever it was done for: one job, or all jobs of the period, field by field and product by product. */
export async function jobSheet({ db, farm }: QueryContext, { from, to, jobId }: Wish): Promise<ReportTable> {
	const records = await listRecords(db, jobId === undefined ? { from, to } : { jobId });
	const jobs = await jobsOf({ db }, records, jobId);
	const together = Map.groupBy(records, (row) => `${row.jobId} ${row.fieldId} ${row.sprayDate} ${row.productId}`);
	const rows = [...together.values()].flatMap((lines): ReportRow[] => {
		const [first] = lines;
		const job = first && jobs.get(first.jobId);
		return first && job ? [lineOf(first, lines, job, farm.zone)] : [];
	});
	rows.sort(
		(a, b) =>
			compare(a['date'], b['date']) ||
			alphabetical(String(a['job']), String(b['job'])) ||
			alphabetical(String(a['field']), String(b['field'])) ||
			alphabetical(String(a['product']), String(b['product'])),
	);
	const unconfirmed = records.filter(({ confirmed }) => confirmed === 0).length;
	return {
		columns: [
			text('job', 'job'),
			text('customer', 'for', { under: 'job' }),
			date('date', 'date'),
			time('startedAt', 'began', { under: 'date' }),
			time('finishedAt', 'ended', { under: 'date' }),
			text('field', 'field'),
			text('crop', 'crop', { under: 'field' }),
			number('treatedHa', 'treated', 2, { unit: 'ha' }),
			text('seed', 'seed', { under: 'treatedHa' }),
			text('product', 'product'),
			text('authorisationNo', 'authorisation no.', { under: 'product' }),
			number('dosePerHa', 'dose per ha', 3, { unitFrom: 'unit' }),
			text('onSeed', 'dose on seed', { under: 'dosePerHa' }),
			number('amount', 'amount', 3, { unitFrom: 'unit' }),
			text('unit', 'unit'),
			text('reason', 'reason'),
			text('operator', 'operator'),
			text('certificateNo', 'certificate no.', { under: 'operator' }),
			text('sprayer', 'sprayer'),
			number('sprayVolumeLPerHa', 'volume', 0, { unit: 'L/ha', under: 'sprayer' }),
			text('carrier', 'in', { under: 'sprayer' }),
			number('windSpeedKmh', 'wind', 0, { unit: 'km/h' }),
			text('windDirection', 'from', { under: 'windSpeedKmh' }),
		],
		rows,
		totals: null,
		notes: [
			...(unconfirmed > 0 ? [`${unconfirmed} record lines hold planned amounts that nobody confirmed.`] : []),
			'Contract work: the customer is given the records, or a copy, without delay (guidance on Implementing Regulation (EU) 2023/564).',
		],
	};
}

type JobOf = { readonly name: string; readonly customer: string | null };

async function jobsOf({ db }: Pick<QueryContext, 'db'>, records: readonly RecordStored[], jobId: string | undefined) {
	const wanted = new Set(records.map((row) => row.jobId));
	const found = jobId === undefined ? await listJobs(db) : [await findJob(db, jobId)];
	return new Map(
		found.flatMap((row): [string, JobOf][] =>
			row && wanted.has(row.job.id)
				? [[row.job.id, { name: row.job.name, customer: detailsOf(row.job).customer }]]
				: [],
		),
	);
}

function lineOf(
	first: RecordStored,
	lines: readonly RecordStored[],
	{ name, customer }: JobOf,
	zone: string,
): ReportRow {
	const details = recordDetails(first);
	const m2 = lines.reduce((sum, { treatedM2 }) => sum + treatedM2, 0);
	const amount = fromStockAmount(lines.reduce((sum, line) => sum + line.amount, 0));
	return {
		customer,
		job: name,
		date: first.sprayDate,
		startedAt: toIso(Math.min(...lines.map(({ startedAt }) => startedAt)), zone),
		finishedAt: toIso(Math.max(...lines.map(({ finishedAt }) => finishedAt)), zone),
		field: first.fieldName,
		crop: details.crop,
		treatedHa: details.seed ? null : toHectares(m2),
		seed: seedWords(lines.map(recordDetails)),
		product: first.productName,
		authorisationNo: details.authorisationNo,
		dosePerHa: details.seed ? null : amount / toHectares(m2),
		onSeed: doseOnSeedWords(details.seed, first.unit),
		amount,
		unit: first.unit,
		reason: details.reason,
		operator: [...new Set(lines.map((line) => recordDetails(line).operator))].join(', '),
		certificateNo: details.certificateNo,
		sprayer: details.sprayer,
		sprayVolumeLPerHa: details.sprayVolumeLPerHa,
		carrier: details.carrier,
		windSpeedKmh: details.weather?.windSpeedKmh ?? null,
		windDirection: details.weather?.windDirection ?? null,
	};
}

function compare(a: unknown, b: unknown): number {
	return String(a) < String(b) ? -1 : String(a) > String(b) ? 1 : 0;
}
