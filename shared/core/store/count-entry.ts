import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Kilograms, ProductAmount } from '../../units/quantity.ts';

/** One opened container as the counter found it: read at its marks, or put on a scale. */
export type PartContainer =
	| { readonly how: 'level'; readonly size: ProductAmount; readonly amount: ProductAmount }
	| {
			readonly how: 'weighed';
			readonly size: ProductAmount;
			readonly grossKg: Kilograms;
			readonly tareKg: Kilograms;
			readonly scaleStepKg: Kilograms;
	  };

export type FullPacks = { readonly size: ProductAmount; readonly count: number };
export type CountEntry = { readonly full: readonly FullPacks[]; readonly parts: readonly PartContainer[] };

export type CountedProduct = {
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly relativeDensity?: number | null | undefined;
};

/** Marks on a container wall are read to a twentieth of its size. Common practice. */
const LEVEL_READING = 1 / 20;

/** A container is filled a little above its nominal size at most. Common practice. */
const FILLED_ABOVE = 1.05;

/**
 * What one entry of a stock take comes to, and how well it was measured.
 *
 *   counted = Σ full × size + Σ parts;  part by level = the reading;  part by scale = (gross − tare) ÷ density
 *   σ² = Σ (size ÷ 20)² for levels + Σ 2 × (scale step ÷ √12 ÷ density)² for weighings; full containers carry none
 *
 * In L or kg; a product sold by the kilogram is weighed without a density. The reading of a scale is off by up to half
 * its step, evenly (standard error step ÷ √12; JCGM 100:2008, 4.3.7), twice in one weighing. Refuses a tare above the
 * gross weight, more in a container than it holds, and a weighed liquid without relative density.
 */
export function countEntry(
	product: CountedProduct,
	entry: CountEntry,
): Result<{ counted: ProductAmount; sigma: ProductAmount; parts: ProductAmount[] }> {
	const parts: ProductAmount[] = [];
	let variance = 0;
	for (const part of entry.parts) {
		const read = part.how === 'level' ? ok(byLevel(part)) : byScale(product, part);
		if (!read.ok) return read;
		if (read.value.amount > part.size * FILLED_ABOVE) {
			const { name, unit } = product;
			return refuse('count.partAboveSize', { product: name, unit, size: part.size, amount: read.value.amount });
		}
		parts.push(read.value.amount);
		variance += read.value.sigma ** 2;
	}
	const full = entry.full.reduce((sum, { size, count }) => sum + size * count, 0);
	return ok({ counted: parts.reduce((sum, part) => sum + part, full), sigma: Math.sqrt(variance), parts });
}

type Reading = { readonly amount: ProductAmount; readonly sigma: ProductAmount };

function byLevel({ size, amount }: Extract<PartContainer, { how: 'level' }>): Reading {
	return { amount, sigma: amount === 0 ? 0 : size * LEVEL_READING };
}

function byScale(
	{ name, unit, relativeDensity }: CountedProduct,
	{ grossKg, tareKg, scaleStepKg }: Extract<PartContainer, { how: 'weighed' }>,
): Result<Reading> {
	if (tareKg > grossKg) return refuse('count.tareAboveGross', { product: name, grossKg, tareKg });
	const density = unit === 'kg' ? 1 : relativeDensity;
	if (!density) return refuse('count.densityMissing', { product: name });
	return ok({ amount: (grossKg - tareKg) / density, sigma: (scaleStepKg * Math.sqrt(2 / 12)) / density });
}
