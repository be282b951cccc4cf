/** One observation of a rate: `per` units took `took`, so its own rate is took ÷ per. */
export type RateObservation = { readonly took: number; readonly per: number };

/** A rate learned from observations: the estimate, its standard error, and how many observations it rests on. */
export type LearnedRate = { readonly estimate: number; readonly spread: number; readonly n: number };

/** Huber, *Robust Statistics* (1981): 95 % efficient on normal errors, and beyond it an observation pulls no harder. */
const HUBER_K = 1.345;
/** Median absolute deviation → standard deviation of a normal distribution. */
const MAD_TO_SIGMA = 1.4826;
/** The setting counts as three observations, and a scatter of 10 % is expected before any is seen. Assumptions. */
const SETTING_COUNTS_AS = 3;
const EXPECTED_SCATTER = 0.1;
const ITERATIONS = 60;

/**
 * A rate from observations, with a setting as the starting belief: robust regression through the origin.
 *
 *   minimise  3·ρ((setting − rate) ÷ s) + Σ ρ(√(per ÷ mean per) × (took ÷ per − rate) ÷ s),      ρ Huber's
 *
 * Larger fills weigh more. A few odd fills pull little; a wrong setting is outvoted once more than three fills agree.
 * The scatter s is the median absolute deviation about the median, pooled with the one expected beforehand.
 * Source: Huber 1981, M-estimate with a preliminary scale, by iteratively reweighted least squares.
 */
export function robustRate(observations: readonly RateObservation[], setting: number): LearnedRate {
	const usable = observations.filter(({ took, per }) => took > 0 && per > 0);
	const meanPer = usable.reduce((sum, { per }) => sum + per, 0) / Math.max(1, usable.length);
	const fills = usable.map(({ took, per }) => ({ rate: took / per, weight: per / meanPer }));
	const scatter = scatterOf(
		fills.map(({ rate }) => rate),
		setting,
	);
	const votes = [
		{ rate: setting, weight: 1, count: SETTING_COUNTS_AS },
		...fills.map((fill) => ({ ...fill, count: 1 })),
	];
	let estimate = setting;
	let information = SETTING_COUNTS_AS;
	for (let iteration = 0; iteration < ITERATIONS; iteration++) {
		const pulls = votes.map(({ rate, weight, count }) => {
			const distance = Math.abs(Math.sqrt(weight) * (rate - estimate)) / scatter;
			return { rate, pull: count * weight * Math.min(1, HUBER_K / distance) };
		});
		information = pulls.reduce((sum, { pull }) => sum + pull, 0);
		estimate = pulls.reduce((sum, { rate, pull }) => sum + rate * pull, 0) / information;
	}
	return { estimate, spread: scatter / Math.sqrt(information), n: usable.length };
}

function scatterOf(rates: readonly number[], setting: number): number {
	const middle = median(rates) ?? setting;
	const deviation = MAD_TO_SIGMA * (median(rates.map((rate) => Math.abs(rate - middle))) ?? 0);
	const expected = EXPECTED_SCATTER * setting;
	const pooled = SETTING_COUNTS_AS * expected ** 2 + rates.length * deviation ** 2;
	return Math.sqrt(pooled / (SETTING_COUNTS_AS + rates.length));
}

function median(values: readonly number[]): number | null {
	const sorted = values.toSorted((a, b) => a - b);
	const upper = sorted[Math.floor(sorted.length / 2)];
	const lower = sorted[Math.ceil(sorted.length / 2) - 1];
	return upper === undefined || lower === undefined ? null : (lower + upper) / 2;
}
