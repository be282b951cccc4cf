import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Litres, ProductAmount } from '../../units/quantity.ts';
import { displacementOf } from './displacement.ts';
import { type DoseUnit, doseOf, seedDoseWay } from './dose-units.ts';
import type { PlanWarning, ProductToLoad } from './loads-request.ts';
import type { SeedUnit } from './seed.ts';

/** The units a slurry volume is written in. */
export const slurryUnits = ['mL/100 kg', 'L/100 kg', 'L/t', 'mL/unit', 'L/unit'] as const satisfies readonly DoseUnit[];
export type SlurryUnit = (typeof slurryUnits)[number];

/** What goes onto seed in all, products and water, as it was said: `800 mL/100 kg`. */
export type SlurryVolume = { readonly value: number; readonly unit: SlurryUnit };

/** The units for seed that is counted so, the usual one first. */
export function slurryUnitsOf(seedUnit: SeedUnit): readonly [SlurryUnit, ...SlurryUnit[]] {
	return seedUnit === 'kg' ? ['mL/100 kg', 'L/100 kg', 'L/t'] : ['mL/unit', 'L/unit'];
}

/** Litres of slurry to 100 kg or one unit of seed; null: said for seed that is counted the other way. */
export function slurryLitres(slurry: SlurryVolume, seedUnit: SeedUnit): Litres | null {
	const { way, figure } = doseOf(slurry);
	return way === seedDoseWay(seedUnit) ? figure : null;
}

export function wrongSlurryUnit(seedUnit: SeedUnit): string {
	return `say it to ${seedUnit === 'kg' ? '100 kg' : 'one unit'} of seed, as the seed is counted`;
}

/** From memory, common practice: cereals take 0.2 to 2 L of slurry to 100 kg; more is likely a slip of the unit. */
const MOST_USUAL_L_PER_100_KG = 3;

type Batch = { readonly quantity: number; readonly products: readonly { readonly amount: ProductAmount }[] };

export type BatchSlurry = { readonly slurryL: Litres; readonly waterL: Litres };

/**
 * The water that goes onto each batch of seed with the products.
 *
 *   slurry = slurry volume × seed ÷ 100 kg (or ÷ 1 unit)
 *   water  = slurry − Σ amount × litres one unit of the product takes up, in whole measuring steps
 *
 * Takes the slurry volume in litres to 100 kg or one unit of seed, the doses to the same, the batches in it. Gives litres.
 * Refuses products that take up more than the slurry volume, and what `displacementOf` refuses.
 * Source: common practice; volumes add up as in a tank (displacement.ts).
 */
export function slurryOfBatches(
	litres: Litres,
	{
		batches,
		products,
		seedUnit,
		measureStep,
	}: {
		readonly batches: readonly Batch[];
		readonly products: readonly (ProductToLoad & { readonly dose: number })[];
		readonly seedUnit: SeedUnit;
		readonly measureStep: Litres;
	},
): Result<{ readonly batches: readonly BatchSlurry[]; readonly warnings: readonly PlanWarning[] }> {
	const litresPerUnit: number[] = [];
	const warnings: PlanWarning[] = unusual(litres, seedUnit);
	for (const [index, product] of products.entries()) {
		const volume = displacementOf(product, `products[${index}]`);
		if (!volume.ok) return volume;
		litresPerUnit.push(volume.value.litresPerUnit);
		warnings.push(...volume.value.warnings.filter(({ code }) => code !== 'product.notForTank'));
	}
	const productL = products.reduce((sum, { dose }, index) => sum + dose * (litresPerUnit[index] ?? 0), 0);
	if (productL > litres * (1 + 1e-9)) {
		return refuse('seed.slurryTooSmall', {
			path: 'seed.slurry',
			per: seedUnit === 'kg' ? '100 kg of seed' : 'one unit of seed',
			slurryL: toMicro(litres),
			productL: Math.round(productL * 1000) / 1000,
		});
	}
	return ok({
		warnings,
		batches: batches.map(({ quantity, products: poured }) => {
			const slurryL = litres * quantity;
			const takenL = poured.reduce((sum, { amount }, index) => sum + amount * (litresPerUnit[index] ?? 0), 0);
			const steps = Math.round((slurryL - takenL) / measureStep);
			return { slurryL: toMicro(slurryL), waterL: toMicro(Math.max(0, steps * measureStep)) };
		}),
	});
}

function unusual(litres: Litres, seedUnit: SeedUnit): PlanWarning[] {
	if (seedUnit !== 'kg' || litres <= MOST_USUAL_L_PER_100_KG) return [];
	const message = `Slurry volume: ${toMicro(litres)} L to 100 kg of seed is more than usual (0.2 to 2 L for cereals, common practice). Check the unit: seed that gets too wet clumps, swells and spoils.`;
	return [{ code: 'seed.slurryUnusual', message }];
}

function toMicro(value: number): number {
	return Math.round(value * 1e6) / 1e6;
}
