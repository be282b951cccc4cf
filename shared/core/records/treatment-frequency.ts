import type { Dose, Hectares } from '../../units/quantity.ts';

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
