import type { Metres, SquareMetres } from '../../units/quantity.ts';
import { shoelace } from './laid-boundary.ts';
import type { PlanePoint } from './local-plane.ts';

/** Ground on a plane as the trapezoids below its edges, ready to be held against other ground of the same plane. */
export type LaidGround = {
	readonly trapezoids: Trapezoids;
	readonly west: Metres;
	readonly east: Metres;
	readonly south: Metres;
	readonly north: Metres;
};

/**
 * Edges from west to east, five numbers each: west, east, the heights there, and whether the ground lies below (1) or above
 * (-1). Packed, because a file of 10,000 fields has half a million of them.
 */
type Trapezoids = Float64Array;
const NUMBERS = 5;

/** A ring on the plane and whether the ground lies inside it or, for a hole, outside. */
export type PlaneOutline = { readonly points: readonly PlanePoint[]; readonly isHole: boolean };

/** Rings that cross neither themselves nor each other, holes inside their outlines, drawn either way. */
export function layGround(outlines: readonly PlaneOutline[]): LaidGround {
	const trapezoids = new Float64Array(NUMBERS * outlines.reduce((sum, { points }) => sum + points.length, 0));
	let end = 0;
	let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
	for (const { points, isHole } of outlines) {
		const below = shoelace(points) > 0 === isHole ? 1 : -1;
		let from = points[points.length - 1];
		for (const to of points) {
			west = Math.min(west, to.x);
			east = Math.max(east, to.x);
			south = Math.min(south, to.y);
			north = Math.max(north, to.y);
			if (from && from.x !== to.x) {
				const [left, right] = from.x < to.x ? [from, to] : [to, from];
				trapezoids[end++] = left.x;
				trapezoids[end++] = right.x;
				trapezoids[end++] = left.y;
				trapezoids[end++] = right.y;
				trapezoids[end++] = left === from ? below : -below;
			}
			from = to;
		}
	}
	return { trapezoids: trapezoids.subarray(0, end), west, east, south, north };
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
	for (let a = 0; a < here.length; a += NUMBERS) {
		const [from = 0, to = 0] = [here[a], here[a + 1]];
		for (let b = 0; b < there.length; b += NUMBERS) {
			if ((there[b] ?? 0) < to && (there[b + 1] ?? 0) > from) sum += belowBoth(here, a, there, b, floor);
		}
	}
	return Math.max(0, sum);
}

/** What of the trapezoids rises over the floor between west and east. */
function overFloor(trapezoids: Trapezoids, west: Metres, east: Metres, floor: Metres): number[] {
	const found: number[] = [];
	for (let at = 0; at < trapezoids.length; at += NUMBERS) {
		let from = trapezoids[at] ?? 0;
		let to = trapezoids[at + 1] ?? 0;
		if (from >= east || to <= west) continue;
		let start = trapezoids[at + 2] ?? 0;
		let end = trapezoids[at + 3] ?? 0;
		if (start <= floor && end <= floor) continue;
		if (start < floor) {
			from += ((floor - start) / (end - start)) * (to - from);
			start = floor;
		} else if (end < floor) {
			to = from + ((floor - start) / (end - start)) * (to - from);
			end = floor;
		}
		found.push(from, to, start, end, trapezoids[at + 4] ?? 0);
	}
	return found;
}

/** Area over the floor and below both edges, which lie above each other somewhere, with the product of their signs. */
function belowBoth(
	one: readonly number[],
	a: number,
	other: readonly number[],
	b: number,
	floor: Metres,
): SquareMetres {
	const westA = one[a] ?? 0;
	const eastA = one[a + 1] ?? 0;
	const westB = other[b] ?? 0;
	const eastB = other[b + 1] ?? 0;
	const west = Math.max(westA, westB);
	const width = Math.min(eastA, eastB) - west;
	const [fromA, toA] = [one[a + 2] ?? 0, one[a + 3] ?? 0];
	const [fromB, toB] = [other[b + 2] ?? 0, other[b + 3] ?? 0];
	const slopeA = (toA - fromA) / (eastA - westA);
	const slopeB = (toB - fromB) / (eastB - westB);
	const startA = fromA + slopeA * (west - westA);
	const startB = fromB + slopeB * (west - westB);
	const endA = startA + slopeA * width;
	const endB = startB + slopeB * width;
	const lowStart = Math.min(startA, startB);
	const lowEnd = Math.min(endA, endB);
	let height = (lowStart + lowEnd) / 2 - floor;
	if ((startA - startB) * (endA - endB) < 0) {
		// The edges cross: the lower ones meet above the straight line between their ends.
		const share = (startA - startB) / (startA - startB - endA + endB);
		const meet = startA + share * (endA - startA);
		height += (meet - lowStart - share * (lowEnd - lowStart)) / 2;
	}
	return (one[a + 4] ?? 0) * (other[b + 4] ?? 0) * height * width;
}
