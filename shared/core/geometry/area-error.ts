import type { Metres, SquareMetres } from '../../units/quantity.ts';
import { RADIANS_PER_DEGREE, radiiAt } from './ellipsoid.ts';
import type { UnrolledRing } from './unrolled-ring.ts';

/** A ring in metres on a plane at its own latitude, enough for an error figure. */
type PlaneRing = readonly { readonly x: Metres; readonly y: Metres }[];

/** Fewest points a boundary is resampled to: below three there is no polygon. */
const FEWEST_POINTS = 3;
/** A boundary of 5,000 km at 50 m; beyond it the step grows, which makes the figure larger, never smaller. */
const MOST_POINTS = 100_000;

/**
 * Variance of a ring's area from random position errors, in m⁴.
 *
 *   σ = ½ σ_p √Σ|p_{i+1} − p_{i−1}|²
 *
 * σ_p is the standard error of a position per coordinate. The formula wants independent points, so the boundary is first
 * resampled to points one correlation length apart (an equal step nearest to it), starting at its southernmost point so
 * that the order of the vertices changes nothing.
 * Source: Chrisman & Yandell, Effects of point error on area calculations: a statistical model, Surveying and Mapping 48
 * (1988) 241–246.
 */
export function randomAreaVariance(
	ring: UnrolledRing,
	{ positionSigmaM, correlationM }: { readonly positionSigmaM: Metres; readonly correlationM: Metres },
): number {
	const points = resample(onPlane(ring), correlationM);
	let sumOfSquares = 0;
	for (let index = 0; index < points.length; index++) {
		const before = points[(index + points.length - 1) % points.length];
		const after = points[(index + 1) % points.length];
		if (before && after) sumOfSquares += (after.x - before.x) ** 2 + (after.y - before.y) ** 2;
	}
	return 0.25 * positionSigmaM * positionSigmaM * sumOfSquares;
}

/**
 * Standard error of a measured area.
 *
 *   σ_A² = Σ over rings of the random variance + (edge bias × perimeter)²
 *
 * The edge bias is how far the whole boundary may lie in or out of the cropped edge.
 */
export function areaSigma(
	rings: readonly UnrolledRing[],
	error: {
		readonly positionSigmaM: Metres;
		readonly edgeBiasM: Metres;
		readonly correlationM: Metres;
		readonly perimeterM: Metres;
	},
): SquareMetres {
	const bias = error.edgeBiasM * error.perimeterM;
	let variance = bias * bias;
	for (const ring of rings) variance += randomAreaVariance(ring, error);
	return Math.sqrt(variance);
}

function onPlane({ lats, easts }: UnrolledRing): PlaneRing {
	const start = southernmost(lats, easts);
	const middle = lats.reduce((sum, lat) => sum + lat, 0) / lats.length;
	const { northM, eastM } = radiiAt(Math.sin(middle * RADIANS_PER_DEGREE));
	const metresNorth = northM * RADIANS_PER_DEGREE;
	const metresEast = eastM * Math.cos(middle * RADIANS_PER_DEGREE) * RADIANS_PER_DEGREE;
	return lats.map((_, step) => {
		const index = (start + step) % lats.length;
		return {
			x: ((easts[index] ?? 0) - (easts[start] ?? 0)) * metresEast,
			y: ((lats[index] ?? 0) - (lats[start] ?? 0)) * metresNorth,
		};
	});
}

/** The southernmost point, the westernmost of several. */
function southernmost(lats: readonly number[], easts: readonly number[]): number {
	let best = 0;
	for (let index = 1; index < lats.length; index++) {
		const lat = lats[index] ?? 0;
		const bestLat = lats[best] ?? 0;
		if (lat < bestLat || (lat === bestLat && (easts[index] ?? 0) < (easts[best] ?? 0))) best = index;
	}
	return best;
}

/** Points at equal steps along the closed ring, the step as near to `stepM` as fits a whole number of times. */
function resample(ring: PlaneRing, stepM: Metres): PlaneRing {
	const lengths = ring.map((from, index) => {
		const to = ring[(index + 1) % ring.length] ?? from;
		return Math.sqrt((to.x - from.x) ** 2 + (to.y - from.y) ** 2);
	});
	const perimeter = lengths.reduce((sum, length) => sum + length, 0);
	const count = Math.min(MOST_POINTS, Math.max(FEWEST_POINTS, Math.round(perimeter / stepM)));
	const points: { x: Metres; y: Metres }[] = [];
	let edge = 0;
	let passed = 0;
	for (let step = 0; step < count; step++) {
		const target = (perimeter * step) / count;
		while (edge < ring.length - 1 && passed + (lengths[edge] ?? 0) < target) passed += lengths[edge++] ?? 0;
		const from = ring[edge] ?? { x: 0, y: 0 };
		const to = ring[(edge + 1) % ring.length] ?? from;
		const share = (lengths[edge] ?? 0) > 0 ? (target - passed) / (lengths[edge] ?? 1) : 0;
		points.push({ x: from.x + (to.x - from.x) * share, y: from.y + (to.y - from.y) * share });
	}
	return points;
}
