import type { ProductRow } from '../../db/modules/products.ts';
import type { ActiveDose, Limit, NutrientDose } from '../../shared/core/limits/limit.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';
import { nutrientsIn } from '../../shared/core/products/nutrient.ts';
import type { ProductDetails } from './products.ts';

type Product = ProductRow<ProductDetails>;

/** The nutrients in an amount of a product. Products entered before contents were asked for have none. */
export function nutrientsOf(
	{
		unit,
		relativeDensity,
		kind,
		nutrients,
	}: Pick<ProductDetails, 'relativeDensity' | 'kind' | 'nutrients'> & {
		readonly unit: 'L' | 'kg';
	},
	amount: number,
) {
	return nutrientsIn(amount, { unit, relativeDensity: relativeDensity ?? null, kind, nutrients: nutrients ?? [] });
}

/** The nutrients in a dose. */
export function nutrientDoses(product: Product, dosePerHa: number): NutrientDose[] {
	return nutrientsOf(product, dosePerHa).map(({ nutrient, kg }) => ({ nutrient, kgPerHa: kg }));
}

/** One product at a dose, with its active substances in grams and its nutrients in kilograms per hectare. */
export function applied(product: Product, dosePerHa: number) {
	const measured = { unit: product.unit, relativeDensity: product.relativeDensity ?? null };
	const actives = product.actives.map((active): ActiveDose => {
		// The dose stands for the amount on one hectare, so the grams are grams per hectare.
		const grams = activeSubstance(dosePerHa, measured, active);
		const gPerHa: number | null = grams.ok ? grams.value : null;
		return {
			substance: active.substance,
			gPerHa,
			group: active.modeOfAction ?? null,
		};
	});
	const nutrients = nutrientDoses(product, dosePerHa);
	return { productId: product.id, name: product.name, unit: product.unit, dosePerHa, actives, nutrients };
}

/** Within a thousandth of the plan, or one measuring step on that ground, the dose is the plan's: rounding is no overdose. */
export function asPlanned(
	dose: number,
	{ planned, stepPerHa }: { readonly planned: number; readonly stepPerHa: number },
): number {
	return Math.abs(dose - planned) <= Math.max(planned / 1000, stepPerHa) ? Math.min(dose, planned) : dose;
}

/** The authorisation's own dates: the end of the use-up period where there is one. */
export function authorisationOf({ authorisationEnds, useUpBy, limits }: Product): Limit[] {
	const to = useUpBy ?? authorisationEnds;
	if (!to || limits.some(({ kind }) => kind === 'authorisation')) return [];
	return [{ kind: 'authorisation', to, source: 'authorisation dates of the product', fromMemory: false }];
}
