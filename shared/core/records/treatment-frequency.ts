import type { Dose, Hectares } from '../../units/quantity.ts';
import { type Limit, sameName } from '../limits/limit.ts';
import { singleDoses } from '../limits/limits-of-kind.ts';

/**
 * Treatment frequency index of one treatment on one field.
 *
 *   index = dose ÷ reference dose × treated area ÷ field area
 *
 * A full dose on the whole field is 1, half a dose 0.5. Null where the reference dose or the field area is not above
 * zero. Source: French ministry of agriculture, *Guide méthodologique IFT*, 2018 (the reference dose there is published
 * by product and crop, and is no recommendation).
 */
export function treatmentFrequency(treatment: {
	readonly dosePerHa: Dose;
	readonly referencePerHa: Dose;
	readonly treatedHa: Hectares;
	readonly fieldHa: Hectares;
}): number | null {
	const { dosePerHa, referencePerHa, treatedHa, fieldHa } = treatment;
	if (!(referencePerHa > 0) || !(fieldHa > 0)) return null;
	return ((dosePerHa / referencePerHa) * treatedHa) / fieldHa;
}

/** The index of a crop or a farm: the mean of its fields by area, Σ index × area ÷ Σ area. Null for no area. Same source. */
export function frequencyOverFields(fields: readonly { readonly index: number; readonly areaHa: Hectares }[]) {
	const area = fields.reduce((sum, { areaHa }) => sum + areaHa, 0);
	return area > 0 ? fields.reduce((sum, { index, areaHa }) => sum + index * areaHa, 0) / area : null;
}

/** What stands for a full dose, and where it comes from. */
export type ReferenceDose = { readonly dosePerHa: Dose; readonly from: 'reference' | 'label' };

/**
 * The full dose a treatment is held against: the product's own reference dose for the crop, else its reference dose for
 * every crop, else the largest single dose of its label, for the crop before that for every crop. Null for none of these.
 */
export function referenceDoseOf(
	product: {
		readonly referenceDoses: readonly { readonly crop?: string | undefined; readonly dosePerHa: Dose }[];
		readonly limits: readonly Limit[];
	},
	crop: readonly string[],
): ReferenceDose | null {
	const own = bestFor(product.referenceDoses, crop);
	if (own) return { dosePerHa: own.dosePerHa, from: 'reference' };
	const label = bestFor(singleDoses(product.limits), crop);
	return label?.max === undefined ? null : { dosePerHa: label.max, from: 'label' };
}

function bestFor<Entry extends { readonly crop?: string | undefined }>(
	entries: readonly Entry[],
	crop: readonly string[],
) {
	const named = entries.find(({ crop: only }) => only !== undefined && crop.some((name) => sameName(name, only)));
	return named ?? entries.find(({ crop: only }) => only === undefined);
}
