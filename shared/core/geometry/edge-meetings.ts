import type { Metres } from '../../units/quantity.ts';
import type { PlanePoint } from './local-plane.ts';

/** A ring on a local plane without repeated points; its edges run from each point to the next and back to the first. */
type EdgeRing = { readonly points: readonly { readonly point: PlanePoint }[] };

/** One edge of a boundary; `ring` numbers the rings of the whole boundary, `index` the edges of the ring. */
export type Edge = {
	readonly from: PlanePoint;
	readonly to: PlanePoint;
	readonly ring: number;
	readonly index: number;
};

/** Two edges that cross, or two of one ring that touch and are not neighbours. Rings may share edges: parts and holes do. */
export type Meeting = {
	readonly kind: 'cross' | 'touch';
	readonly one: Edge;
	readonly other: Edge;
	readonly at: PlanePoint;
};

/** Nearer than this is touching: a hundred times finer than any survey, coarser than rounding in a file. */
const TOUCH_M = 1e-3;
/**
 * Edges are packed, as a file of 10,000 fields has half a million: from and to along x, from and to along y (each a touch
 * wider), ring, index.
 */
type Reaches = Float64Array;
const [X, Y, RING, INDEX, NUMBERS] = [0, 2, 4, 5, 6];

/**
 * Where a boundary's edges cross or touch each other, neighbours along a ring left aside; a ring of fewer than three points
 * has none.
 *
 * Sweeps along the axis over which the edges are shorter, so that each is compared only with those beside it; stops after
 * `most` meetings.
 */
export function edgeMeetings(rings: readonly EdgeRing[], most: number): Meeting[] {
	const reaches = reachesOf(rings);
	const [along, across] = extent(reaches, X) <= extent(reaches, Y) ? [X, Y] : [Y, X];
	const meetings: Meeting[] = [];
	const open: number[] = [];
	for (const next of inOrder(reaches, along)) {
		const from = reaches[next + along] ?? 0;
		const low = reaches[next + across] ?? 0;
		const high = reaches[next + across + 1] ?? 0;
		let kept = 0;
		for (let place = 0; place < open.length; place++) {
			const candidate = open[place] ?? 0;
			if ((reaches[candidate + along + 1] ?? 0) < from) continue;
			open[kept++] = candidate;
			if ((reaches[candidate + across] ?? 0) > high || (reaches[candidate + across + 1] ?? 0) < low) continue;
			if (areNeighbours(rings, reaches, candidate, next)) continue;
			// As they stand in the boundary.
			const meeting = meetingOf(
				edgeAt(rings, reaches, Math.min(candidate, next)),
				edgeAt(rings, reaches, Math.max(candidate, next)),
			);
			if (meeting) meetings.push(meeting);
			if (meetings.length >= most) return meetings;
		}
		open.length = kept;
		open.push(next);
	}
	return meetings;
}

function reachesOf(rings: readonly EdgeRing[]): Reaches {
	const reaches = new Float64Array(NUMBERS * rings.reduce((sum, { points }) => sum + points.length, 0));
	let at = 0;
	for (let ring = 0; ring < rings.length; ring++) {
		const points = rings[ring]?.points ?? [];
		if (points.length < 3) continue;
		for (let index = 0; index < points.length; index++) {
			const { x, y } = pointAt(points, index);
			const to = pointAt(points, index + 1);
			reaches[at + X] = Math.min(x, to.x) - TOUCH_M;
			reaches[at + X + 1] = Math.max(x, to.x) + TOUCH_M;
			reaches[at + Y] = Math.min(y, to.y) - TOUCH_M;
			reaches[at + Y + 1] = Math.max(y, to.y) + TOUCH_M;
			reaches[at + RING] = ring;
			reaches[at + INDEX] = index;
			at += NUMBERS;
		}
	}
	return reaches.subarray(0, at);
}

function pointAt(points: EdgeRing['points'], index: number): PlanePoint {
	return points[index === points.length ? 0 : index]?.point ?? { x: 0, y: 0 };
}

