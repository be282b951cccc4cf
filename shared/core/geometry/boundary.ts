import { ok, type Result, refuse } from '../../basics/result.ts';

/** Longitude, latitude in WGS 84 degrees; further numbers (height, measure) are carried by some files and not used. */
export type Position = readonly number[];
/** A ring without its closing repeat. */
export type Ring = readonly Position[];
/** Outer ring first, then the holes. */
export type Part = readonly Ring[];

/** A boundary as it arrives: a GeoJSON geometry (RFC 7946), not checked yet. */
export type UncheckedGeometry = { readonly type: string; readonly coordinates?: unknown };
/** A boundary as the program writes it: closed rings, outer ring first. */
export type BoundaryGeometry =
	| { readonly type: 'Polygon'; readonly coordinates: number[][][] }
	| { readonly type: 'MultiPolygon'; readonly coordinates: number[][][][] };

/** RFC 7946 §3.1.6: a linear ring has four or more positions, the last a repeat of the first. */
const FEWEST_POSITIONS = 4;
/** One and a half turns: files that number longitudes past 180° or from 0° to 360° stay well within. */
const LARGEST_LONGITUDE = 540;

type Refusal = Extract<Result<never>, { ok: false }>;

/**
 * Reads a Polygon or MultiPolygon into parts and rings without their closing repeat.
 *
 * A ring that lacks its closing repeat is closed: what it encloses is not in doubt (`boundaryFindings` reports it).
 * Refuses `geometry.invalid`, naming part, ring and point, for another type, no rings, a ring of fewer than four
 * positions, and positions that are no longitude and latitude.
 */
export function readBoundary(geometry: UncheckedGeometry): Result<readonly Part[]> {
	const { type, coordinates } = geometry;
	if (type !== 'Polygon' && type !== 'MultiPolygon') {
		return invalid(`it is a ${type}; a boundary is a Polygon or a MultiPolygon`);
	}
	const several = type === 'MultiPolygon';
	const rawParts: unknown = several ? coordinates : [coordinates];
	if (!Array.isArray(rawParts) || rawParts.length === 0) return invalid('it has no parts');
	const parts: Part[] = [];
	for (const [partIndex, rawRings] of rawParts.entries()) {
		const place = { several, part: partIndex };
		if (!Array.isArray(rawRings) || rawRings.length === 0) return invalid(`${partName(place)} has no rings`, place);
		const rings: Ring[] = [];
		for (const [ringIndex, rawRing] of rawRings.entries()) {
			const ring = readRing(rawRing, { ...place, ring: ringIndex });
			if (!ring.ok) return ring;
			rings.push(ring.value);
		}
		parts.push(rings);
	}
	return ok(parts);
}

type Place = {
	readonly several: boolean;
	readonly part: number;
	readonly ring?: number;
	readonly vertex?: number;
};

/** "the outer boundary", "hole 2", "part 3, hole 1": parts, holes and points are counted from one. */
export function ringName(place: { readonly several: boolean; readonly part: number; readonly ring: number }): string {
	const ring = place.ring === 0 ? 'the outer boundary' : `hole ${place.ring}`;
	return place.several ? `part ${place.part + 1}, ${ring}` : ring;
}

function partName({ several, part }: Place): string {
	return several ? `part ${part + 1}` : 'it';
}

function readRing(raw: unknown, place: Place & { readonly ring: number }): Result<Ring> {
	if (!Array.isArray(raw)) return invalid(`${ringName(place)} is no list of positions`, place);
	if (raw.length < FEWEST_POSITIONS) {
		return invalid(
			`${ringName(place)} has ${raw.length} ${raw.length === 1 ? 'position' : 'positions'}; ` +
				'a closed boundary needs at least three points and the first once more',
			place,
		);
	}
	for (let vertex = 0; vertex < raw.length; vertex++) {
		const trouble = positionTrouble(raw[vertex]);
		if (trouble) return invalid(`${ringName(place)}, point ${vertex + 1}: ${trouble}`, { ...place, vertex });
	}
	const ring = raw as Position[];
	return ok(isClosed(ring) ? ring.slice(0, -1) : ring);
}

/** Whether the last position repeats the first. */
export function isClosed(ring: readonly Position[]): boolean {
	const first = ring[0];
	const last = ring[ring.length - 1];
	return first !== undefined && last !== undefined && first[0] === last[0] && first[1] === last[1];
}

function positionTrouble(position: unknown): string | null {
	if (!Array.isArray(position) || position.length < 2) return 'a position is a longitude and a latitude';
	const lon: unknown = position[0];
	const lat: unknown = position[1];
	if (typeof lon !== 'number' || !Number.isFinite(lon)) return `the longitude is ${nameOf(lon)}, not a number`;
	if (typeof lat !== 'number' || !Number.isFinite(lat)) return `the latitude is ${nameOf(lat)}, not a number`;
	if (Math.abs(lon) > LARGEST_LONGITUDE) {
		return `the longitude ${lon} is beyond ${LARGEST_LONGITUDE}°; are these degrees, not metres of a map grid?`;
	}
	if (Math.abs(lat) > 90) return `the latitude ${lat} is beyond 90°; are these degrees, longitude first?`;
	return null;
}

function nameOf(value: unknown): string {
	return typeof value === 'number' ? String(value) : value === null ? 'null' : typeof value;
}

/** A refusal of a boundary: why, and where (counted from zero, as in the geometry). */
export function invalid(why: string, place?: Place): Refusal {
	if (!place) return refuse('geometry.invalid', { why });
	const { part, ring, vertex } = place;
	return refuse('geometry.invalid', {
		why,
		part,
		...(ring === undefined ? {} : { ring }),
		...(vertex === undefined ? {} : { vertex }),
	});
}
