import type { Litres, ProductAmount } from '../../units/quantity.ts';
import type { Cause } from './reconciliation.ts';
import type { ProductMeasures } from './season-balance.ts';
import type { Effect, SeasonEvidence } from './season-evidence.ts';

/** One way in which one cause could have acted. Ways with the same cause and `who` are the same suspect. */
export type Suspect = {
	readonly cause: Cause;
	/** Which product, pair, recipe, field or sprayer. */
	readonly who: string;
	/** How likely this way is beforehand, among all ways of this cause. */
	readonly share: number;
	/** What size 1 adds to the figures. */
	readonly effect: Effect;
	/** Sizes to expect: around `likely`, give or take `spread`; a spread of 0 is an exact size. */
	readonly likely: number;
	readonly spread: number;
	readonly onlyAboveZero: boolean;
	/** Is it asked of this one whether anything is wrong at all: by itself, only when it sticks out grossly, or never? */
	readonly tested: 'by itself' | 'when gross' | 'never';
	readonly detail: SuspectDetail;
};

/** What words need to know, for size 1. */
export type SuspectDetail = {
	/** Change of store − tank. */
	readonly amounts: readonly { readonly productId: string; readonly amount: ProductAmount }[];
	/** Litres of mix; null where the size is an amount of product. */
	readonly mixL: Litres | null;
	/** What a size of 1 is 100 % of. */
	readonly relative: boolean;
	readonly jobIds: readonly string[];
	readonly fieldIds: readonly string[];
	readonly sprayerIds: readonly string[];
	/** Whole packs it consists of. */
	readonly packs: { readonly count: number; readonly size: ProductAmount } | null;
	/** Date or dates to look at. */
	readonly when: string | null;
	/** Delivery note, load or report it points to. */
	readonly pointsTo: string | null;
};

export const NO_DETAIL: SuspectDetail = {
	amounts: [],
	mixL: null,
	relative: false,
	jobIds: [],
	fieldIds: [],
	sprayerIds: [],
	packs: null,
	when: null,
	pointsTo: null,
};

/** Products that were counted twice, with the row of their first residual. */
export function countedProducts(evidence: SeasonEvidence): { measure: ProductMeasures; row: number }[] {
	return evidence.measures.flatMap((measure) => {
		const row = evidence.productRow.get(measure.product.productId);
		return row === undefined ? [] : [{ measure, row }];
	});
}

/** Puts figures of several rows together; the same row twice adds up. */
export function effectOf(entries: Iterable<readonly [number, number]>): Effect {
	const effect = new Map<number, number>();
	for (const [row, value] of entries) if (value !== 0) effect.set(row, value + (effect.get(row) ?? 0));
	return effect;
}

/** The row that holds a product's residual at a time; null when it was not between two counts then. */
export function rowAt(evidence: SeasonEvidence, productId: string, at: number): number | null {
	const row = evidence.productRow.get(productId);
	const measure = evidence.measures.find((entry) => entry.product.productId === productId);
	const index = measure?.intervals.findIndex(({ opening, closing }) => at > opening.at && at <= closing.at) ?? -1;
	return row === undefined || index < 0 ? null : row + index;
}
