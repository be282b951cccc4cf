import { fromStockAmount, STOCK_PER_UNIT } from '../../units/amount.ts';
import type { StockAmount } from '../../units/quantity.ts';
import type { FilledLoads, Load } from './load-contents.ts';
import type { PlanWarning } from './loads-request.ts';
import type { RecipeLine } from './recipe.ts';

/** Warnings against which a job goes on only for a reason: dose, agitation or what does not go with the way it is brought out. */
export const WARNINGS_TO_ANSWER: readonly string[] = [
	'load.belowMinimum',
	'load.stepTooCoarse',
	'load.roundedDownAtLabel',
	'product.notForTank',
	'product.notGranule',
	'product.notForSeed',
	'product.onlyForSeed',
	'product.usuallyDiluted',
	'seed.doseAboveLabel',
	'seed.cropNotOnLabel',
];

/** Rounding that moves a load's amount by more than this is worth a finer measure. Our choice, a nozzle's own tolerance. */
const WORTH_A_WARNING = 0.05;

/** Loads that stand below the sprayer's minimum because no split of the job can keep it. */
export function minimumWarnings(loads: readonly Load[], minimumL: number): PlanWarning[] {
	return loads.flatMap(({ totalL }, index) => {
		if (totalL >= minimumL) return [];
		const which = loads.length === 1 ? 'The load' : `Load ${index + 1}`;
		const message = `${which} holds ${figure(totalL)} L, below the smallest load of ${figure(minimumL)} L, and the job cannot be split otherwise. See that it still agitates.`;
		return [{ code: 'load.belowMinimum', message, record: `load ${index + 1}` }];
	});
}

/**
 * Amounts that the measuring step or the label's maximum keeps from the dose: a load off by more than 5 %, or a job
 * short by more than one step because every load was rounded down.
 */
export function roundingWarnings(
	lines: readonly RecipeLine[],
	{ loads, poured }: FilledLoads,
	sprayVolumeLPerHa: number,
): PlanWarning[] {
	return lines.flatMap((line, product) => {
		const amounts = poured[product] ?? [];
		const dues = loads.map(({ newMixL }) => ((line.dosePerHa * newMixL) / sprayVolumeLPerHa) * STOCK_PER_UNIT);
		return [...coarseStep(line, amounts, dues), ...shortAtLabel(line, amounts.at(-1) ?? 0, dues)];
	});
}

function coarseStep(line: RecipeLine, poured: readonly StockAmount[], dues: readonly number[]): PlanWarning[] {
	const load = dues.findIndex((due, index) => {
		const amount = (poured[index] ?? 0) - (poured[index - 1] ?? 0);
		return Math.abs(amount - due) > due * WORTH_A_WARNING + 1;
	});
	if (load < 0) return [];
	const amount = fromStockAmount((poured[load] ?? 0) - (poured[load - 1] ?? 0));
	const due = fromStockAmount(Math.round(dues[load] ?? 0));
	const message = `${line.name}: load ${load + 1} needs ${due} ${line.unit}, in steps of ${fromStockAmount(line.step)} it gets ${amount}. Measure in finer steps.`;
	return [{ code: 'load.stepTooCoarse', message, record: line.name }];
}

function shortAtLabel(line: RecipeLine, poured: StockAmount, dues: readonly number[]): PlanWarning[] {
	const short = dues.reduce((total, due) => total + due, 0) - poured;
	if (short <= line.step + 1) return [];
	const message = `${line.name}: rounded down in each load to stay within the label maximum, the job gets ${fromStockAmount(Math.round(short))} ${line.unit} less than its dose.`;
	return [{ code: 'load.roundedDownAtLabel', message, record: line.name }];
}

function figure(litres: number): number {
	return Math.round(litres * 100) / 100;
}
