import { ok, type Result, refuse } from '../../basics/result.ts';
import { fromStockAmount } from '../../units/amount.ts';
import type { Hectares, Litres, ProductAmount } from '../../units/quantity.ts';
import { type FilledLoads, fillLoads, type Load, sum } from './load-contents.ts';
import { type LoadsRequest, type PlanWarning, type Strategy, strategies } from './loads-request.ts';
import { minimumWarnings, roundingWarnings } from './plan-warnings.ts';
import { type RecipeLine, readRecipe } from './recipe.ts';
import { type TankLimits, tankLimits } from './tank-limits.ts';
import { evenTankTotals, fullTankTotals } from './tank-totals.ts';
import { wholeContainerTankTotals } from './whole-containers.ts';

export type Alternative = {
	readonly strategy: Strategy;
	readonly loads: number;
	readonly measuredPours: number;
	/** Packs whose seal the job breaks. */
	readonly containersOpened: number;
	readonly lastLoadL: Litres;
};

export type LoadsPlan = {
	readonly loads: readonly Load[];
	readonly strategy: Strategy;
	readonly alternatives: readonly Alternative[];
	readonly totals: {
		readonly areaHa: Hectares;
		readonly newMixL: Litres;
		readonly waterL: Litres;
		readonly displacementL: Litres;
		readonly products: readonly {
			readonly name: string;
			readonly unit: 'L' | 'kg';
			readonly dosePerHa: number;
			readonly amount: ProductAmount;
		}[];
		readonly containersToHandle: number;
		readonly containersOpened: number;
		readonly measuredPours: number;
	};
	readonly warnings: readonly PlanWarning[];
};

/**
 * Splits a job into loads and says what goes into each.
 *
 *   loads = ⌈area × spray volume ÷ (capacity − unsprayable)⌉, the fewest possible, by whichever strategy
 *   new mix of all loads = area × spray volume + unsprayable − left in the tank
 *
 * The three strategies share loads, totals and rounding; they differ in where the job is broken. Without a strategy
 * the one with the fewest measured pours is recommended: each is exposure and error. Ties go to the plainer one, in
 * the order full, even, whole containers.
 * A job for which enough of the same mix is left in the tank has no loads, and says so.
 * Refuses what cannot be mixed or loaded, naming the field, the product or the load.
 * Source: definitions above; tests/reference/loads-handbook.test.ts.
 */
export function planLoads(request: LoadsRequest): Result<LoadsPlan> {
	const limits = tankLimits(request.areaHa, request.sprayVolumeLPerHa, request.tank);
	if (!limits.ok) return limits;
	const recipe = readRecipe(request, newMixHa(limits.value));
	if (!recipe.ok) return recipe;
	const { lines } = recipe.value;
	const ways = splitEachWay(lines, limits.value);
	const fewestPours = Math.min(...ways.map(({ filled }) => filled.measuredPours));
	const chosen = ways.find(({ strategy, filled }) =>
		request.strategy === undefined ? filled.measuredPours === fewestPours : strategy === request.strategy,
	);
	if (chosen === undefined)
		return refuse('input.invalid', { path: 'strategy', why: `not one of ${strategies.join(', ')}` });
	const crowded = chosen.filled.loads.findIndex(({ newMixL, waterL }) => newMixL > 0 && waterL <= 0);
	const load = chosen.filled.loads[crowded];
	if (load !== undefined && !request.withoutWater) {
		return refuse('load.noRoomForWater', { load: crowded + 1, productL: load.displacementL, mixL: load.newMixL });
	}
	return ok({
		loads: chosen.filled.loads,
		strategy: chosen.strategy,
		alternatives: ways.map(({ strategy, filled }) => alternative(strategy, filled)),
		totals: totalsOf(request.areaHa, chosen.filled, lines),
		warnings: [
			...enoughLeft(limits.value),
			...minimumWarnings(chosen.filled.loads, request.tank.minimumL),
			...recipe.value.warnings,
			...roundingWarnings(lines, chosen.filled, request.sprayVolumeLPerHa),
		],
	});
}

function newMixHa({ loads, areaHa, sprayVolumeLPerHa, unsprayableL, leftInTankL }: TankLimits): Hectares {
	return loads === 0 ? 0 : areaHa + (unsprayableL - leftInTankL) / sprayVolumeLPerHa;
}

type Way = { readonly strategy: Strategy; readonly filled: FilledLoads };

/**
 * The job by each strategy. Where rounding leaves whole containers with more to measure than another split (doses of a
 * step or two per load, or at the label's maximum), that split is the better answer to the same question.
 */
function splitEachWay(lines: readonly RecipeLine[], limits: TankLimits): Way[] {
	const full = fillLoads(fullTankTotals(limits), lines, limits);
	const even = fillLoads(evenTankTotals(limits), lines, limits);
	const broken = fillLoads(wholeContainerTankTotals(lines, limits), lines, limits);
	const whole = [broken, even, full].reduce((best, way) => (way.measuredPours < best.measuredPours ? way : best));
	return [
		{ strategy: 'full', filled: full },
		{ strategy: 'even', filled: even },
		{ strategy: 'whole containers', filled: whole },
	];
}

function alternative(strategy: Strategy, { loads, measuredPours, containersOpened }: FilledLoads): Alternative {
	return { strategy, loads: loads.length, measuredPours, containersOpened, lastLoadL: loads.at(-1)?.totalL ?? 0 };
}

function totalsOf(areaHa: Hectares, filled: FilledLoads, lines: readonly RecipeLine[]): LoadsPlan['totals'] {
	const { loads, poured, containersOpened, measuredPours } = filled;
	return {
		areaHa,
		newMixL: sum(loads.map((load) => load.newMixL)),
		waterL: sum(loads.map((load) => load.waterL)),
		displacementL: sum(loads.map((load) => load.displacementL)),
		products: lines.map(({ name, unit, dosePerHa }, product) => ({
			name,
			unit,
			dosePerHa,
			amount: fromStockAmount(poured[product]?.at(-1) ?? 0),
		})),
		containersToHandle: sum(loads.map((load) => load.containersToHandle)),
		containersOpened,
		measuredPours,
	};
}

function enoughLeft({ loads, leftInTankL }: TankLimits): PlanWarning[] {
	if (loads > 0) return [];
	const message = `The ${leftInTankL} L of mix left in the tank are enough for this job: nothing is to be made up.`;
	return [{ code: 'load.nothingToMix', message }];
}
