import { STOCK_PER_UNIT } from '../../units/amount.ts';
import type { Dose, Hectares, StockAmount } from '../../units/quantity.ts';
import { firstEndAbove } from './container-draw.ts';
import type { ContainerSequence } from './container-sequence.ts';

export type Pouring = {
	readonly dosePerHa: Dose;
	/** The label's maximum single dose, where it is known. */
	readonly maxDosePerHa: Dose | null;
	readonly sequence: ContainerSequence;
	readonly step: StockAmount;
};

/**
 * What has been poured of a product by the end of each load, in µL or mg.
 *
 *   due by the end of load i = dose × new mix made up to load i ÷ spray volume
 *   poured = the container boundary within one measuring step of it, else the nearest step from the last boundary
 *   poured in load i ≤ maximum dose × new mix of load i ÷ spray volume
 *
 * Rounding the running total carries each load's rounding into the next, so the loads add up to the need within one
 * step. At the label's maximum a load is rounded down and the next may not make up for it; then the job falls short.
 * Steps are counted from the last boundary, so what is measured out of a container is always a whole number of steps.
 * Takes the new mix made up to each load ÷ spray volume, in ha.
 */
export function pouredAmounts(pouring: Pouring, madeUpHa: readonly Hectares[]): StockAmount[] {
	const poured: StockAmount[] = [];
	let before: StockAmount = 0;
	let areaBefore: Hectares = 0;
	for (const area of madeUpHa) {
		const due = pouring.dosePerHa * area * STOCK_PER_UNIT;
		const wanted = Math.max(before, toBoundaryOrStep(due, before, pouring));
		const limit = before + (pouring.maxDosePerHa ?? 0) * (area - areaBefore) * STOCK_PER_UNIT;
		before = pouring.maxDosePerHa === null || wanted <= limit + NOISE ? wanted : downToStep(limit, pouring);
		areaBefore = area;
		poured.push(before);
	}
	return poured;
}

/**
 * The container boundary within one measuring step of an amount due, or null: where there is one, the container is
 * simply emptied. The start of the sequence is none.
 */
export function boundaryNear(due: number, { sequence, step }: Pick<Pouring, 'sequence' | 'step'>): StockAmount | null {
	const { ends } = sequence;
	const index = firstEndAbove(ends, due - step - NOISE);
	const [below, above] = [ends[index] ?? Number.POSITIVE_INFINITY, ends[index + 1] ?? Number.POSITIVE_INFINITY];
	const nearest = Math.abs(above - due) < Math.abs(below - due) ? above : below;
	return Math.abs(nearest - due) <= step + NOISE ? nearest : null;
}

/** Binary fractions of a microlitre or milligram in an amount due: far below any measure, far above their own size. */
export const NOISE: StockAmount = 0.01;

function toBoundaryOrStep(due: number, before: StockAmount, { sequence, step }: Pouring): StockAmount {
	const boundary = boundaryNear(due, { sequence, step });
	if (boundary !== null && boundary > before) return boundary;
	const last = lastBoundary(due, sequence);
	return last + Math.round(Math.round((due - last) / step) * step);
}

function downToStep(limit: number, { sequence, step }: Pouring): StockAmount {
	const last = lastBoundary(limit + NOISE, sequence);
	return last + Math.floor(Math.floor((limit + NOISE - last) / step) * step);
}

function lastBoundary(amount: number, { ends }: ContainerSequence): StockAmount {
	return ends[firstEndAbove(ends, amount) - 1] ?? 0;
}
