import { ClipperOffset, EndType, JoinType } from 'clipper2-ts';
import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Metres, SquareMetres } from '../../units/quantity.ts';
import {
	type BoundaryGeometry,
	invalid,
	type Part,
	readBoundary,
	ringName,
	type UncheckedGeometry,
} from './boundary.ts';
import { type LocalPlane, planeOf } from './local-plane.ts';
import {
	GRID_M,
	joined,
	type PlaneRegion,
	regionArea,
	regionOf,
	shared,
	subtract,
	toGeometry,
	toPath,
} from './plane-region.ts';

/** Edges of one ring, each named by the point it starts at, from zero; the ring's last point starts the closing edge. */
export type StripEdges = { readonly part?: number; readonly ring?: number; readonly edges: readonly number[] };

export type StripInput = {
	readonly boundary: UncheckedGeometry;
	readonly label: string;
	readonly along: readonly StripEdges[];
	readonly widthM: Metres;
	/** Ground that is not sprayed anyway, and strips measured before this one: no ground is left out twice. */
	readonly without?: readonly UncheckedGeometry[];
};

/** Ground left out of spraying. The geometry is null where nothing is: the ground was left out already. */
export type LeftOut = { readonly geometry: BoundaryGeometry | null; readonly areaM2: SquareMetres };

/** How far the round ends may stray from a circle: a millimetre. */
const ARC_TOLERANCE_M = 1e-3;

/**
 * The no-spray strip along chosen edges of a field.
 *
 *   strip = ground inside the field and within the width of one of the edges − ground left out already
 *
 * "Within" is the distance to the edge, so the strip goes round the ends of the edges: what a distance to water means. At an
 * inner corner it is measured to the nearer edge.
 * Refuses `geometry.invalid`, `area.notPositive` for the width, `strip.noEdges`, `strip.edgeUnknown`.
 * Checked against the buffers of another library in tests/reference.
 */
export function noSprayStrip({ boundary, label, along, widthM, without = [] }: StripInput): Result<LeftOut> {
	if (!(widthM > 0) || !Number.isFinite(widthM)) return refuse('area.notPositive', { path: 'widthM' });
	const field = readBoundary(boundary);
	if (!field.ok) return field;
	const plane = planeOf(field.value);
	const edges = chosenEdges(field.value, boundary.type === 'MultiPolygon', along);
	if (!edges.ok) return edges;
	if (edges.value.length === 0) return refuse('strip.noEdges', { label });
	const leftOut = regionOfAll(without, plane);
	if (!leftOut.ok) return leftOut;
	const offset = new ClipperOffset(2, ARC_TOLERANCE_M / GRID_M);
	for (const edge of edges.value) offset.addPath(toPath(edge.map(plane.toPlane)), JoinType.Round, EndType.Round);
	const near: PlaneRegion = [];
	offset.execute(widthM / GRID_M, near);
	const strip = subtract(shared(regionOf(field.value, plane), near), leftOut.value);
	return ok({ geometry: toGeometry(strip, plane), areaM2: regionArea(strip) });
}

/**
 * Ground of a field that obstacles (ponds, pylons, copses) take up: inside the boundary, each square metre once.
 *
 *   taken up = ground of the obstacles inside the boundary − ground left out already
 *
 * Refuses `geometry.invalid`.
 */
export function obstacleGround(
	boundary: UncheckedGeometry,
	obstacles: readonly UncheckedGeometry[],
	without: readonly UncheckedGeometry[] = [],
): Result<LeftOut> {
	const field = readBoundary(boundary);
	if (!field.ok) return field;
	const plane = planeOf(field.value);
	const taken = regionOfAll(obstacles, plane);
	if (!taken.ok) return taken;
	const leftOut = regionOfAll(without, plane);
	if (!leftOut.ok) return leftOut;
	const inside = subtract(shared(regionOf(field.value, plane), taken.value), leftOut.value);
	return ok({ geometry: toGeometry(inside, plane), areaM2: regionArea(inside) });
}

function chosenEdges(
	parts: readonly Part[],
	several: boolean,
	along: readonly StripEdges[],
): Result<readonly (readonly [readonly number[], readonly number[]])[]> {
	const chosen: [readonly number[], readonly number[]][] = [];
	for (const { part = 0, ring = 0, edges } of along) {
		const positions = parts[part]?.[ring];
		if (!positions) return invalid(`it has no ${ringName({ several: true, part, ring })}`);
		for (const edge of edges) {
			const from = positions[edge];
			const to = positions[(edge + 1) % positions.length];
			if (!from || !to) {
				const name = ringName({ several, part, ring });
				return refuse('strip.edgeUnknown', { ring: name, edge, edges: positions.length });
			}
			chosen.push([from, to]);
		}
	}
	return ok(chosen);
}

function regionOfAll(geometries: readonly UncheckedGeometry[], plane: LocalPlane): Result<PlaneRegion> {
	const regions: PlaneRegion[] = [];
	for (const geometry of geometries) {
		const parts = readBoundary(geometry);
		if (!parts.ok) return parts;
		regions.push(regionOf(parts.value, plane));
	}
	return ok(joined(regions.flat()));
}
