import type { Dose, Hectares, Litres, LitresPerHectare } from '../../units/quantity.ts';

export type WashedProduct = {
	readonly name: string;
	readonly dosePerHa: Dose;
	/** The label's maximum single dose; null: not on the books. */
	readonly maxDosePerHa: Dose | null;
};

export type WashingsGround = {
	/** Ground of this job, already sprayed, that takes the washings within every label's maximum; null: no such ground. */
	readonly onSprayedHa: Hectares | null;
	/** Which product asks for that much, or rules it out. */
	readonly limitedBy: string | null;
	/** Ground to keep unsprayed for them instead. */
	readonly keptBackHa: Hectares;
	/** Products whose maximum is not on the books: the label has to say. */
	readonly unknown: readonly string[];
};

/**
 * How much ground the washings of what is left in the tank need.
 *
 *   product in the washings = dose × mix left ÷ spray volume
 *   on ground sprayed already: least area = that ÷ (maximum dose − dose), the largest over all products
 *   on ground kept back: mix left ÷ spray volume, for there they are no more than the job's own dose
 *
 * Only on ground the labels allow. The water added changes neither the product nor its dose on the ground.
 * Source: mass conservation; washings on the treated crop within the label dose: common practice.
 */
export function groundForWashings(given: {
	readonly leftL: Litres;
	readonly sprayVolumeLPerHa: LitresPerHectare;
	readonly products: readonly WashedProduct[];
}): WashingsGround {
	const keptBackHa = given.leftL / given.sprayVolumeLPerHa;
	let onSprayedHa: Hectares | null = 0;
	let limitedBy: string | null = null;
	for (const { name, dosePerHa, maxDosePerHa } of given.products) {
		if (maxDosePerHa === null || onSprayedHa === null) continue;
		const headroom = maxDosePerHa - dosePerHa;
		const needed = headroom > dosePerHa * BINARY_NOISE ? (dosePerHa * keptBackHa) / headroom : null;
		if (needed === null || needed > onSprayedHa) {
			onSprayedHa = needed;
			limitedBy = name;
		}
	}
	const unknown = given.products.filter(({ maxDosePerHa }) => maxDosePerHa === null).map(({ name }) => name);
	return { onSprayedHa: unknown.length === given.products.length ? null : onSprayedHa, limitedBy, keptBackHa, unknown };
}

/** A dose worked out from a concentration may miss the label's figure by the last binary digit. */
const BINARY_NOISE = 1e-12;
