import { ClipperOffset, EndType, JoinType } from 'clipper2-ts';
import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Metres, SquareMetres } from '../../units/quantity.ts';
import { type BoundaryGeometry, invalid, type Position, readBoundary, type UncheckedGeometry } from './boundary.ts';
import { planeOf } from './local-plane.ts';
import {
	GRID_M,
	joined,
	outlinesOf,
	type PlaneRegion,
	regionArea,
	regionOf,
	shared,
	subtract,
	toGeometry,
	toPath,
} from './plane-region.ts';

/** A cut takes this width of ground away: a millimetre, 0.3 m² along 300 m. */
const CUT_M: Metres = 1e-3;
/** No gap between fields is meant as narrow as this; a cut and the rounding of its points leave less. */
const HAIRLINE_M: Metres = 5e-3;
/** Corners sharper than some 11° lose their last few millimetres where a hairline is closed. */
const MITER_LIMIT = 10;
/** Slivers below this are no field of their own; they stay with none. Common practice. */
const LEAST_PART_M2: SquareMetres = 100;

/**
 * The parts a line cuts a field into, the largest first.
 *
 *   parts = ground of the field − ground within half a millimetre of the line
 *
 * Refuses `geometry.invalid`, and `fields.notCut` where the line leaves the field in one piece: it has to come in over the
 * boundary and go out over it.
 */
export function cutField(boundary: UncheckedGeometry, line: readonly Position[]): Result<BoundaryGeometry[]> {
	const field = readBoundary(boundary);
	if (!field.ok) return field;
	if (line.length < 2) return refuse('fields.notCut');
	for (const [lon, lat] of line)
		if (!Number.isFinite(lon) || !Number.isFinite(lat))
			return invalid('a point of the line is no longitude and latitude');
	const plane = planeOf(field.value);
	const offset = new ClipperOffset();
	offset.addPath(toPath(line.map(plane.toPlane)), JoinType.Miter, EndType.Square);
	const knife: PlaneRegion = [];
	offset.execute(CUT_M / 2 / GRID_M, knife);
	const whole = regionOf(field.value, plane);
	const left = toGeometry(subtract(whole, knife), plane);
	const parts = (left?.type === 'MultiPolygon' ? left.coordinates : left ? [left.coordinates] : [])
		.map((coordinates) => {
			const geometry: BoundaryGeometry = { type: 'Polygon', coordinates };
			const read = readBoundary(geometry);
			return { geometry, m2: read.ok ? regionArea(regionOf(read.value, plane)) : 0 };
		})
		.filter(({ m2 }) => m2 >= LEAST_PART_M2)
		.sort((one, other) => other.m2 - one.m2);
	return parts.length > field.value.length ? ok(parts.map(({ geometry }) => geometry)) : refuse('fields.notCut');
}

/**
 * The ground of several fields as one boundary. A hairline between them, as a cut leaves one, is closed: left open it would
 * make two parts of them and be counted as boundary twice. A wider gap stays, as two parts. Refuses `geometry.invalid`.
 */
export function joinFields(boundaries: readonly UncheckedGeometry[]): Result<BoundaryGeometry> {
	const parts = [];
	for (const boundary of boundaries) {
		const read = readBoundary(boundary);
		if (!read.ok) return read;
		parts.push(read.value);
	}
	const plane = planeOf(parts.flat());
	const apart = joined(parts.flatMap((part) => regionOf(part, plane)));
	const closed = widened(widened(apart, HAIRLINE_M / 2), -HAIRLINE_M / 2);
	const geometry = toGeometry(isSimpler(closed, apart) ? closed : apart, plane);
	return geometry ? ok(geometry) : invalid('it encloses no ground');
}

/** In fewer parts, or in as many with fewer holes. */
function isSimpler(one: PlaneRegion, other: PlaneRegion): boolean {
	const [parts, before] = [one, other].map((region) => outlinesOf(region).filter(({ isHole }) => !isHole).length);
	return parts === before ? one.length < other.length : (parts ?? 0) < (before ?? 0);
}

/** A region grown on all sides, or drawn in by a negative width; corners stay corners. */
function widened(region: PlaneRegion, width: Metres): PlaneRegion {
	const offset = new ClipperOffset(MITER_LIMIT);
	offset.addPaths(region, JoinType.Miter, EndType.Polygon);
	const grown: PlaneRegion = [];
	offset.execute(width / GRID_M, grown);
	return grown;
}

/** What of a piece of ground lies in a boundary; the geometry is null where nothing does. Refuses `geometry.invalid`. */
export function groundWithin(
	boundary: UncheckedGeometry,
	piece: UncheckedGeometry,
): Result<{ readonly geometry: BoundaryGeometry | null; readonly areaM2: SquareMetres }> {
	const field = readBoundary(boundary);
	if (!field.ok) return field;
	const ground = readBoundary(piece);
	if (!ground.ok) return ground;
	const plane = planeOf(field.value);
	const both = shared(regionOf(field.value, plane), regionOf(ground.value, plane));
	return ok({ geometry: toGeometry(both, plane), areaM2: regionArea(both) });
}
