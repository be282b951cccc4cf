import { Clipper, FillRule } from 'clipper2-ts';
import type { SquareMetres } from '../../units/quantity.ts';
import type { Part, Ring } from './boundary.ts';
import { type Edge, edgeMeetings, type Meeting } from './edge-meetings.ts';
import { layOut } from './laid-boundary.ts';
import type { LocalPlane } from './local-plane.ts';
import { regionArea, regionOf, shared, toGeometry, toPath } from './plane-region.ts';
import { DEFAULT_EDGE_BIAS_M } from './polygon-area.ts';

/** A ring that crosses itself more often is a scribble. Common practice. */
const MOST_CROSSINGS = 20;
/** Below this two areas are one: rounding on the grid. */
const SAME_M2 = 0.1;
/** Shared by this much of the smaller, one part lies inside the other. */
const INSIDE = 0.99;
/** More are not compared pair by pair. */
const MOST_PARTS = 50;

export type Untangled = {
	readonly parts: readonly Part[];
	readonly did: readonly string[];
	readonly left: readonly string[];
	/** Whether none of the rings meets itself or another. */
	readonly plain: boolean;
};

/**
 * Takes rings that cross themselves apart into their loops, and joins parts that overlap, where only one ground can have
 * been meant; else leaves all as it is and says why.
 *
 * Safe is a ring whose loops enclose the same ground by both ways of reading an outline, even-odd and non-zero: then no
 * ground lies inside twice. Not safe is a loop with two corners only, as two corners taken in the wrong order look the same,
 * unless both readings give areas within the standing edge error (0.3 m along the ring). Nor are holes that cross an outer
 * boundary, nor a part that lies inside another: it may be a hole.
 */
export function untangle(parts: readonly Part[], plane: LocalPlane): Untangled {
	const laid = layOut(parts, true);
	const meetings = edgeMeetings(laid.rings, 100 * MOST_CROSSINGS);
	const crossings = meetings.filter(({ kind }) => kind === 'cross');
	const plain = meetings.length === 0;
	const unsafe = (why: string): Untangled => ({ parts, did: [], left: [why], plain });
	if (crossings.length > MOST_CROSSINGS) return unsafe('it crosses itself too often to tell what was meant');
	const partOf = (edge: Edge) => laid.rings[edge.ring]?.part;
	const mixed = crossings.filter(({ one, other }) => one.ring !== other.ring);
	if (mixed.some(({ one, other }) => partOf(one) === partOf(other))) {
		return unsafe('a hole crosses the outer boundary or another hole, and which of them is right is not known');
	}
	const own = crossings.filter(({ one, other }) => one.ring === other.ring);
	for (const [index, { part, ring }] of laid.rings.entries()) {
		const here = own.filter(({ one }) => one.ring === index);
		const why = here.length > 0 || meetings.some(({ one, other }) => one.ring === index && other.ring === index);
		const doubt = why ? doubtOf(parts[part]?.[ring] ?? [], here, plane) : null;
		if (doubt) return unsafe(doubt);
	}
	const overlapM2 = parts.length === 1 ? 0 : coveredTwice(parts, plane);
	if (overlapM2 >= SAME_M2 && parts.length > MOST_PARTS) return unsafe('too many of its parts overlap');
	if (overlapM2 >= SAME_M2 && isPartInside(parts, plane)) {
		return unsafe('one part lies inside another, and whether it is a hole is not known');
	}
	if (own.length === 0 && overlapM2 < SAME_M2) return { parts, did: [], left: [], plain };
	const geometry = toGeometry(regionOf(parts, plane), plane);
	if (!geometry) return unsafe('nothing would be left of it');
	const apart = geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates;
	return {
		parts: apart.map((rings) => rings.map((ring) => ring.slice(0, -1))),
		did: [
			...(own.length > 0 ? [own.length === 1 ? 'a crossing untangled' : `${own.length} crossings untangled`] : []),
			...(overlapM2 >= SAME_M2 ? ['parts that overlap joined'] : []),
		],
		left: [],
		plain: true,
	};
}

/** Ground that lies in more than one part. */
function coveredTwice(parts: readonly Part[], plane: LocalPlane): SquareMetres {
	const sumM2 = parts.reduce((sum, part) => sum + regionArea(regionOf([part], plane)), 0);
	return sumM2 - regionArea(regionOf(parts, plane));
}

/** Why it is not known what a ring that crosses itself encloses; null where it is. */
function doubtOf(ring: Ring, crossings: readonly Meeting[], plane: LocalPlane): string | null {
	const points = ring.map(plane.toPlane);
	const coveredM2 = areaOf(points, FillRule.NonZero);
	const twiceM2 = coveredM2 - areaOf(points, FillRule.EvenOdd);
	if (twiceM2 > SAME_M2) {
		return `its outline goes round ${Math.round(twiceM2)} m² twice, and whether they belong to the field is not known`;
	}
	const perimeterM = points.reduce((sum, point, index) => {
		const next = points[(index + 1) % points.length] ?? point;
		return sum + Math.hypot(next.x - point.x, next.y - point.y);
	}, 0);
	for (const { one, other } of crossings) {
		const [first, last] = [one.index + 1, other.index];
		const between = last - first + 1;
		if (between !== 2 && points.length - between !== 2) continue;
		const reordered = [
			...points.slice(0, first),
			...points.slice(first, last + 1).reverse(),
			...points.slice(last + 1),
		];
		const reorderedM2 = areaOf(reordered, FillRule.NonZero);
		if (Math.abs(reorderedM2 - coveredM2) <= DEFAULT_EDGE_BIAS_M * perimeterM) continue;
		const [loops, order] = [coveredM2, reorderedM2].map((m2) => `${Math.round(m2)} m²`);
		return `two corners may stand in the wrong order: with its loops as drawn it has ${loops}, with them exchanged ${order}`;
	}
	return null;
}

function areaOf(points: readonly { x: number; y: number }[], rule: FillRule): SquareMetres {
	return regionArea(Clipper.union([toPath(points)], rule));
}

/** Whether the ground of a part lies within another's. */
function isPartInside(parts: readonly Part[], plane: LocalPlane): boolean {
	const grounds = parts.map((part) => regionOf([part], plane));
	return grounds.some((one, index) =>
		grounds.slice(index + 1).some((other) => {
			const smaller = Math.min(regionArea(one), regionArea(other));
			return smaller > 0 && regionArea(shared(one, other)) >= INSIDE * smaller;
		}),
	);
}
