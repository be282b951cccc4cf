import type { Litres } from '../../units/quantity.ts';

export type WashedOut = {
	/** Mix as it was made up that came out with the water: what it holds of each product is on the ground. */
	readonly mixL: Litres;
	/** All that was sprayed out, water and mix. */
	readonly sprayedL: Litres;
	/** How many times weaker than the mix the rest is that stays in the sprayer. */
	readonly factor: number;
};

/**
 * What comes out of a sprayer that is washed out onto ground: the mix left, then one rinse after the other, each sprayed
 * out down to the residue.
 *
 *   strength after the rinses = left ÷ (left + w₁) × Π residue ÷ (residue + wᵢ),  i from 2
 *   mix out = left − residue × strength;   sprayed out = left + Σ w − residue
 *
 * With nothing but the residue left it is the formula of `rinse`. Litres in and out; a residue above what is left is what
 * is left. Full mixing is assumed. Source: sequential dilution (`rinse`) and conservation of the product.
 */
export function washedOut({
	leftL,
	residualL,
	rinsesL,
}: {
	readonly leftL: Litres;
	readonly residualL: Litres;
	readonly rinsesL: readonly Litres[];
}): WashedOut {
	const residue = Math.min(residualL, leftL);
	const [first = 0, ...others] = rinsesL;
	const strength = others.reduce(
		(so, waterL) => (so * residue) / (residue + waterL || 1),
		leftL > 0 ? leftL / (leftL + first) : 0,
	);
	const waterL = rinsesL.reduce((sum, litres) => sum + litres, 0);
	return {
		mixL: leftL - residue * strength,
		sprayedL: leftL + waterL - residue,
		factor: strength > 0 ? 1 / strength : 1,
	};
}
