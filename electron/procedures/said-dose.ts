import type { ProductRow } from '../../db/modules/products.ts';
import { ok, type Result } from '../../shared/basics/result.ts';
import type { Dosed } from '../../shared/contract/jobs-plan.ts';
import { dosePerHectare } from '../../shared/core/loads/dose-per-hectare.ts';
import { type DoseUnit, type DoseWay, type SaidDose, sayDose } from '../../shared/core/loads/dose-units.ts';
import { toLoad } from './product-to-load.ts';
import type { ProductDetails } from './products.ts';

/** A dose as it was said, kept beside the dose per hectare it comes to at the job's spray volume. */
export type KeptDose = { readonly way: DoseWay; readonly figure: number; readonly unit?: DoseUnit | undefined };

/** The dose per hectare of a product, and how it was said. Refuses what the core refuses, naming the product. */
export function readDose(
	product: ProductRow<ProductDetails>,
	{ dosePerHa, dosePer100L, dosePercent, doseUnit }: Dosed,
	at: { readonly sprayVolumeLPerHa: number; readonly path: string },
): Result<{ readonly dosePerHa: number; readonly kept: KeptDose }> {
	const said = { ...toLoad(product, dosePerHa ?? 0), dosePerHa: dosePerHa ?? null, dosePer100L, dosePercent };
	const perHa = dosePerHectare(said, at.sprayVolumeLPerHa, at.path);
	if (!perHa.ok) return perHa;
	const way = dosePer100L !== undefined ? 'dosePer100L' : dosePercent !== undefined ? 'dosePercent' : 'dosePerHa';
	const figure = dosePer100L ?? dosePercent ?? dosePerHa ?? 0;
	return ok({ dosePerHa: perHa.value, kept: { way, figure, ...(doseUnit ? { unit: doseUnit } : {}) } });
}

/** How a dose is shown: as it was said, else per hectare. */
export function shownDose(kept: KeptDose | undefined, product: { unit: 'L' | 'kg' }, dosePerHa: number): SaidDose {
	return sayDose(kept ?? { way: 'dosePerHa', figure: dosePerHa }, product.unit, kept?.unit);
}
