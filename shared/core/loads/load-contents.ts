import { fromStockAmount } from '../../units/amount.ts';
import type { Hectares, Litres, ProductAmount, StockAmount } from '../../units/quantity.ts';
import { type ContainerDraw, drawBetween } from './container-draw.ts';
import { pouredAmounts } from './poured-amounts.ts';
import type { RecipeLine } from './recipe.ts';
import { NOTHING_L, type TankLimits } from './tank-limits.ts';

export type ProductInLoad = Pick<ContainerDraw, 'fromOpened' | 'fullPacks' | 'measured'> & {
	readonly name: string;
	readonly amount: ProductAmount;
};

export type Load = {
	/** Ground this load sprays. */
	readonly areaHa: Hectares;
	readonly newMixL: Litres;
	readonly carriedInL: Litres;
	/** What stands in the tank: new mix and carried in. */
	readonly totalL: Litres;
	/** Water to meter. */
	readonly waterL: Litres;
	/** Room the products take up, liquids included. */
	readonly displacementL: Litres;
	readonly products: readonly ProductInLoad[];
	readonly containersToHandle: number;
	/** Products that have to be measured out; also one whose share rounds to nothing, which takes a finer measure. */
	readonly measuredPours: number;
};

/** Loads with their contents, and what was poured of each product of the recipe by the end of each load. */
export type FilledLoads = {
	readonly loads: readonly Load[];
	readonly poured: readonly (readonly StockAmount[])[];
	readonly containersOpened: number;
	readonly measuredPours: number;
};

/**
 * What goes into each load.
 *
 *   new mix = in the tank − carried in          carried in: what was left at first, then the unsprayable litres
 *   area    = (in the tank − unsprayable) ÷ spray volume
 *   amount  = dose × new mix ÷ spray volume, in whole measuring steps
 *   water   = new mix − Σ amount × litres per unit
 *
 * Takes the litres standing in the tank at each load. The areas add up to the area of the job: what a load carries in
 * was not sprayed by the one before.
 */
export function fillLoads(
	tankTotals: readonly Litres[],
	lines: readonly RecipeLine[],
	limits: TankLimits,
): FilledLoads {
	const { sprayVolumeLPerHa, unsprayableL, leftInTankL } = limits;
	const carriedIn = tankTotals.map((_, load) => (load === 0 ? leftInTankL : unsprayableL));
	const newMix = tankTotals.map((total, load) => {
		const litres = total - (carriedIn[load] ?? 0);
		return litres > NOTHING_L ? litres : 0;
	});
	const madeUpHa = runningTotal(newMix).map((litres) => litres / sprayVolumeLPerHa);
	const poured = lines.map((line) => pouredAmounts(line, madeUpHa));
	const draws = lines.map((line, product) => drawsOf(line, poured[product] ?? []));
	const loads = tankTotals.map((totalL, load): Load => {
		const products = lines.map((line, product) =>
			productInLoad(line, poured[product] ?? [], draws[product] ?? [], load),
		);
		const newMixL = newMix[load] ?? 0;
		const displacementL = sum(products.map(({ amount }, product) => amount * (lines[product]?.litresPerUnit ?? 0)));
		return {
			areaHa: (totalL - unsprayableL) / sprayVolumeLPerHa,
			newMixL,
			carriedInL: carriedIn[load] ?? 0,
			totalL,
			waterL: newMixL - displacementL,
			displacementL,
			products,
			containersToHandle: sum(draws.map((draw) => draw[load]?.containers ?? 0)),
			measuredPours: products.filter(({ amount, measured }) => measured > 0 || (amount === 0 && newMixL > 0)).length,
		};
	});
	const containersOpened = sum(draws.flat().map((draw) => draw.opened));
	return { loads, poured, containersOpened, measuredPours: sum(loads.map((load) => load.measuredPours)) };
}

function drawsOf(line: RecipeLine, poured: readonly StockAmount[]): ContainerDraw[] {
	return poured.map((to, load) => drawBetween(line.sequence, poured[load - 1] ?? 0, to));
}

function productInLoad(
	{ name }: RecipeLine,
	poured: readonly StockAmount[],
	draws: readonly ContainerDraw[],
	load: number,
): ProductInLoad {
	const { fromOpened = 0, fullPacks = [], measured = 0 } = draws[load] ?? {};
	const amount = fromStockAmount((poured[load] ?? 0) - (poured[load - 1] ?? 0));
	return { name, amount, fromOpened, fullPacks, measured };
}

export function sum(figures: readonly number[]): number {
	return figures.reduce((total, figure) => total + figure, 0);
}

function runningTotal(figures: readonly number[]): number[] {
	let total = 0;
	return figures.map((figure) => {
		total += figure;
		return total;
	});
}
