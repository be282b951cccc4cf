import { invariant } from '../../basics/result.ts';

/** Lower triangle of a covariance matrix, row by row. */
export type Triangle = readonly Float64Array[];

/**
 * The triangle L with L × Lᵀ = covariance (Cholesky). Figures divided by it have standard error 1 and share nothing, so
 * that least squares on them is plain.
 *
 * Takes a square covariance matrix. One that is not positive definite is a bug and throws.
 */
export function triangleOf(covariance: readonly Float64Array[]): Triangle {
	const triangle: Float64Array[] = [];
	for (const [i, line] of covariance.entries()) {
		const row = new Float64Array(i + 1);
		for (let j = 0; j <= i; j++) {
			const other = j === i ? row : triangle[j];
			let rest = at(line, j);
			for (let k = 0; k < j; k++) rest -= at(row, k) * at(other, k);
			if (j < i) row[j] = rest / at(other, j);
			else {
				invariant(rest > 0, 'The errors of the season figures must all be above zero.');
				row[j] = Math.sqrt(rest);
			}
		}
		triangle.push(row);
	}
	return triangle;
}

/** L⁻¹ × figures. */
export function whitened(triangle: Triangle, figures: Float64Array): Float64Array {
	const white = new Float64Array(figures.length);
	const first = figures.findIndex((figure) => figure !== 0);
	if (first < 0) return white;
	for (let i = first; i < triangle.length; i++) {
		const row = triangle[i];
		let rest = at(figures, i);
		for (let k = first; k < i; k++) rest -= at(row, k) * at(white, k);
		white[i] = rest / at(row, i);
	}
	return white;
}

/** Σ a·b. */
export function dot(a: Float64Array, b: Float64Array): number {
	let sum = 0;
	for (let index = 0; index < a.length; index++) sum += at(a, index) * at(b, index);
	return sum;
}

function at(row: Float64Array | undefined, index: number): number {
	return row?.[index] ?? 0;
}
