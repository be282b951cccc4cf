import { fromStockAmount } from '../../units/amount.ts';
import type { ProductAmount, StockAmount } from '../../units/quantity.ts';
import type { ContainerSequence } from './container-sequence.ts';

/** Where one load's amount of a product comes from: fromOpened + full packs + measured = amount. */
export type ContainerDraw = {
	/** Empties a pack that was open before this load: poured out whole, nothing to measure. */
	readonly fromOpened: ProductAmount;
	readonly fullPacks: readonly { readonly size: ProductAmount; readonly count: number }[];
	/** Measured out of a pack that is not emptied. */
	readonly measured: ProductAmount;
	readonly containers: number;
	/** Packs whose seal this load breaks. */
	readonly opened: number;
};

/**
 * Which containers one load takes its amount from.
 *
 * Takes the sequence and the amounts drawn before and after the load. A container that was open before is emptied
 * first, packs that are emptied at once are full packs, and what ends inside a container is the measured pour.
 */
export function drawBetween(
	{ ends, opened: openedBefore }: ContainerSequence,
	from: StockAmount,
	to: StockAmount,
): ContainerDraw {
	const packs = new Map<StockAmount, number>();
	let [fromOpened, measured, containers, opened] = [0, 0, 0, 0];
	for (let index = firstEndAbove(ends, from); index < ends.length; index++) {
		const start = ends[index - 1] ?? 0;
		const end = ends[index] ?? 0;
		if (start >= to) break;
		const sealed = start >= from && index >= openedBefore;
		const taken = Math.min(end, to) - Math.max(start, from);
		containers++;
		if (sealed) opened++;
		if (end > to) measured += taken;
		else if (sealed) packs.set(taken, (packs.get(taken) ?? 0) + 1);
		else fromOpened += taken;
	}
	return {
		fromOpened: fromStockAmount(fromOpened),
		fullPacks: [...packs].map(([size, count]) => ({ size: fromStockAmount(size), count })),
		measured: fromStockAmount(measured),
		containers,
		opened,
	};
}

/** Index of the first container that is not yet empty when `amount` is drawn. */
export function firstEndAbove(ends: readonly StockAmount[], amount: StockAmount): number {
	let [low, high] = [0, ends.length];
	while (low < high) {
		const middle = (low + high) >>> 1;
		if ((ends[middle] ?? 0) > amount) high = middle;
		else low = middle + 1;
	}
	return low;
}
