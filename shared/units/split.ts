/**
 * Splits a whole amount by weights so that the parts add up to it exactly (largest remainder first, then the earlier one).
 * Weights of zero get nothing unless all are zero; then the first part gets all.
 */
export function splitWithoutLoss(amount: number, weights: readonly number[]): number[] {
	const total = weights.reduce((sum, weight) => sum + weight, 0);
	if (total <= 0) return weights.map((_, index) => (index === 0 ? amount : 0));
	const exact = weights.map((weight) => (amount * weight) / total);
	const parts = exact.map(Math.floor);
	let left = amount - parts.reduce((sum, part) => sum + part, 0);
	const byRemainder = exact
		.map((value, index) => ({ index, remainder: value - Math.floor(value) }))
		.sort((a, b) => b.remainder - a.remainder || a.index - b.index);
	for (const { index } of byRemainder) {
		if (left <= 0) break;
		parts[index] = (parts[index] ?? 0) + 1;
		left -= 1;
	}
	return parts;
}
