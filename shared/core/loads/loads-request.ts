import type { Dose, Hectares, Litres, LitresPerHectare, ProductAmount } from '../../units/quantity.ts';

/** How a job is broken into loads: full tanks and a remainder, equal loads, or where containers run out. */
export type Strategy = 'full' | 'even' | 'whole containers';

/** From plain to elaborate: the order in which alternatives are listed and ties are settled. */
export const strategies = ['full', 'even', 'whole containers'] as const satisfies readonly Strategy[];

export type TankState = {
	readonly capacityL: Litres;
	/** Least that may stand in the tank when a load is ready. */
	readonly minimumL: Litres;
	/** Stays in sump and lines, and must be there for the boom to spray. */
	readonly unsprayableL: Litres;
	readonly leftInTankL: Litres;
	/** False: what is left is another mix, and the job is refused. */
	readonly leftIsSameMix: boolean;
};

/** A container in the store: what is left in it, and whether it is open. */
export type ShelfContainer = { readonly size: ProductAmount; readonly opened: boolean };

/** A product of the job. Exactly one of the three doses is given. */
export type ProductToLoad = {
	readonly name: string;
	readonly formulation: string;
	readonly unit: 'L' | 'kg';
	readonly dosePerHa?: Dose | null | undefined;
	/** L or kg of product per 100 L of mix. */
	readonly dosePer100L?: number | null | undefined;
	/** Litres of product per 100 L of mix, for products sold by the litre. */
	readonly dosePercent?: number | null | undefined;
	/** The label's maximum single dose. */
	readonly maxDosePerHa?: Dose | null | undefined;
	readonly packSizes: readonly ProductAmount[];
	/** What is left in a pack that is already open. */
	readonly openedPack: ProductAmount;
	/** What is in the store, in the order it is taken, the opened ones first; wins over the opened pack. */
	readonly onShelf?: readonly ShelfContainer[] | undefined;
	readonly relativeDensity?: number | null | undefined;
	/** Litres of tank one kilogram takes up, where the maker gives it. */
	readonly displacementLPerKg?: number | null | undefined;
};

export type LoadsRequest = {
	readonly areaHa: Hectares;
	readonly sprayVolumeLPerHa: LitresPerHectare;
	readonly strategy?: Strategy | undefined;
	readonly tank: TankState;
	readonly products: readonly ProductToLoad[];
	/** The smallest difference that is measured out, in L or kg. */
	readonly measureStep: ProductAmount;
	/** Products alone: nothing is refused for want of room for water. */
	readonly withoutWater?: boolean | undefined;
};

/** A note beside a good answer. */
export type PlanWarning = { readonly code: string; readonly message: string; readonly record?: string };
