import type { Litres, ProductAmount } from '../../units/quantity.ts';

/** Fills of an applicator's own tank that are alike: so much mix in each. */
export type ApplicatorFill = {
	readonly count: number;
	readonly mixL: Litres;
	readonly waterL: Litres;
	/** Of each product, in its unit, in the order of the products. */
	readonly amounts: readonly ProductAmount[];
};

type Mix = {
	readonly mixL: Litres;
	readonly waterL: Litres;
	readonly products: readonly { readonly amount: ProductAmount; readonly litresPerUnit: number }[];
	/** The applicator's tank; 0: it has none of its own. */
	readonly capacityL: Litres;
};

/** What is measured for a small tank is read off a cylinder or a small scale: 1 mL or 1 g, finer where it is little. Common practice. */
const COARSEST_STEP = 0.001;
/** A measured amount is told in so many figures. */
const FIGURES = 3;

/**
 * A mix that the applicator's own tank holds only in part, as fills of that tank: full ones that are all alike, so that the
 * same is measured each time, then the rest.
 *
 *   full fills = ⌊mix ÷ tank⌋;  product of a full fill = amount × tank ÷ mix, in whole mL or g, or three figures
 *   water of a full fill = tank − Σ product × litres one unit takes up;  the last fill takes what is left of all
 *
 * Fills and amounts add up to the mix. Nothing where the tank holds it at once, or there is none. Litres, kilograms.
 * Source: same concentration in every fill (mass conservation); volumes add up as in a tank (displacement.ts).
 */
export function applicatorFills({ mixL, waterL, products, capacityL }: Mix): ApplicatorFill[] {
	if (capacityL <= 0 || mixL <= capacityL * (1 + 1e-9)) return [];
	const full = Math.floor(mixL / capacityL + 1e-9);
	const lastL = toMicro(mixL - full * capacityL);
	// Where it comes out even, the last full tank takes what rounding left.
	const alike = lastL > 0 ? full : full - 1;
	const each = products.map(({ amount }) => measured((amount * capacityL) / mixL, amount / alike));
	const takenL = products.reduce((sum, { litresPerUnit }, index) => sum + (each[index] ?? 0) * litresPerUnit, 0);
	const eachWaterL = toMicro(capacityL - takenL);
	return [
		{ count: alike, mixL: capacityL, waterL: eachWaterL, amounts: each.map(toMicro) },
		{
			count: 1,
			mixL: toMicro(mixL - alike * capacityL),
			waterL: toMicro(Math.max(0, waterL - alike * eachWaterL)),
			amounts: products.map(({ amount }, index) => toMicro(Math.max(0, amount - alike * (each[index] ?? 0)))),
		},
	];
}

/** To the step it can be measured in, rounded down where all full fills would else take more than there is. */
function measured(exact: ProductAmount, most: ProductAmount): ProductAmount {
	if (exact <= 0) return 0;
	const step = Math.min(COARSEST_STEP, 10 ** (Math.floor(Math.log10(exact)) + 1 - FIGURES));
	const nearest = Math.round(exact / step) * step;
	return nearest <= most + 1e-9 ? nearest : Math.floor(exact / step + 1e-9) * step;
}

function toMicro(value: number): number {
	return Math.round(value * 1e6) / 1e6;
}
