import type { ProductAmount } from '../../units/quantity.ts';
import type { CountInterval, ProductMeasures } from './season-balance.ts';
import type { ProductCount } from './season-books.ts';
import type { SeasonEvidence } from './season-evidence.ts';
import { countedProducts, effectOf, NO_DETAIL, type Suspect } from './suspect.ts';

/** Packs one slip may be about: few, or as many as the figures suggest. The chance falls as 1 ÷ packs squared (counts,
 * losses) or 1 ÷ packs (lines of a delivery note). Assumption. */
const FEW_PACKS = [1, 2, 3, 4, 5, 6, 8, 10];
const slipOfCounting = (packs: number) => 0.6 / packs ** 2;
const lineOfNote = (packs: number) => 0.15 / packs;
/** How far an opened container may be misjudged or overlooked, as a share of its size. Assumption. */
const PART_MISJUDGED = 1 / 3;
/** How far measuring out one product may be off all season. Assumption. */
const MEASURING_SPREAD = 0.1;
/** Chance beforehand that a jug or scale is off for every product, not for one alone. Assumption. */
const SHARED_JUG = 0.2;

/** What can go wrong with one product in the store or at the jug: counts, deliveries, losses, measuring. */
export function storeSuspects(evidence: SeasonEvidence): Suspect[] {
	const counted = countedProducts(evidence);
	const perProduct = 1 / Math.max(1, counted.length);
	return [
		...counted.flatMap(({ measure, row }) => [
			...wrongCounts(measure, row, perProduct),
			...unbookedDeliveries(measure, row, perProduct),
			...missingDeliveries(measure, row, perProduct),
			...unbookedLosses(measure, row, perProduct),
			...measuringOne(measure, row, perProduct),
		]),
		...measuringAll(counted),
	];
}

/** One count says too much or too little. It moves the stretch after it one way and the stretch before it the other. */
function wrongCounts(measure: ProductMeasures, row: number, perProduct: number): Suspect[] {
	const { product, intervals } = measure;
	const counts = [...intervals.slice(0, 1).map(({ opening }) => opening), ...intervals.map(({ closing }) => closing)];
	const half = perProduct / counts.length / 2;
	return counts.flatMap((count, index) =>
		([1, -1] as const).flatMap((sign): Suspect[] => {
			const amount = index < intervals.length ? sign : -sign;
			const effect = effectOf([
				...(index > 0 ? [[row + index - 1, -sign] as const] : []),
				...(index < intervals.length ? [[row + index, sign] as const] : []),
			]);
			const suggested = intervals
				.slice(Math.max(0, index - 1), index + 1)
				.map(({ store, tank }) => Math.abs(store - tank));
			const whole = wholePacks(product.packSizes, suggested, slipOfCounting);
			const common = { cause: 'wrong count', who: product.productId, effect, onlyAboveZero: true } as const;
			const detail = (off: number) => ({
				...NO_DETAIL,
				amounts: [{ productId: product.productId, amount }],
				when: countDates(counts, index, sign * off),
				pointsTo: sign > 0 ? 'too high' : 'too low',
			});
			const part = {
				...common,
				tested: 'by itself',
				share: half / 2,
				likely: 0,
				spread: PART_MISJUDGED * largest(product.packSizes),
				detail: detail(product.measureStep),
			} as const;
			return [
				...(couldBeOff(count, sign * product.measureStep) ? [part] : []),
				...whole
					.filter(({ size, count: packs }) => couldBeOff(count, sign * packs * size))
					.map(
						({ size, count: packs, weight }): Suspect => ({
							...common,
							tested: 'never',
							share: (half * weight) / 2,
							likely: packs * size,
							spread: 0,
							detail: { ...detail(packs * size), packs: { count: packs, size } },
						}),
					),
			];
		}),
	);
}

/** A count cannot be too high by more than it says. */
function couldBeOff(count: ProductCount, tooHigh: ProductAmount): boolean {
	return tooHigh <= count.amount;
}

/** The date of a count; with two counts only, the other one could as well be off the other way. */
function countDates(counts: readonly ProductCount[], index: number, tooHigh: ProductAmount): string {
	const own = counts[index];
	const other = counts[1 - index];
	if (own === undefined) return '';
	return counts.length === 2 && other !== undefined && couldBeOff(other, -tooHigh)
		? `${own.date} or ${other.date}`
		: own.date;
}

/** Packs that came in and were never booked: more went into tanks than left the store. */
function unbookedDeliveries({ product, intervals }: ProductMeasures, row: number, perProduct: number): Suspect[] {
	return intervals.flatMap((interval, index) => {
		const effect = effectOf([[row + index, -1]]);
		const packs = wholePacks(product.packSizes, [interval.tank - interval.store], lineOfNote);
		return packs.map(
			({ size, count, weight }): Suspect => ({
				cause: 'delivery not booked',
				who: product.productId,
				share: (perProduct / intervals.length) * weight,
				effect,
				likely: count * size,
				spread: 0,
				onlyAboveZero: true,
				tested: 'by itself',
				detail: {
					...NO_DETAIL,
					amounts: [{ productId: product.productId, amount: -1 }],
					packs: { count, size },
					when: between(interval),
				},
			}),
		);
	});
}

