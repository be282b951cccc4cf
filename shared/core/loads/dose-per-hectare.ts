import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Dose, LitresPerHectare } from '../../units/quantity.ts';
import type { ProductToLoad } from './loads-request.ts';

/**
 * The dose of a product per hectare, however the label gives it.
 *
 *   dose [L or kg per ha] = dose per 100 L of mix × spray volume [L/ha] ÷ 100
 *   dose [L/ha]           = % v/v ÷ 100 × spray volume [L/ha]
 *
 * Takes the product, the spray volume and where the product stands in the request.
 * Refuses none or several doses, a dose of nothing, % v/v of a product sold by mass, and a dose above the label.
 * Source: concentration doses as in tests/reference/loads-handbook.test.ts (rows 7 to 9).
 */
export function dosePerHectare(product: ProductToLoad, sprayVolume: LitresPerHectare, path: string): Result<Dose> {
	const given = (['dosePerHa', 'dosePer100L', 'dosePercent'] as const).filter(
		(key) => typeof product[key] === 'number',
	);
	const [way] = given;
	if (way === undefined || given.length > 1) {
		return refuse('load.doseUnclear', { path, product: product.name, given });
	}
	const figure = product[way] ?? 0;
	if (!(figure > 0)) return refuse('load.doseNotPositive', { path: `${path}.${way}`, product: product.name });
	if (way === 'dosePercent' && product.unit !== 'L') {
		return refuse('load.percentByMass', { path: `${path}.${way}`, product: product.name });
	}
	const dose = way === 'dosePerHa' ? figure : (figure * sprayVolume) / 100;
	const limit = product.maxDosePerHa ?? Number.POSITIVE_INFINITY;
	if (dose > limit * (1 + BINARY_NOISE)) {
		return refuse('load.doseAboveLabel', { path, product: product.name, dose, limit, unit: product.unit });
	}
	return ok(dose);
}

/** A dose worked out from a concentration may pass the label's figure by the last binary digit. */
const BINARY_NOISE = 1e-12;