function edgeAt(rings: readonly EdgeRing[], reaches: Reaches, at: number): Edge {
	const [ring = 0, index = 0] = [reaches[at + RING], reaches[at + INDEX]];
	const points = rings[ring]?.points ?? [];
	return { from: pointAt(points, index), to: pointAt(points, index + 1), ring, index };
}

function areNeighbours(rings: readonly EdgeRing[], reaches: Reaches, one: number, other: number): boolean {
	const ring = reaches[one + RING] ?? 0;
	if (ring !== reaches[other + RING]) return false;
	const apart = Math.abs(one - other) / NUMBERS;
	return apart <= 1 || apart === (rings[ring]?.points.length ?? 0) - 1;
}

/** What all edges reach over along an axis, against what they cover of it. */
function extent(reaches: Reaches, axis: number): number {
	let [total, least, most] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	for (let at = axis; at < reaches.length; at += NUMBERS) {
		const from = reaches[at] ?? 0;
		const to = reaches[at + 1] ?? 0;
		total += to - from;
		least = Math.min(least, from);
		most = Math.max(most, to);
	}
	return most > least ? total / (most - least) : Number.POSITIVE_INFINITY;
}

/**
 * Where the edges stand, by where their reach along an axis begins. Both are packed into one number each: numbers alone are
 * sorted several times faster than by a function.
 */
function inOrder(reaches: Reaches, axis: number): Uint32Array {
	const count = reaches.length / NUMBERS;
	let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	for (let at = axis; at < reaches.length; at += NUMBERS) {
		least = Math.min(least, reaches[at] ?? 0);
		most = Math.max(most, reaches[at] ?? 0);
	}
	const steps = most > least ? (Number.MAX_SAFE_INTEGER / count - 1) / (most - least) : 0;
	const packed = new Float64Array(count);
	for (let edge = 0; edge < count; edge++)
		packed[edge] = Math.floor(((reaches[NUMBERS * edge + axis] ?? 0) - least) * steps) * count + edge;
	packed.sort();
	const order = new Uint32Array(count);
	for (let place = 0; place < count; place++) order[place] = NUMBERS * ((packed[place] ?? 0) % count);
	return order;
}

function meetingOf(one: Edge, other: Edge): Meeting | null {
	const touch = touchPoint(one, other);
	if (touch) return one.ring === other.ring ? { kind: 'touch', one, other, at: touch } : null;
	const before = sideOf(one, other.from);
	const after = sideOf(one, other.to);
	if (before > 0 === after > 0 || sideOf(other, one.from) > 0 === sideOf(other, one.to) > 0) return null;
	const share = before / (before - after);
	const at = {
		x: other.from.x + share * (other.to.x - other.from.x),
		y: other.from.y + share * (other.to.y - other.from.y),
	};
	return { kind: 'cross', one, other, at };
}

/** An end of one edge that lies on the other, or null. */
function touchPoint(one: Edge, other: Edge): PlanePoint | null {
	if (distanceTo(one, other.from) < TOUCH_M) return other.from;
	if (distanceTo(one, other.to) < TOUCH_M) return other.to;
	if (distanceTo(other, one.from) < TOUCH_M) return one.from;
	if (distanceTo(other, one.to) < TOUCH_M) return one.to;
	return null;
}

/** Twice the area of the triangle edge–point: positive left of the edge. */
function sideOf({ from, to }: Edge, point: PlanePoint): number {
	return (to.x - from.x) * (point.y - from.y) - (to.y - from.y) * (point.x - from.x);
}

/** Distance from a point to an edge. */
export function distanceTo({ from, to }: Pick<Edge, 'from' | 'to'>, point: PlanePoint): Metres {
	const [dx, dy] = [to.x - from.x, to.y - from.y];
	const lengthSquared = dx * dx + dy * dy;
	const along = lengthSquared > 0 ? ((point.x - from.x) * dx + (point.y - from.y) * dy) / lengthSquared : 0;
	const nearest = Math.max(0, Math.min(1, along));
	return Math.hypot(point.x - from.x - nearest * dx, point.y - from.y - nearest * dy);
}
