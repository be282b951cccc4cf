import type { ProductRow } from '../../db/modules/products.ts';
import type { ActiveDose } from '../../shared/core/limits/limit.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';
import type { ProductDetails } from './products.ts';

/** One product at a dose, with its active substances in grams per hectare. */
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
	return { productId: product.id, name: product.name, unit: product.unit, dosePerHa, actives };
}
