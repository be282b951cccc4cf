/** The few statistics the season comparison rests on. */

/**
 * Chance that measuring alone gives a figure at least `z` standard errors from nothing, either way.
 *
 *   p = erfc(|z| ÷ √2)
 *
 * Relative error below 1.2e-7 (Chebyshev fit: Press et al., Numerical Recipes, §6.2, function erfcc).
 */
export function twoSidedChance(z: number): number {
	return erfc(Math.abs(z) / Math.SQRT2);
}

/** Chance that a normal figure stays below `z` standard errors. */
export function normalBelow(z: number): number {
	return z >= 0 ? 1 - erfc(z / Math.SQRT2) / 2 : erfc(-z / Math.SQRT2) / 2;
}

/**
 * Which of several figures are more than chance, so that the chance of a single wrong answer among all of them stays at
 * `level` or below.
 *
 *   sorted p₁ ≤ p₂ ≤ …: the k-th stands when every p_i ≤ level ÷ (m − i + 1) up to k
 *
 * Source: S. Holm, A simple sequentially rejective multiple test procedure, Scand. J. Statist. 6 (1979) 65–70.
 */
export function holm(chances: readonly number[], level: number): boolean[] {
	const stands = chances.map(() => false);
	const order = chances.map((chance, index) => ({ chance, index })).sort((a, b) => a.chance - b.chance);
	for (const [rank, { chance, index }] of order.entries()) {
		if (chance > level / (chances.length - rank)) break;
		stands[index] = true;
	}
	return stands;
}

function erfc(x: number): number {
	const t = 1 / (1 + 0.5 * x);
	let sum = 0.17087277;
	for (const term of ERFC_TERMS) sum = term + t * sum;
	return t * Math.exp(-x * x + sum);
}

/** Coefficients of erfcc, highest power but one first. */
const ERFC_TERMS = [
	-0.82215223, 1.48851587, -1.13520398, 0.27886807, -0.18628806, 0.09678418, 0.37409196, 1.00002368, -1.26551223,
];

/**
 * The mean of figures of unequal worth, little moved by a few that are far off.
 *
 *   mean = Σ w·x ÷ Σ w with w = 1 ÷ σ², cut down by 1.5 ÷ |x − mean| × σ beyond 1.5 σ
 *
 * Gives the mean with its standard error; null for no figures. Source: P. J. Huber, Robust estimation of a location
 * parameter, Ann. Math. Statist. 35 (1964) 73–101.
 */
export function robustMean(figures: readonly { readonly value: number; readonly sigma: number }[]): {
	mean: number;
	sigma: number;
} | null {
	if (figures.length === 0) return null;
	let mean = middleOf(figures.map(({ value }) => value));
	let weightSum = 0;
	for (let round = 0; round < 50; round++) {
		const weights = figures.map(({ value, sigma }) => {
			const off = Math.abs(value - mean) / sigma;
			return Math.min(1, 1.5 / Math.max(off, 1e-12)) / sigma ** 2;
		});
		weightSum = weights.reduce((sum, weight) => sum + weight, 0);
		mean = figures.reduce((sum, { value }, index) => sum + value * (weights[index] ?? 0), 0) / weightSum;
	}
	return { mean, sigma: 1 / Math.sqrt(weightSum) };
}

function middleOf(values: readonly number[]): number {
	const sorted = [...values].sort((a, b) => a - b);
	const half = (sorted.length - 1) / 2;
	return ((sorted[Math.floor(half)] ?? 0) + (sorted[Math.ceil(half)] ?? 0)) / 2;
}
