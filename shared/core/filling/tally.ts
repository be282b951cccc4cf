import type { ProductAmount, Seconds } from '../../units/quantity.ts';
import { type FillState, type FillStep, fillState, secondsOutside } from './fill-steps.ts';

/** A bag, a container or a measured part that goes in whole. */
export type Portion = { readonly product: string; readonly size: ProductAmount; readonly unit: 'L' | 'kg' };

/** The water of a slurry stands among the portions: it is measured out as they are, and goes in first. */
export const WATER = 'Water';

/** Where a fill without an inlet stands: a hopper, a tank of neat liquid, the product of a batch of seed. */
export type Tally = {
	readonly state: FillState;
	readonly elapsedS: Seconds;
	/** Index of the portion in hand; null when all are in. */
	readonly next: number | null;
	readonly left: number;
	/** By product, what is in and what goes in in all. */
	readonly amounts: readonly {
		readonly product: string;
		readonly unit: 'L' | 'kg';
		readonly done: ProductAmount;
		readonly all: ProductAmount;
	}[];
};

/**
 * The running tally of a fill that has no water to watch: which portion is next, how many are left, what is in.
 *
 *   in = Σ sizes of the portions done
 *
 * Amounts in L or kg to a millionth, time in seconds without what stood still.
 */
export function tallyOf(portions: readonly Portion[], steps: readonly FillStep[], now: number): Tally {
	const state = fillState(steps);
	const isDone = (index: number) => state.done.has(index + 1);
	const first = portions.findIndex((_, index) => !isDone(index));
	const sum = (own: readonly ProductAmount[]) => Math.round(own.reduce((total, size) => total + size, 0) * 1e6) / 1e6;
	const numbered = portions.map((portion, index) => ({ ...portion, index }));
	return {
		state,
		elapsedS:
			state.begunAt === null ? 0 : secondsOutside(state.begunAt, Math.max(now, state.begunAt), state.haltedTimes),
		next: first < 0 ? null : first,
		left: portions.filter((_, index) => !isDone(index)).length,
		amounts: [...Map.groupBy(numbered, ({ product }) => product)].map(([product, own]) => ({
			product,
			unit: own[0]?.unit ?? 'kg',
			done: sum(own.filter(({ index }) => isDone(index)).map(({ size }) => size)),
			all: sum(own.map(({ size }) => size)),
		})),
	};
}
