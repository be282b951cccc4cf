/**
 * Chance of at least `seen` among `tries` when each has this share.
 *
 *   P(X ≥ k) = 1 − Σ (n choose i) · pⁱ · (1 − p)ⁿ⁻ⁱ, i < k
 *
 * Exact binomial tail: Clopper & Pearson, Biometrika 26 (1934) 404–413.
 */
export function chanceOfSoMany(seen: number, tries: number, share: number): number {
	let below = 0;
	let logTerm = tries * Math.log(1 - share);
	for (let count = 0; count < seen; count++) {
		below += Math.exp(logTerm);
		logTerm += Math.log((tries - count) / (count + 1)) + Math.log(share / (1 - share));
	}
	return 1 - below;
}
