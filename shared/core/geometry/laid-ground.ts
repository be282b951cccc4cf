import type { Metres, SquareMetres } from '../../units/quantity.ts';
import type { PlanePoint } from './local-plane.ts';

/** Ground on a plane as the trapezoids below its edges, ready to be held against other ground of the same plane. */
export type LaidGround = {
	readonly trapezoids: readonly Trapezoid[];
	readonly west: Metres;
	readonly east: Metres;
	readonly south: Metres;
	readonly north: Metres;
};

/** An edge from west to east, `start` and `end` its heights there: the ground lies below it (1) or above it (-1). */
type Trapezoid = {
	readonly west: Metres;
	readonly east: Metres;
	readonly start: Metres;
	readonly end: Metres;
	readonly slope: number;
	readonly sign: 1 | -1;
};

/** A ring on the plane and whether the ground lies inside it or, for a hole, outside. */
export type PlaneOutline = { readonly points: readonly PlanePoint[]; readonly isHole: boolean };

/** Rings that cross neither themselves nor each other, holes inside their outlines, drawn either way. */
export function layGround(outlines: readonly PlaneOutline[]): LaidGround {
	const trapezoids: Trapezoid[] = [];
	let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
	for (const { points, isHole } of outlines) {
		const below = turnsLeft(points) === isHole ? 1 : -1;
		const above = below === 1 ? -1 : 1;
		let from = points[points.length - 1];
		for (const to of points) {
			if (from && from.x !== to.x) {
				const slope = (to.y - from.y) / (to.x - from.x);
				trapezoids.push(
					from.x < to.x
						? { west: from.x, east: to.x, start: from.y, end: to.y, slope, sign: below }
						: { west: to.x, east: from.x, start: to.y, end: from.y, slope, sign: above },
				);
			}
			west = Math.min(west, to.x);
			east = Math.max(east, to.x);
			south = Math.min(south, to.y);
			north = Math.max(north, to.y);
			from = to;
		}
	}
	return { trapezoids, west, east, south, north };
}

function turnsLeft(points: readonly PlanePoint[]): boolean {
	const origin = points[0] ?? { x: 0, y: 0 };
	let twice = 0;
	let before = origin;
	for (const point of points) {
		twice += (before.x - origin.x) * (point.y - origin.y) - (before.y - origin.y) * (point.x - origin.x);
		before = point;
	}
	return twice > 0;
}

/**
 * Area two pieces of ground share; nothing is drawn, so edges that lie on each other, the rule among neighbours, do no harm.
 *
 * Whether a point is inside is the sum of the signs of the edges above it. The product of both sums, integrated over the
 * plane, is the shared area: for each pair of edges the area below both, over the south side of the box both reach into.
 */
export function sharedArea(one: LaidGround, other: LaidGround): SquareMetres {
	const west = Math.max(one.west, other.west);
	const east = Math.min(one.east, other.east);
	const floor = Math.max(one.south, other.south);
	if (west >= east || floor >= Math.min(one.north, other.north)) return 0;
	const here = overFloor(one.trapezoids, west, east, floor);
	const there = overFloor(other.trapezoids, west, east, floor);
	let sum = 0;
	for (const a of here) {
		for (const b of there) {
			if (a.west < b.east && b.west < a.east) sum += a.sign * b.sign * belowBoth(a, b, floor);
		}
	}
	return Math.max(0, sum);
}

/** What of the trapezoids rises over the floor between west and east. */
function overFloor(trapezoids: readonly Trapezoid[], west: Metres, east: Metres, floor: Metres): Trapezoid[] {
	const found: Trapezoid[] = [];
	for (const each of trapezoids) {
		if (each.west >= east || each.east <= west) continue;
		if (each.start >= floor && each.end >= floor) found.push(each);
		else if (each.start > floor || each.end > floor) found.push(cutAt(each, floor));
	}
	return found;
}

function cutAt(trapezoid: Trapezoid, floor: Metres): Trapezoid {
	const at = trapezoid.west + (floor - trapezoid.start) / trapezoid.slope;
	return trapezoid.slope > 0 ? { ...trapezoid, west: at, start: floor } : { ...trapezoid, east: at, end: floor };
}

/** Area over the floor and below both edges. */
function belowBoth(a: Trapezoid, b: Trapezoid, floor: Metres): SquareMetres {
	const west = Math.max(a.west, b.west);
	const width = Math.min(a.east, b.east) - west;
	const startA = a.start + a.slope * (west - a.west);
	const startB = b.start + b.slope * (west - b.west);
	const endA = startA + a.slope * width;
	const endB = startB + b.slope * width;
	const lowStart = Math.min(startA, startB);
	const lowEnd = Math.min(endA, endB);
	const height = (lowStart + lowEnd) / 2 - floor;
	if ((startA - startB) * (endA - endB) >= 0) return height * width;
	// The edges cross: the lower ones meet above the straight line between their ends.
	const share = (startA - startB) / (startA - startB - endA + endB);
	const meet = startA + share * (endA - startA);
	return (height + (meet - lowStart - share * (lowEnd - lowStart)) / 2) * width;
}
