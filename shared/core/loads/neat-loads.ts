import { ok, type Result } from '../../basics/result.ts';
import { displacementOf } from './displacement.ts';
import { dosePerHectare } from './dose-per-hectare.ts';
import type { LoadsRequest } from './loads-request.ts';
import { type LoadsPlan, planLoads } from './plan-loads.ts';

/**
 * Tank loads of one product that goes out undiluted.
 *
 *   litres per hectare = dose × litres one unit of it takes up
 *   loads = ⌈area × litres per hectare ÷ (capacity − unsprayable)⌉, as for a mix
 *
 * Takes a request with one product; its spray volume is the dose itself. Gives the plan without water.
 * Refuses what `displacementOf` and `planLoads` refuse.
 */
export function planNeatLoads(
	request: Omit<LoadsRequest, 'sprayVolumeLPerHa' | 'products' | 'withoutWater'> & {
		readonly product: LoadsRequest['products'][number];
	},
): Result<LoadsPlan & { readonly litresPerHa: number }> {
	const { product, ...rest } = request;
	const volume = displacementOf(product, 'products.0');
	if (!volume.ok) return volume;
	const dose = dosePerHectare(product, 0, 'products.0');
	if (!dose.ok) return dose;
	const litresPerHa = dose.value * volume.value.litresPerUnit;
	const split = planLoads({ ...rest, sprayVolumeLPerHa: litresPerHa, products: [product], withoutWater: true });
	if (!split.ok) return split;
	const { loads, totals, warnings, ...plan } = split.value;
	return ok({
		...plan,
		litresPerHa,
		loads: loads.map((load) => ({ ...load, waterL: 0, displacementL: load.newMixL })),
		totals: { ...totals, waterL: 0, displacementL: totals.newMixL },
		warnings: warnings.filter(({ code }) => code !== 'product.notForTank'),
	});
}
