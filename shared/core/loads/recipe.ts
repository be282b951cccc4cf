import { ok, type Result } from '../../basics/result.ts';
import { STOCK_PER_UNIT, toStockAmount } from '../../units/amount.ts';
import type { Hectares, LitresPerHectare } from '../../units/quantity.ts';
import { containerSequence } from './container-sequence.ts';
import { displacementOf } from './displacement.ts';
import { dosePerHectare } from './dose-per-hectare.ts';
import type { LoadsRequest, PlanWarning } from './loads-request.ts';
import type { Pouring } from './poured-amounts.ts';

/** One product of the job, ready to be measured out: its dose per hectare, its room in the tank, its containers. */
export type RecipeLine = Pouring & {
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly litresPerUnit: number;
};

export type Recipe = { readonly lines: readonly RecipeLine[]; readonly warnings: readonly PlanWarning[] };

/**
 * Reads the products of a job.
 *
 *   need [L or kg] = dose × new mix of all loads ÷ spray volume
 *
 * Takes the request and the new mix ÷ spray volume, in ha. Refuses what `dosePerHectare`, `displacementOf` and
 * `containerSequence` refuse, naming the product.
 */
export function readRecipe(request: LoadsRequest, madeUpHa: Hectares): Result<Recipe> {
	const step = toStockAmount(request.measureStep);
	const lines: RecipeLine[] = [];
	const warnings: PlanWarning[] = [];
	for (const [index, product] of request.products.entries()) {
		const path = `products.${index}`;
		const sprayVolume: LitresPerHectare = request.sprayVolumeLPerHa;
		const displacement = displacementOf(product, path);
		if (!displacement.ok) return displacement;
		const dose = dosePerHectare(product, sprayVolume, path);
		if (!dose.ok) return dose;
		const need = dose.value * madeUpHa * STOCK_PER_UNIT;
		const sequence = containerSequence(product, need, step, path);
		if (!sequence.ok) return sequence;
		warnings.push(...displacement.value.warnings);
		lines.push({
			name: product.name,
			unit: product.unit,
			dosePerHa: dose.value,
			maxDosePerHa: product.maxDosePerHa ?? null,
			litresPerUnit: displacement.value.litresPerUnit,
			sequence: sequence.value,
			step,
		});
	}
	return ok({ lines, warnings });
}
