import { Clipper, ClipType, FillRule, type Path64, type Paths64, type PolyPath64, PolyTree64 } from 'clipper2-ts';
import type { SquareMetres } from '../../units/quantity.ts';
import type { BoundaryGeometry, Part } from './boundary.ts';
import type { PlaneOutline } from './laid-ground.ts';
import type { LocalPlane, PlanePoint } from './local-plane.ts';

/** Ground on a local plane: outlines counter-clockwise, holes clockwise, none crossing, in steps of a tenth of a millimetre. */
export type PlaneRegion = Paths64;

/** A tenth of a millimetre; a field of 9 km still fits the clipping library's fast whole-number range. */
export const GRID_M = 1e-4;

/**
 * The ground a boundary covers: every loop of a ring counts, whichever way it was drawn, holes are taken away, and ground
 * covered twice counts once.
 */
export function regionOf(parts: readonly Part[], plane: LocalPlane): PlaneRegion {
	const covered = parts.map((rings) => {
		const [outer, ...holes] = rings.map((ring) => toPath(ring.map(plane.toPlane)));
		return subtract(joined([outer ?? []]), joined(holes));
	});
	const [only] = covered;
	return covered.length === 1 && only ? only : joined(covered.flat());
}

/** A path on the grid. */
export function toPath(points: readonly PlanePoint[]): Path64 {
	return points.map(({ x, y }) => ({ x: Math.round(x / GRID_M), y: Math.round(y / GRID_M), z: 0 }));
}

/** The region's outlines in metres. */
export function outlinesOf(region: PlaneRegion): PlaneOutline[] {
	return region.map((path) => ({
		points: path.map(({ x, y }) => ({ x: x * GRID_M, y: y * GRID_M })),
		isHole: Clipper.area(path) < 0,
	}));
}

/** All of the paths' ground, once. */
export function joined(paths: Paths64): PlaneRegion {
	return paths.length === 0 ? [] : Clipper.union(paths, FillRule.NonZero);
}

/** The ground two regions share. */
export function shared(one: PlaneRegion, other: PlaneRegion): PlaneRegion {
	return one.length === 0 || other.length === 0 ? [] : Clipper.intersect(one, other, FillRule.NonZero);
}

/** The first region's ground without the second's. */
export function subtract(from: PlaneRegion, what: PlaneRegion): PlaneRegion {
	return from.length === 0 || what.length === 0 ? from : Clipper.difference(from, what, FillRule.NonZero);
}

/** Plane area of a region; within 1 part in a million of the ground's for 5 km about the plane's origin. */
export function regionArea(region: PlaneRegion): SquareMetres {
	return Math.abs(Clipper.areaPaths(region)) * GRID_M * GRID_M;
}

/** A region as a boundary in degrees; null for no ground at all. */
export function toGeometry(region: PlaneRegion, plane: LocalPlane): BoundaryGeometry | null {
	if (region.length === 0) return null;
	const tree = new PolyTree64();
	Clipper.booleanOpWithPolyTree(ClipType.Union, region, null, tree, FillRule.NonZero);
	const parts: number[][][][] = [];
	collectParts(tree, plane, parts);
	const [only, ...more] = parts;
	if (!only) return null;
	return more.length === 0 ? { type: 'Polygon', coordinates: only } : { type: 'MultiPolygon', coordinates: parts };
}

/** Outlines stand at odd depths of the tree, their holes right below them. */
function collectParts(above: PolyTree64 | PolyPath64, plane: LocalPlane, parts: number[][][][]): void {
	for (let index = 0; index < above.count; index++) {
		const outline = above.child(index);
		const rings = [toRing(outline.poly, plane)];
		for (let hole = 0; hole < outline.count; hole++) {
			const inner = outline.child(hole);
			rings.push(toRing(inner.poly, plane));
			collectParts(inner, plane, parts);
		}
		parts.push(rings);
	}
}

function toRing(path: Path64 | null, plane: LocalPlane): number[][] {
	const ring: number[][] = (path ?? []).map(({ x, y }) => plane.toDegrees({ x: x * GRID_M, y: y * GRID_M }));
	const first = ring[0];
	return first ? [...ring, [...first]] : [];
}
