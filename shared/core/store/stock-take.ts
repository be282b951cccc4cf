import { invariant } from '../../basics/result.ts';
import type { Instant, StockAmount } from '../../units/quantity.ts';

/** A movement as a stock take sees it: how much, and when it happened. */
export type DatedMovement = { readonly amount: StockAmount; readonly occurredAt: Instant };
/** A count of one product: what stood in the store at the freeze time. */
export type StockCount = { readonly countId: string; readonly freezeAt: Instant; readonly counted: StockAmount };

/** What decides how far a sound count may differ from a sound book. */
export type MeasuringSinceCount = {
	/** Pours that were measured, not whole packs, between the last count and this one. */
	readonly measuredPours: number;
	/** Standard error of one measured pour [µL or mg]. */
	readonly pourSigma: StockAmount;
	/** Standard error of the count before, 0 for an empty store [µL or mg]. */
	readonly lastCountSigma: StockAmount;
	/** Standard error of this count [µL or mg]. */
	readonly countSigma: StockAmount;
};

/** Two standard errors: measuring alone stays below in 19 of 20 counts. */
const LIKELY_SIGMAS = 2;

/**
 * What the book says stood in the store at the freeze time.
 *
 *   book = Σ movements that occurred at or before the freeze time
 *
 * A movement counts by when it happened, not by when it was posted.
 */
export function bookAt(movements: readonly DatedMovement[], freezeAt: Instant): StockAmount {
	return movements.reduce((sum, movement) => (movement.occurredAt <= freezeAt ? sum + movement.amount : sum), 0);
}

/**
 * Counted against book.
 *
 *   difference = counted − book; likely size = 2 × √(pours × σ_pour² + σ_last count² + σ_this count²)
 *
 * Takes the movements of one product (adjustments of earlier counts among them), the count, and what was measured since
 * the count before. Gives whole µL or mg. `withinMeasuring`: measuring alone explains the difference.
 */
export function stockTake(
	movements: readonly DatedMovement[],
	count: StockCount,
	measuring: MeasuringSinceCount,
): { book: StockAmount; difference: StockAmount; likelySize: StockAmount; withinMeasuring: boolean } {
	invariant(count.counted >= 0, `A count of ${count.counted} cannot be below zero.`);
	const book = bookAt(movements, count.freezeAt);
	const difference = count.counted - book;
	const likelySize = Math.round(LIKELY_SIGMAS * measuringSigma(measuring));
	return { book, difference, likelySize, withinMeasuring: Math.abs(difference) <= likelySize };
}

/** Standard error of counted − book when every posting and both counts are sound [µL or mg]. */
export function measuringSigma(measuring: MeasuringSinceCount): StockAmount {
	const { measuredPours, pourSigma, lastCountSigma, countSigma } = measuring;
	return Math.sqrt(measuredPours * pourSigma ** 2 + lastCountSigma ** 2 + countSigma ** 2);
}

/**
 * What must be posted so that the book agrees with every count at its freeze time.
 *
 *   adjustment of a count = counted − Σ movements up to its freeze time − adjustments before it
 *
 * Takes all movements of one product, earlier adjustments among them (an adjustment occurs at the freeze time of its
 * count), and all counts. Gives the adjustments still to post, oldest first; none when all stand. So a movement posted
 * late for before a count re-posts that count's adjustment and leaves the later ones as they are.
 */
export function adjustmentsToPost(
	movements: readonly DatedMovement[],
	counts: readonly StockCount[],
): { countId: string; occurredAt: Instant; amount: StockAmount }[] {
	const adjustments: { countId: string; occurredAt: Instant; amount: StockAmount }[] = [];
	for (const { countId, freezeAt, counted } of [...counts].sort((a, b) => a.freezeAt - b.freezeAt)) {
		const amount = counted - bookAt([...movements, ...adjustments], freezeAt);
		if (amount !== 0) adjustments.push({ countId, occurredAt: freezeAt, amount });
	}
	return adjustments;
}
