import { ok, type Result, refuse } from '../../basics/result.ts';

export type ContentUnit = 'g/L' | 'g/kg' | '%';

/** What the label says a product contains of one active substance. Acid equivalent is summed where the label gives it. */
export type ActiveContent = { readonly substance: string; readonly content: number; readonly contentUnit: ContentUnit };

/** How a product is measured out: by the litre or the kilogram, and its relative density where it is known. */
export type MeasuredProduct = { readonly unit: 'L' | 'kg'; readonly relativeDensity: number | null };

/** 1 % by mass is 10 g in a kilogram. */
const G_PER_KG_AND_PERCENT = 10;

/**
 * Grams of active substance in an amount of product: g for an amount in L or kg, g/ha for a dose in L/ha or kg/ha.
 *
 *   active [g] = product [L] × content [g/L]     or     product [kg] × content [g/kg]
 *   content [g/kg] = content [%] × 10,     content [g/L] = content [g/kg] × relative density [kg/L]
 *
 * A percentage is taken as mass per mass.
 * Refuses `product.contentNeedsDensity` when content is by mass and the product is measured by volume, or the other way
 * round, and no relative density is known.
 * Source: arithmetic of units; worked cases in tests/reference/active-substance.test.ts.
 */
export function activeSubstance(
	amount: number,
	{ unit, relativeDensity }: MeasuredProduct,
	{ substance, content, contentUnit }: ActiveContent,
): Result<number> {
	const contentPer = contentUnit === 'g/L' ? 'L' : 'kg';
	const gramsPer = contentUnit === '%' ? content * G_PER_KG_AND_PERCENT : content;
	if (contentPer === unit) return ok(amount * gramsPer);
	if (relativeDensity === null) return refuse('product.contentNeedsDensity', { substance, contentUnit, unit });
	const gramsPerUnit = unit === 'L' ? gramsPer * relativeDensity : gramsPer / relativeDensity;
	return ok(amount * gramsPerUnit);
}
