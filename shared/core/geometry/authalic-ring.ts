import { ok, type Result } from '../../basics/result.ts';
import type { Metres } from '../../units/quantity.ts';
import { invalid } from './boundary.ts';
import { AUTHALIC_RADIUS_M, RADIANS_PER_DEGREE, radiiAt, sinAuthalic } from './ellipsoid.ts';
import { geodesicBetween, pointAlong } from './geodesic.ts';
import type { UnrolledRing } from './unrolled-ring.ts';

/** A ring whose area on the sphere of equal surface is its area on the ellipsoid, and how long it is there. */
export type AuthalicRing = { readonly positions: number[][]; readonly lengthM: Metres };

/** Up to here the length of an edge by its middle latitude is good to 1e-8 below 70° (the next term is (L tan φ ÷ N)² ÷ 24). */
const SHORT_EDGE_M = 1_000;
/** Up to here one lifted point stands for the geodesic; longer edges are split along it. */
const LONGEST_PIECE_M = 20_000;
/** A quarter of the way round the Earth. */
const LONGEST_EDGE_M = 10_000_000;

/**
 * Lays a ring out in longitude and authalic latitude, for a sum that joins its points by straight lines in longitude and
 * sine of latitude.
 *
 * The true edge is a geodesic and bends away from that straight line. Between each two points one more is set, lifted so
 * that the two straight pieces enclose what the geodesic does:
 *
 *   sin β (lifted) = mean of the ends + sin φ × (east² + 3 × north²) ÷ (6 × R²)
 *
 * east and north in metres along the edge, φ its middle latitude, R the authalic radius. It follows from the geodesic
 * equation in the equal-area plane, kept to the third order of length; edges beyond 20 km are split first.
 */
export function authalicRing({ lats, easts }: UnrolledRing, name: string): Result<AuthalicRing> {
	const positions: number[][] = [];
	const points = lats.map((lat, index) => pointAt(lat, easts[index] ?? 0));
	let lengthM = 0;
	for (let index = 0; index < lats.length; index++) {
		const next = (index + 1) % lats.length;
		const from = points[index] ?? pointAt(0, 0);
		const to = points[next] ?? pointAt(0, 0);
		const edge = spanOf(from, to);
		if (edge.lengthM <= SHORT_EDGE_M) {
			lengthM += edge.lengthM;
			pushPiece(positions, from, to, edge);
			continue;
		}
		const geodesic = geodesicBetween(from.lat, to.lat, to.east - from.east);
		if (!geodesic || geodesic.lengthM > LONGEST_EDGE_M) {
			return invalid(`${name}, edge from point ${index + 1}: it spans more than a quarter of the Earth`);
		}
		lengthM += geodesic.lengthM;
		const pieces = piecesFor(geodesic.lengthM, edge.middleLat);
		let before: Point = from;
		for (let piece = 1; piece <= pieces; piece++) {
			const along = piece < pieces ? pointAlong(from.lat, geodesic.azimuth, (geodesic.lengthM * piece) / pieces) : null;
			const after = along ? pointAt(along.lat, from.east + along.east) : to;
			pushPiece(positions, before, after, spanOf(before, after));
			before = after;
		}
	}
	const first = positions[0];
	if (first) positions.push([...first]);
	return ok({ positions, lengthM });
}

type Point = { readonly lat: number; readonly east: number; readonly sinAuthalic: number };

function pointAt(lat: number, east: number): Point {
	return { lat, east, sinAuthalic: sinAuthalic(Math.sin(lat * RADIANS_PER_DEGREE)) };
}

/** An edge by the middle-latitude rule: metres east, metres north. */
type Span = {
	readonly eastM: Metres;
	readonly northM: Metres;
	readonly lengthM: Metres;
	readonly middleLat: number;
	readonly sinMiddle: number;
};

function spanOf(from: Point, to: Point): Span {
	const middleLat = (from.lat + to.lat) / 2;
	const middle = middleLat * RADIANS_PER_DEGREE;
	const sinMiddle = Math.sin(middle);
	const radii = radiiAt(sinMiddle);
	const eastM = radii.eastM * Math.cos(middle) * (to.east - from.east) * RADIANS_PER_DEGREE;
	const northM = radii.northM * (to.lat - from.lat) * RADIANS_PER_DEGREE;
	return { eastM, northM, lengthM: Math.sqrt(eastM * eastM + northM * northM), middleLat, sinMiddle };
}

/** More pieces near a pole, where a geodesic bends more. */
function piecesFor(lengthM: Metres, middleLat: number): number {
	const bend = 1 + Math.abs(Math.tan(middleLat * RADIANS_PER_DEGREE));
	return Math.min(1_000, Math.ceil((lengthM * bend) / (2 * LONGEST_PIECE_M)));
}

/** Adds the start of a piece and its lifted middle. */
function pushPiece(positions: number[][], from: Point, to: Point, span: Span): void {
	const lift =
		(span.sinMiddle * (span.eastM ** 2 + 3 * span.northM ** 2)) / (6 * AUTHALIC_RADIUS_M * AUTHALIC_RADIUS_M);
	positions.push(
		[from.east, degreesOf(from.sinAuthalic)],
		[(from.east + to.east) / 2, degreesOf((from.sinAuthalic + to.sinAuthalic) / 2 + lift)],
	);
}

function degreesOf(sine: number): number {
	return Math.asin(Math.max(-1, Math.min(1, sine))) / RADIANS_PER_DEGREE;
}
