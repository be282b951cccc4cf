import type { Hectares } from '../../units/quantity.ts';

/** Seed by mass, or by the unit of so many grains it is sold in. */
export type SeedUnit = 'kg' | 'unit';
export type SeedAmount = { readonly amount: number; readonly unit: SeedUnit };

/** Labels give the dose of a seed treatment to 100 kg of seed, or to a unit. */
export const SEED_PER_DOSE: Readonly<Record<SeedUnit, number>> = { kg: 100, unit: 1 };

/**
 * What a dose on the seed comes to on the ground it is sown on.
 *
 *   dose [per ha] = dose [per 100 kg or unit of seed] × seed sown ÷ area ÷ 100 (or 1)
 *
 * Takes the dose to `SEED_PER_DOSE` of seed, the seed sown in its own unit and the hectares it was sown on.
 * Source: label doses to 100 kg of seed, common practice.
 */
export function dosePerHaSown(dose: number, sown: SeedAmount, areaHa: Hectares): number {
	return (dose * sown.amount) / SEED_PER_DOSE[sown.unit] / areaHa;
}
