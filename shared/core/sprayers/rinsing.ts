import type { Litres } from '../../units/quantity.ts';

export type RinseAnswer = {
	remainingFraction: number;
	factor: number;
	/** Rinses of the mean size given that reach the target. */
	rinsesForTarget?: number;
	/** Water that as many equal rinses as given need for the target. */
	waterPerRinseForTargetL?: number;
};

/**
 * What is left of a residue after rinsing, as a fraction, and how many times weaker it is.
 *
 *   remaining = product of  residue ÷ (residue + rinse water)  over all rinses
 *
 * Litres in, plain numbers out. With a `targetFactor`, also what would reach it: more rinses of that size, or as many
 * rinses with more water. Assumes full mixing and the same residue left behind each time: the figure informs, it proves
 * nothing clean.
 * Source: sequential dilution; published computed cases in tests/reference/rinsing.test.ts.
 */
export function rinse({
	residualL,
	rinsesL,
	targetFactor,
}: {
	readonly residualL: Litres;
	readonly rinsesL: readonly Litres[];
	readonly targetFactor?: number | undefined;
}): RinseAnswer {
	const factor = rinsesL.reduce((product, waterL) => (product * (residualL + waterL)) / residualL, 1);
	const answer = { remainingFraction: 1 / factor, factor };
	if (targetFactor === undefined || rinsesL.length === 0) return answer;
	const meanL = rinsesL.reduce((sum, waterL) => sum + waterL, 0) / rinsesL.length;
	return {
		...answer,
		rinsesForTarget: rinsesForFactor({ residualL, waterL: meanL, factor: targetFactor }),
		waterPerRinseForTargetL: waterPerRinseForFactor({ residualL, rinses: rinsesL.length, factor: targetFactor }),
	};
}

/** Guards the rounding up against the last digit of a double, so that 3.0000000000000004 rinses are 3. */
const LAST_DIGITS = 1e-9;

/**
 * How many rinses of the same size make a residue `factor` times weaker, at least.
 *
 *   rinses = ln factor ÷ ln((residue + water) ÷ residue), rounded up
 *
 * Source: the formula of `rinse`, solved for the number of rinses.
 */
export function rinsesForFactor(given: {
	readonly residualL: Litres;
	readonly waterL: Litres;
	readonly factor: number;
}): number {
	const perRinse = (given.residualL + given.waterL) / given.residualL;
	return Math.ceil(Math.log(given.factor) / Math.log(perRinse) - LAST_DIGITS);
}

/**
 * How much water each of `rinses` equal rinses needs to make a residue `factor` times weaker. For a given total, equal
 * rinses are the best split.
 *
 *   water [L] = residue [L] × (factor^(1 ÷ rinses) − 1)
 *
 * Source: the formula of `rinse`, solved for the water of one rinse.
 */
export function waterPerRinseForFactor(given: {
	readonly residualL: Litres;
	readonly rinses: number;
	readonly factor: number;
}): Litres {
	return given.residualL * (given.factor ** (1 / given.rinses) - 1);
}
