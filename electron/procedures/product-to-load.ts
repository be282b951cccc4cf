import type { ProductRow } from '../../db/modules/products.ts';
import type { ProductToLoad } from '../../shared/core/loads/loads-request.ts';
import type { ProductDetails } from './products.ts';

/** A product of the books as the planning of loads takes it, at a dose; containers are added by who knows the store. */
export function toLoad(product: ProductRow<ProductDetails>, dosePerHa: number): ProductToLoad {
	const { name, formulation, unit, relativeDensity, displacementLPerKg } = product;
	return {
		name,
		formulation,
		unit,
		dosePerHa,
		packSizes: [],
		openedPack: 0,
		relativeDensity: relativeDensity ?? null,
		displacementLPerKg: displacementLPerKg ?? null,
	};
}
