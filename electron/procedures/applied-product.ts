import type { ProductRow } from '../../db/modules/products.ts';
import type { ActiveDose, NutrientDose } from '../../shared/core/limits/limit.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';
import { nutrientsIn } from '../../shared/core/products/nutrient.ts';
import type { ProductDetails } from './products.ts';

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
export function nutrientDoses(product: ProductRow<ProductDetails>, dosePerHa: number): NutrientDose[] {
	return nutrientsOf(product, dosePerHa).map(({ nutrient, kg }) => ({ nutrient, kgPerHa: kg }));
}

/** One product at a dose, with its active substances in grams and its nutrients in kilograms per hectare. */
export function applied(product: ProductRow<ProductDetails>, dosePerHa: number) {
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
