import { expect, test } from 'vitest';
import { holm, normalBelow, robustMean, twoSidedChance } from '../../../../../shared/core/reconcile/statistics.ts';
import { dot, triangleOf, whitened } from '../../../../../shared/core/reconcile/whitening.ts';
import { seededRandom } from '../../../seeded-random.ts';

/** Quantiles of the normal distribution: Abramowitz & Stegun, Handbook of Mathematical Functions, table 26.5 and 26.6. */
test.each([
	[1.959964, 0.05],
	[2.575829, 0.01],
	[3.290527, 0.001],
	[4.417173, 0.00001],
	[0, 1],
])('beyond %d standard errors either way lies a chance of %d', (z, chance) => {
	expect(twoSidedChance(z) / chance).toBeCloseTo(1, 5);
	expect(twoSidedChance(-z)).toBe(twoSidedChance(z));
	expect(normalBelow(z)).toBeCloseTo(1 - chance / 2, 7);
	expect(normalBelow(-z)).toBeCloseTo(chance / 2, 7);
});

test('Holm: the smallest is held against level ÷ m, the next against level ÷ (m − 1), and the first that fails ends it', () => {
	expect([
		holm([0.01, 0.04, 0.03, 0.005], 0.05),
		holm([0.0126, 0.9, 0.9, 0.9], 0.05),
		holm([0.012, 0.0166, 0.03, 0.9], 0.05),
		holm([], 0.05),
	]).toEqual([[true, false, false, true], [false, false, false, false], [true, true, false, false], []]);
});

test('the robust mean weighs by worth and is little moved by one figure that is far off', () => {
	const sound = [1, 2, 3, 2].map((value) => ({ value, sigma: 1 }));
	const plain = robustMean([
		{ value: 1, sigma: 1 },
		{ value: 2, sigma: 0.5 },
	]);
	expect(plain?.mean).toBeCloseTo(1.8, 9);
	expect(plain?.sigma).toBeCloseTo(1 / Math.sqrt(5), 9);
	expect(robustMean([...sound, { value: 1000, sigma: 1 }])?.mean).toBeCloseTo(2 + 1.5 / 4, 6);
	expect(robustMean([])).toBeNull();
});

test('whitened figures have standard error 1 and share nothing', () => {
	const random = seededRandom(11);
	for (let run = 0; run < 20; run++) {
		const root = Array.from({ length: 6 }, () => Float64Array.from({ length: 6 }, () => random() - 0.5));
		const covariance = root.map((a, i) => Float64Array.from(root, (b, j) => dot(a, b) + (i === j ? 0.1 : 0)));
		const triangle = triangleOf(covariance);
		const again = triangle.map((a) =>
			triangle.map((b) => dot(a.length <= b.length ? a : b, a.length <= b.length ? b : a)),
		);
		for (const [i, row] of again.entries()) {
			for (const [j, value] of row.entries()) expect(value).toBeCloseTo(covariance[i]?.[j] ?? Number.NaN, 10);
		}
	}
	const white = whitened(triangleOf([Float64Array.of(4, 2), Float64Array.of(2, 5)]), Float64Array.of(2, 3));
	// (2, 3) × [[4, 2], [2, 5]]⁻¹ × (2, 3) = (5·4 − 2·2·6 + 4·9) ÷ 16 = 2.
	expect(dot(white, white)).toBeCloseTo(2, 12);
	expect(() => triangleOf([Float64Array.of(1, 2), Float64Array.of(2, 1)])).toThrow('above zero');
});