/** Packs that were booked and never came, or were booked twice: a whole delivery, or some of its packs. */
function missingDeliveries({ product, intervals }: ProductMeasures, row: number, perProduct: number): Suspect[] {
	const deliveries = product.bookings.flatMap((booking) => {
		const index = intervals.findIndex(({ opening, closing }) => booking.at > opening.at && booking.at <= closing.at);
		return booking.kind === 'delivery' && booking.amount > 0 && index >= 0 ? [{ booking, index }] : [];
	});
	return deliveries.flatMap(({ booking, index }) => {
		const effect = effectOf([[row + index, 1]]);
		const size = booking.packSize ?? booking.amount;
		const packs = Math.max(1, Math.round(booking.amount / size));
		const share = perProduct / deliveries.length;
		const some = FEW_PACKS.filter((count) => count < packs);
		const weightOfSome = some.reduce((sum, count) => sum + 1 / count, 0);
		const ways = [
			{ count: packs, weight: some.length > 0 ? 0.6 : 1 },
			...some.map((count) => ({ count, weight: 0.4 / count / weightOfSome })),
		];
		return ways.map(({ count, weight }) => ({
			cause: 'delivery booked, not received' as const,
			who: product.productId,
			share: share * weight,
			effect,
			likely: count * size,
			spread: 0,
			onlyAboveZero: true,
			tested: 'never',
			detail: {
				...NO_DETAIL,
				amounts: [{ productId: product.productId, amount: 1 }],
				packs: { count, size },
				when: booking.date,
				pointsTo: booking.document,
			},
		}));
	});
}

/** Spilled, lent, disposed of or gone, and not booked: any amount, or whole packs. */
function unbookedLosses({ product, intervals }: ProductMeasures, row: number, perProduct: number): Suspect[] {
	return intervals.flatMap((interval, index) => {
		const common = {
			cause: 'loss not booked',
			who: product.productId,
			effect: effectOf([[row + index, 1]]),
			onlyAboveZero: true,
			tested: 'never',
		} as const;
		const detail = {
			...NO_DETAIL,
			amounts: [{ productId: product.productId, amount: 1 }],
			when: between(interval),
		};
		const share = perProduct / intervals.length;
		return [
			{ ...common, share: share / 2, likely: 0, spread: largest(product.packSizes) / 2, detail },
			...wholePacks(product.packSizes, [interval.store - interval.tank], slipOfCounting).map(
				({ size, count, weight }) => ({
					...common,
					share: (share * weight) / 2,
					likely: count * size,
					spread: 0,
					detail: { ...detail, packs: { count, size } },
				}),
			),
		];
	});
}

/** One product measured out too generously (above zero) or too sparingly, in proportion to what was measured. */
function measuringOne({ product, intervals }: ProductMeasures, row: number, perProduct: number): Suspect[] {
	const measured = intervals.reduce((sum, interval) => sum + interval.measured, 0);
	if (measured === 0) return [];
	return [
		{
			cause: 'measuring',
			who: product.productId,
			share: (1 - SHARED_JUG) * perProduct,
			effect: effectOf(intervals.map((interval, index) => [row + index, interval.measured])),
			likely: 0,
			spread: MEASURING_SPREAD,
			onlyAboveZero: false,
			tested: 'by itself',
			detail: { ...NO_DETAIL, amounts: [{ productId: product.productId, amount: measured }], relative: true },
		},
	];
}

/** The jug or scale itself is off: every measured pour alike. */
function measuringAll(counted: readonly { measure: ProductMeasures; row: number }[]): Suspect[] {
	const measuredOf = ({ intervals }: ProductMeasures) => intervals.reduce((sum, { measured }) => sum + measured, 0);
	const some = counted.filter(({ measure }) => measuredOf(measure) > 0);
	if (some.length < 2) return [];
	return [
		{
			cause: 'measuring',
			who: 'every product',
			share: SHARED_JUG,
			effect: effectOf(
				some.flatMap(({ measure, row }) =>
					measure.intervals.map(({ measured }, index) => [row + index, measured] as const),
				),
			),
			likely: 0,
			spread: MEASURING_SPREAD / 2,
			onlyAboveZero: false,
			tested: 'by itself',
			detail: {
				...NO_DETAIL,
				amounts: some.map(({ measure }) => ({ productId: measure.product.productId, amount: measuredOf(measure) })),
				relative: true,
			},
		},
	];
}

/** Few packs of every size, and the whole numbers next to what the figures suggest. */
function wholePacks(
	sizes: readonly ProductAmount[],
	suggested: readonly ProductAmount[],
	chance: (packs: number) => number,
): { size: ProductAmount; count: number; weight: number }[] {
	return sizes.flatMap((size) => {
		const near = suggested.flatMap((amount) => [-1, 0, 1].map((step) => Math.round(amount / size) + step));
		const counts = new Set([...FEW_PACKS, ...near.filter((count) => count > 0)]);
		return [...counts].map((count) => ({ size, count, weight: chance(count) / sizes.length }));
	});
}

export function largest(sizes: readonly ProductAmount[]): ProductAmount {
	return sizes.length > 0 ? Math.max(...sizes) : 1;
}

function between({ opening, closing }: CountInterval): string {
	return `${opening.date} – ${closing.date}`;
}
