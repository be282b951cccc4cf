import type { ProductAmount } from '../../units/quantity.ts';
import type { LoadProduct, Noise, ProductCount, SeasonBooks, SeasonProduct } from './season-books.ts';

/** One product between two neighbouring counts. */
export type CountInterval = {
	readonly opening: ProductCount;
	readonly closing: ProductCount;
	/** Opening count + bookings − closing count: what left the store. */
	readonly store: ProductAmount;
	/** Σ poured in logged loads. */
	readonly tank: ProductAmount;
	/** Σ measured out, whole packs left aside. */
	readonly measured: ProductAmount;
	readonly pourVariance: number;
};

export type ProductMeasures = {
	readonly product: SeasonProduct;
	readonly intervals: readonly CountInterval[];
	/** Variance of each count, the opening one first; one more than there are intervals. */
	readonly countVariances: readonly number[];
	/** Σ poured in logged loads of the period. */
	readonly tank: ProductAmount;
	readonly tankSigma: ProductAmount;
	readonly groundSigma: ProductAmount;
	readonly measuredPours: number;
	readonly confirmedLoads: number;
	readonly loads: number;
};

type Pour = LoadProduct & { readonly at: number; readonly date: string };

/**
 * The three measures of one product.
 *
 *   tank = Σ poured in logged loads;  store = opening count + deliveries ± transfers ± loans − disposals − returns
 *   − spills − closing count, between each pair of neighbouring counts
 *   σ_tank² = Σ (half a measuring step² + (2 % of the measured part)²) + (1 % of all measured parts)²
 *
 * In L or kg. A load belongs between two counts when it ended after the first and not after the second.
 */
export function productMeasures(product: SeasonProduct, books: SeasonBooks, noise: Noise): ProductMeasures {
	const pours: Pour[] = books.loads
		.filter((load) => load.logged)
		.flatMap((load) => load.products.map((poured) => ({ ...poured, at: load.at, date: load.date })))
		.filter((pour) => pour.productId === product.productId);
	const inPeriod = pours.filter((pour) => pour.date >= books.from && pour.date <= books.to);
	const counts = countsInOrder(product.counts);
	return {
		product,
		intervals: counts
			.slice(1)
			.map((closing, index) => interval(counts[index] ?? closing, closing, product, pours, noise)),
		countVariances: counts.map((count) => countVariance(count, product, noise)),
		tank: sum(inPeriod, (pour) => pour.poured),
		tankSigma: Math.sqrt(poursVariance(inPeriod, product, noise)),
		groundSigma: product.groundSigma ?? groundSigma(product, books, noise),
		measuredPours: inPeriod.filter((pour) => pour.measured > 0).length,
		confirmedLoads: inPeriod.filter((pour) => pour.confirmed).length,
		loads: inPeriod.length,
	};
}

/**
 * How the residuals of one product (store − tank, one for each pair of counts) vary together by measuring alone.
 *
 *   pours of each stretch, both its counts (a count shared by two stretches enters with opposite signs), and the share
 *   of a jug's own error that all stretches have in common
 */
export function residualCovariance(
	{ product, intervals, countVariances }: ProductMeasures,
	noise: Noise,
): Float64Array[] {
	return intervals.map((row, i) =>
		Float64Array.from(intervals, (column, j) => {
			const jug = noise.pourBias ** 2 * row.measured * column.measured;
			if (i === j) {
				const counts = (countVariances[i] ?? 0) + (countVariances[i + 1] ?? 0);
				return row.pourVariance + counts + jug + product.measureStep ** 2;
			}
			return jug - (Math.abs(i - j) === 1 ? (countVariances[Math.max(i, j)] ?? 0) : 0);
		}),
	);
}

/** Standard error of one measured pour: half a measuring step, and the reading of the jug. */
export function pourVariance(measured: ProductAmount, measureStep: ProductAmount, noise: Noise): number {
	return measured > 0 ? (measureStep / 2) ** 2 + (noise.pourRelative * measured) ** 2 : 0;
}

function interval(
	opening: ProductCount,
	closing: ProductCount,
	product: SeasonProduct,
	pours: readonly Pour[],
	noise: Noise,
): CountInterval {
	const between = ({ at }: { at: number }) => at > opening.at && at <= closing.at;
	const poured = pours.filter(between);
	const booked = sum(product.bookings.filter(between), (booking) => booking.amount);
	return {
		opening,
		closing,
		store: opening.amount + booked - closing.amount,
		tank: sum(poured, (pour) => pour.poured),
		measured: sum(poured, (pour) => pour.measured),
		pourVariance: sum(poured, (pour) => pourVariance(pour.measured, product.measureStep, noise)),
	};
}

/** By freeze time; of two counts at the same time the one entered later stands. */
function countsInOrder(counts: readonly ProductCount[]): ProductCount[] {
	const byTime = new Map(counts.map((count) => [count.at, count]));
	return [...byTime.values()].sort((a, b) => a.at - b.at);
}

function countVariance(count: ProductCount, product: SeasonProduct, noise: Noise): number {
	return count.openedContainers * (noise.countPart * Math.max(0, ...product.packSizes)) ** 2;
}

function poursVariance(pours: readonly Pour[], product: SeasonProduct, noise: Noise): number {
	const single = sum(pours, (pour) => pourVariance(pour.measured, product.measureStep, noise));
	return single + (noise.pourBias * sum(pours, (pour) => pour.measured)) ** 2;
}

/** Register areas of the fields the product went onto, each field's error counted once. */
function groundSigma(product: SeasonProduct, books: SeasonBooks, noise: Noise): ProductAmount {
	const jobIds = new Set(
		books.loads
			.filter((load) => load.products.some((line) => line.productId === product.productId))
			.map((load) => load.jobId),
	);
	const sprayed = new Map<string, { areaHa: number; relative: number }>();
	for (const field of books.jobs.filter((job) => jobIds.has(job.jobId)).flatMap((job) => job.fields)) {
		const relative = field.areaSigmaHa === null ? noise.registerRelative : field.areaSigmaHa / field.areaHa;
		sprayed.set(field.fieldId, { areaHa: field.areaHa + (sprayed.get(field.fieldId)?.areaHa ?? 0), relative });
	}
	const fields = [...sprayed.values()];
	const total = sum(fields, (field) => field.areaHa);
	if (total === 0) return noise.registerRelative * product.ground;
	return (product.ground / total) * Math.hypot(...fields.map((field) => field.areaHa * field.relative));
}

function sum<Item>(items: readonly Item[], amount: (item: Item) => number): number {
	return items.reduce((total, item) => total + amount(item), 0);
}
