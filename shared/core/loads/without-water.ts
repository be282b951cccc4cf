import { ok, type Result } from '../../basics/result.ts';
import type { Hectares, Kilograms, ProductAmount } from '../../units/quantity.ts';
import type { ProductInLoad } from './load-contents.ts';
import type { PlanWarning, ProductToLoad, Strategy } from './loads-request.ts';
import { planLoads } from './plan-loads.ts';

/** Hectares of a job that is spread; seed in the unit its dose is for: 100 kg, or one unit. */
export type DoseUnits = number;

export type Portioned = {
	readonly product: Pick<ProductToLoad, 'name' | 'unit' | 'packSizes' | 'openedPack'>;
	/** L or kg to one dose unit. */
	readonly dose: number;
	readonly maxDose: number | null;
};

export type DryRequest = {
	readonly quantity: DoseUnits;
	/** What one fill of the hopper, or one batch of the treater, is enough for; null: it holds any amount. */
	readonly most: DoseUnits | null;
	/** What product left in the machine from before is still enough for; left out: nothing. */
	readonly left?: DoseUnits | undefined;
	readonly strategy?: Strategy | undefined;
	readonly products: readonly Portioned[];
	readonly measureStep: ProductAmount;
};

export type DryLoad = {
	readonly quantity: DoseUnits;
	/** Of it, what the product left in the machine is enough for. */
	readonly left: DoseUnits;
	readonly products: readonly ProductInLoad[];
	readonly containersToHandle: number;
	readonly measuredPours: number;
};

export type DryPlan = {
	readonly loads: readonly DryLoad[];
	readonly strategy: Strategy;
	readonly alternatives: readonly {
		readonly strategy: Strategy;
		readonly loads: number;
		readonly measuredPours: number;
		readonly containersOpened: number;
		readonly last: DoseUnits;
	}[];
	/** What the job takes of each product, in their order. */
	readonly amounts: readonly ProductAmount[];
	readonly warnings: readonly PlanWarning[];
};

/**
 * Splits a job that takes no tank of water: hopper fills of granules, batches of seed.
 *
 *   fills  = ⌈quantity ÷ most in one fill⌉, the fewest possible
 *   amount = dose × quantity of the fill, in whole measuring steps that carry on from fill to fill
 *
 * It is the same sum as that of tank loads, with the quantity in place of the mix: the same three ways to break the job,
 * the same containers. Takes the quantity in the unit the doses are for, and gives it so.
 * Refuses a quantity or a dose of nothing, and what the containers refuse.
 * Source: amount = rate × area, tests/reference/other-kinds.test.ts.
 */
export function planWithoutWater(request: DryRequest): Result<DryPlan> {
	const capacity = Math.min(request.most ?? request.quantity, MOST_IN_A_FILL);
	const split = planLoads({
		areaHa: request.quantity,
		sprayVolumeLPerHa: 1,
		strategy: request.strategy,
		measureStep: request.measureStep,
		withoutWater: true,
		tank: { capacityL: capacity, minimumL: 0, unsprayableL: 0, leftInTankL: request.left ?? 0, leftIsSameMix: true },
		products: request.products.map(({ product, dose, maxDose }) => ({
			...product,
			// Letters that leave it to the unit: what takes up room in a tank is not asked here.
			formulation: 'XX',
			displacementLPerKg: 0,
			dosePerHa: dose,
			maxDosePerHa: maxDose,
		})),
	});
	if (!split.ok) return split;
	const { loads, strategy, alternatives, totals, warnings } = split.value;
	return ok({
		loads: loads.map(({ areaHa, carriedInL, products, containersToHandle, measuredPours }) => ({
			quantity: areaHa,
			left: carriedInL,
			products,
			containersToHandle,
			measuredPours,
		})),
		strategy,
		alternatives: alternatives.map(({ lastLoadL, ...way }) => ({ ...way, last: lastLoadL })),
		amounts: totals.products.map(({ amount }) => amount),
		warnings,
	});
}

/** Keeps a hopper without an end within what a number holds exactly. */
const MOST_IN_A_FILL = 1e9;

/** Hectares one hopper is enough for: capacity ÷ rate. */
export function hectaresPerHopper(hopperKg: Kilograms, kgPerHa: number): Hectares {
	return hopperKg / kgPerHa;
}
