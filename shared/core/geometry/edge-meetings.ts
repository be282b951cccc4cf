import type { Metres } from '../../units/quantity.ts';
import type { PlanePoint } from './local-plane.ts';

/** One edge of a boundary on a local plane; `ring` numbers the rings of the whole boundary, `index` the edges of the ring. */
export type Edge = {
	readonly from: PlanePoint;
	readonly to: PlanePoint;
	readonly ring: number;
	readonly index: number;
	/** Edges in this edge's ring. */
	readonly ringSize: number;
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
 * Where a boundary's edges cross or touch each other, neighbours along a ring left aside.
 *
 * Sweeps along the axis over which the edges are shorter, so that each is compared only with those beside it; stops after
 * `most` meetings.
 */
export function edgeMeetings(edges: readonly Edge[], most: number): Meeting[] {
	const { start, end, low, high } = reaches(edges, extent(edges, 'x') <= extent(edges, 'y') ? 'x' : 'y');
	const sweep = edges.map((_, index) => index).sort((one, other) => (start[one] ?? 0) - (start[other] ?? 0));
	const meetings: Meeting[] = [];
	const open: number[] = [];
	for (const next of sweep) {
		const [from = 0, bottom = 0, top = 0, edge] = [start[next], low[next], high[next], edges[next]];
		let kept = 0;
		for (const candidate of open) {
			if ((end[candidate] ?? 0) < from) continue;
			open[kept++] = candidate;
			if ((low[candidate] ?? 0) > top || (high[candidate] ?? 0) < bottom) continue;
			const meeting = meetingBetween(edges[candidate], edge);
			if (meeting) meetings.push(meeting);
			if (meetings.length >= most) return meetings;
		}
		open.length = kept;
		open.push(next);
	}
	return meetings;
}

function meetingBetween(first: Edge | undefined, second: Edge | undefined): Meeting | null {
	if (!first || !second || areNeighbours(first, second)) return null;
	const [one, other] = inOrder(first, second);
	return meetingOf(one, other);
}

function extent(edges: readonly Edge[], axis: 'x' | 'y'): number {
	let [total, least, most] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	for (const { from, to } of edges) {
		total += Math.abs(to[axis] - from[axis]);
		least = Math.min(least, from[axis]);
		most = Math.max(most, from[axis]);
	}
	return most > least ? total / (most - least) : Number.POSITIVE_INFINITY;
}

/** Every edge's reach along the sweep and across it, a touch wider. */
function reaches(edges: readonly Edge[], axis: 'x' | 'y') {
	const across = axis === 'x' ? 'y' : 'x';
	return {
		start: edges.map(({ from, to }) => Math.min(from[axis], to[axis]) - TOUCH_M),
		end: edges.map(({ from, to }) => Math.max(from[axis], to[axis]) + TOUCH_M),
		low: edges.map(({ from, to }) => Math.min(from[across], to[across]) - TOUCH_M),
		high: edges.map(({ from, to }) => Math.max(from[across], to[across]) + TOUCH_M),
	};
}

/** As they stand in the boundary. */
function inOrder(one: Edge, other: Edge): readonly [Edge, Edge] {
	const ahead = one.ring < other.ring || (one.ring === other.ring && one.index < other.index);
	return ahead ? [one, other] : [other, one];
}

function areNeighbours(one: Edge, other: Edge): boolean {
	if (one.ring !== other.ring) return false;
	const apart = Math.abs(one.index - other.index);
	return apart <= 1 || apart === one.ringSize - 1;
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
