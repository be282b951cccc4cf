import { type JobFills, type JobReading, jobReadings } from './job-ratios.ts';
import { type ProductMeasures, pourVariance, productMeasures, residualCovariance } from './season-balance.ts';
import { type Noise, type SeasonBooks, type SeasonJob, USUAL_NOISE } from './season-books.ts';
import { type Triangle, triangleOf, whitened } from './whitening.ts';

/** What size 1 of a suspect would add to the figures, by row. */
export type Effect = ReadonlyMap<number, number>;

/**
 * All figures that ought to be nothing on a sound farm, in one list: store − tank of each counted product between each
 * pair of counts, then the logarithms of what the jobs reported.
 */
export type SeasonEvidence = {
	readonly noise: Noise;
	readonly measures: readonly ProductMeasures[];
	readonly readings: readonly JobReading[];
	/** Row of the first residual of each product that has been counted twice. */
	readonly productRow: ReadonlyMap<string, number>;
	/** Row of the first job reading; the readings follow in order. */
	readonly readingRow: number;
	/** The figures, in standard errors. */
	readonly white: Float64Array;
	readonly blocks: readonly Block[];
	/** Number of the block that each row lies in. */
	readonly blockOfRow: readonly number[];
};

type Block = { readonly start: number; readonly triangle: Triangle };

/** Gathers the figures of a season with their errors. */
export function seasonEvidence(books: SeasonBooks): SeasonEvidence {
	const noise = { ...USUAL_NOISE, ...books.noise };
	const measures = books.products.map((product) => productMeasures(product, books, noise));
	const productRow = new Map<string, number>();
	const figures: number[] = [];
	const blocks: Block[] = [];
	for (const measure of measures) {
		if (measure.intervals.length === 0) continue;
		productRow.set(measure.product.productId, figures.length);
		blocks.push({ start: figures.length, triangle: triangleOf(residualCovariance(measure, noise)) });
		figures.push(...measure.intervals.map((interval) => interval.store - interval.tank));
	}
	const readingRow = figures.length;
	const readings = books.jobs.flatMap((job) => jobReadings(job, jobFills(job, books, noise), noise));
	if (readings.length > 0) {
		const jobOf = new Map(books.jobs.map((job) => [job.jobId, job]));
		blocks.push({ start: readingRow, triangle: triangleOf(readingCovariance(readings, jobOf, noise)) });
		figures.push(...readings.map((reading) => reading.value));
	}
	const white = Float64Array.from(
		blocks.flatMap(({ start, triangle }) => [
			...whitened(triangle, Float64Array.from(figures.slice(start, start + triangle.length))),
		]),
	);
	const blockOfRow = blocks.flatMap(({ triangle }, index) => triangle.map(() => index));
	return { noise, measures, readings, productRow, readingRow, white, blocks, blockOfRow };
}

/** A list of figures of which most are nothing: the stretches that are not, each with where it starts. */
export type Stretches = readonly { readonly start: number; readonly values: Float64Array }[];

/** What size 1 of a suspect would add to the figures, in standard errors. */
export function whiteEffect({ blocks, blockOfRow }: SeasonEvidence, effect: Effect): Stretches {
	const raw = new Map<number, Float64Array>();
	for (const [row, value] of effect) {
		const index = blockOfRow[row] ?? 0;
		const block = blocks[index];
		if (block === undefined) continue;
		let values = raw.get(index);
		if (values === undefined) {
			values = new Float64Array(block.triangle.length);
			raw.set(index, values);
		}
		values[row - block.start] = value;
	}
	return [...raw].flatMap(([index, values]) => {
		const block = blocks[index];
		return block === undefined ? [] : [{ start: block.start, values: whitened(block.triangle, values) }];
	});
}

/** What a job's loads measured out, for the errors of its litres. */
export function jobFills(job: SeasonJob, books: SeasonBooks, noise: Noise): JobFills {
	const loads = books.loads.filter((load) => load.jobId === job.jobId && load.logged);
	const stepOf = new Map(books.products.map((product) => [product.productId, product.measureStep]));
	const variance = loads
		.flatMap((load) => load.products)
		.reduce((sum, pour) => sum + pourVariance(pour.measured, stepOf.get(pour.productId) ?? 0, noise), 0);
	return { newMixL: loads.map((load) => load.newMixL), pourSigmaL: Math.sqrt(variance) };
}

/** Share of a job's area that each field has. */
export function fieldShares(job: SeasonJob): Map<string, number> {
	const total = job.fields.reduce((sum, field) => sum + field.areaHa, 0);
	return new Map(job.fields.map((field) => [field.fieldId, total > 0 ? field.areaHa / total : 0]));
}

/** Errors new in each job, and those that jobs of one sprayer or passes over one field have in common. */
function readingCovariance(
	readings: readonly JobReading[],
	jobOf: ReadonlyMap<string, SeasonJob>,
	noise: Noise,
): Float64Array[] {
	const commonErrors = readings.map((reading) => {
		const errors = new Map<string, number>();
		const { holds, byCounter, sprayerId } = reading;
		if (holds.area && byCounter) errors.set(`counter ${sprayerId}`, noise.counterBias);
		if (holds.meter) errors.set(`meter ${sprayerId}`, noise.meterBias);
		if (holds.rate) errors.set(`rate ${sprayerId}`, noise.rateBias);
		const job = jobOf.get(reading.jobId);
		if (!holds.area || job === undefined) return errors;
		const shares = fieldShares(job);
		for (const { fieldId, areaHa, areaSigmaHa } of job.fields) {
			const relative = areaSigmaHa === null ? noise.registerRelative : areaSigmaHa / areaHa;
			errors.set(`field ${fieldId}`, relative * (shares.get(fieldId) ?? 0));
		}
		return errors;
	});
	return readings.map((reading, i) =>
		Float64Array.from(readings, (_, j) => {
			let covariance = i === j ? reading.sigma ** 2 : 0;
			for (const [source, error] of commonErrors[i] ?? []) covariance += error * (commonErrors[j]?.get(source) ?? 0);
			return covariance;
		}),
	);
}
