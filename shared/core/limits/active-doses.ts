import type { Dose } from '../../units/quantity.ts';
import { type ActiveContent, activeSubstance, type MeasuredProduct } from '../products/active-substance.ts';
import type { ActiveDose } from './limit.ts';

/**
 * The active substances in a dose, g/ha each, with their mode-of-action group. Several in one product give several lines;
 * one whose content cannot be reckoned for want of a density is null.
 */
export function activeDoses(
	dosePerHa: Dose,
	product: MeasuredProduct & {
		readonly actives: readonly (ActiveContent & { readonly modeOfAction?: string | undefined })[];
	},
): ActiveDose[] {
	return product.actives.map((active) => {
		const grams = activeSubstance(dosePerHa, product, active);
		return { substance: active.substance, gPerHa: grams.ok ? grams.value : null, group: active.modeOfAction ?? null };
	});
}
