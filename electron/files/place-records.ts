/** Puts a layer's records on the WGS 84 ellipsoid and says of each why it can't be used, if it can't. */
import proj4 from 'proj4';
import { type DatumShift, shiftAt, within } from '../../shared/core/geodesy/datums.ts';
import { isNearLand } from '../../shared/core/geodesy/near-land.ts';
import { projDefinition, type ReferenceSystem } from '../../shared/core/geodesy/reference-system.ts';
import { type Convert, ringConverter } from '../../shared/core/geodesy/ring-converter.ts';
import type { FileSystemOfReference, Middle } from './boundary-file.ts';
import type { FileWarning, RawLayer, RawPolygon, RawRecord, Ring } from './layer.ts';
import { importLimits, LARGEST_COORDINATE } from './limits.ts';

/** Squares of the file over which its conversion is smooth enough to be laid through a few points. */
const SQUARE_M = 2_000;
const SQUARE_DEGREES = 0.02;
/** A tenth of a millimetre; no datum shift is known to better than centimetres, and longer numbers only fill the books. */
const PER_DEGREE = 1e9;

export type PlacedRecord = Omit<RawRecord, 'polygons'> & {
	/** Longitude, latitude; rings closed. */
	readonly polygons: readonly RawPolygon[];
	readonly planarAreaM2: number | null;
	/** Rings that did not return to their first point. */
	readonly closedRings: readonly { readonly part: number; readonly ring: number }[];
};

export type Placement = {
	readonly crs: FileSystemOfReference;
	readonly warnings: readonly FileWarning[];
	readonly areDegrees: boolean;
	readonly middle: Middle | null;
	readonly middleExchanged: Middle | null;
	readonly place: (record: RawRecord) => PlacedRecord;
};

/** The middle of all sound coordinates, and how many records there are with some. */
export type Extent = { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number };

/** Prepares the way from a reference system to WGS 84 for a layer of this extent: the datum shift is the one published for the place. */
export function placementFrom(system: ReferenceSystem, extent: Extent): Placement {
	const [x, y] = [(extent.minX + extent.maxX) / 2, (extent.minY + extent.maxY) / 2];
	const widest = system.datum.shifts.at(-1) ?? null;
	const [lon, lat] = toWgs84(system, widest)(x, y);
	const shift = system.ownShift ? null : shiftAt(system.datum, lon, lat);
	const convert = toWgs84(system, shift);
	const convertRing = convert === asItStands ? (ring: Ring) => ring : converterOf(convert, system.metresPerUnit);
	return {
		crs: describe(system, shift),
		warnings: outsideWarnings(system, shift, lon, lat),
		areDegrees: system.metresPerUnit === null,
		middle: middleAt(system, x, y),
		middleExchanged: middleAt(system, y, x),
		place: (record) => placeRecord(record, convertRing, system.metresPerUnit),
	};
}

/** Converted coordinates are rounded before anything is measured, so that the books hold what was measured. */
function converterOf(convert: Convert, metresPerUnit: number | null): (ring: Ring) => Ring {
	const convertRing = ringConverter(convert, metresPerUnit === null ? SQUARE_DEGREES : SQUARE_M / metresPerUnit);
	return (ring) => {
		const converted = convertRing(ring);
		for (let at = 0; at < converted.length; at++)
			converted[at] = Math.round((converted[at] ?? 0) * PER_DEGREE) / PER_DEGREE;
		return converted;
	};
}

/** The extent of the coordinates that can mean something, or null where there are none. */
export function extentOf(layer: RawLayer): Extent | null {
	let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
	for (const rings of layer.outlines?.() ?? outlinesOf(layer)) {
		if (rings.some((ring) => wildPoint(ring) !== null)) continue;
		for (const ring of rings) {
			for (let at = 0; at < ring.length; at += 2) {
				const [x = minX, y = minY] = [ring[at], ring[at + 1]];
				if (x < minX) minX = x;
				if (x > maxX) maxX = x;
				if (y < minY) minY = y;
				if (y > maxY) maxY = y;
			}
		}
	}
	return minX <= maxX && minY <= maxY ? { minX, minY, maxX, maxY } : null;
}

/** Where the middle of a file lies in a system; null where that is no place on earth. */
function middleAt(system: ReferenceSystem, x: number, y: number): Middle | null {
	const widest = system.datum.shifts.at(-1) ?? null;
	const [lon, lat] = toWgs84(system, widest)(x, y);
	if (!Number.isFinite(lon) || !Number.isFinite(lat) || Math.abs(lon) > 360 || Math.abs(lat) > 90) return null;
	const area = system.bounds ?? widest?.bounds ?? null;
	return { lon, lat, isOnLand: isNearLand(lon, lat), isInArea: area === null || within(area, lon, lat) };
}

function* outlinesOf({ records }: RawLayer): Generator<Ring[]> {
	for (const { polygons, refused } of records()) if (refused === null) yield polygons.flat();
}

function asItStands(x: number, y: number): [number, number] {
	return [x, y];
}

/** Longitude and latitude of a point of the file. */
export function toWgs84(system: ReferenceSystem, shift: DatumShift | null): (x: number, y: number) => [number, number] {
	const isWgs84 =
		system.method === 'longlat' && system.datum.name === 'WGS 84' && !system.ownShift && !system.terms['pm'];
	if (isWgs84) return asItStands;
	const converter = proj4(projDefinition(system, shift), 'EPSG:4326');
	return (x, y) => {
		const [lon = Number.NaN, lat = Number.NaN] = converter.forward([x, y]);
		return [lon, lat];
	};
}

/** Area of a polygon in the plane: outer ring less holes, in square units of its coordinates. */
export function planarArea(polygons: readonly RawPolygon[]): number {
	return polygons
		.flatMap((polygon) => polygon.map((ring, index) => (index === 0 ? 1 : -1) * Math.abs(shoelace(ring))))
		.reduce((sum, area) => sum + area, 0);
}

function placeRecord(record: RawRecord, convertRing: (ring: Ring) => Ring, metresPerUnit: number | null): PlacedRecord {
	const refuse = (refused: string): PlacedRecord => ({
		...record,
		polygons: [],
		refused,
		planarAreaM2: null,
		closedRings: [],
	});
	if (record.refused) return refuse(record.refused);
	if (record.polygons.length === 0) return refuse('its boundary is empty');
	if (record.polygons.flat().length > importLimits.ringsPerRecord)
		return refuse(`it has more than ${importLimits.ringsPerRecord} rings`);
	const warnings: FileWarning[] = [...(record.warnings ?? [])];
	const plane: RawPolygon[] = [];
	const closedRings: { part: number; ring: number }[] = [];
	for (const [outer, ...holes] of record.polygons) {
		const fault = outer ? faultOf(outer) : 'its boundary is empty';
		const wild = holes.map(wildPoint).find((point) => point !== null);
		if (wild) return refuse(wild);
		if (!outer || fault) {
			if (record.polygons.length === 1 || fault?.includes('coordinate'))
				return refuse(fault ?? 'its boundary is empty');
			warnings.push({
				code: 'geometry.partLeftOut',
				message: `Record ${record.record}: a part of the field was left out, ${fault}.`,
				record: record.record,
			});
			continue;
		}
		const sound = holes.filter((hole) => faultOf(hole) === null);
		if (sound.length < holes.length) {
			warnings.push({
				code: 'geometry.partLeftOut',
				message: `Record ${record.record}: ${holes.length - sound.length} holes that enclose nothing were left out.`,
				record: record.record,
			});
		}
		const rings = [outer, ...sound];
		const part = plane.length;
		if (!record.closesItself)
			for (const [ring, it] of rings.entries()) if (!isClosed(it)) closedRings.push({ part, ring });
		plane.push(rings.map(closed));
	}
	if (plane.length === 0) return refuse('none of its parts encloses an area');
	const polygons = plane.map((polygon) => polygon.map(convertRing));
	const lost = polygons
		.flat()
		.map(lostPoint)
		.find((point) => point !== null);
	if (lost) return refuse(lost);
	const planarAreaM2 = metresPerUnit === null ? null : planarArea(plane) * metresPerUnit ** 2;
	return { ...record, warnings, polygons: unwrapped(polygons), planarAreaM2, closedRings };
}

/** Why a ring bounds nothing: a wild coordinate, or too few points. */
function faultOf(ring: Ring): string | null {
	const wild = wildPoint(ring);
	if (wild) return wild;
	const corners = differentPoints(ring);
	return corners < 3 ? `one of its rings has only ${corners} different ${corners === 1 ? 'point' : 'points'}` : null;
}

/** How many points of a ring differ, three at most. */
function differentPoints(ring: Ring): number {
	let second = -1;
	for (let at = 0; at < ring.length; at += 2) {
		if (ring[at] === ring[0] && ring[at + 1] === ring[1]) continue;
		if (second < 0) second = at;
		else if (ring[at] !== ring[second] || ring[at + 1] !== ring[second + 1]) return 3;
	}
	return ring.length === 0 ? 0 : second < 0 ? 1 : 2;
}

function wildPoint(ring: Ring): string | null {
	for (let at = 0; at < ring.length; at++) {
		const value = ring[at] ?? Number.NaN;
		if (Math.abs(value) <= LARGEST_COORDINATE) continue;
		return `point ${Math.floor(at / 2) + 1} of a ring has the coordinate ${Number(value.toPrecision(6))}`;
	}
	return null;
}

function lostPoint(ring: Ring): string | null {
	for (let at = 0; at < ring.length; at += 2) {
		const [lon = Number.NaN, lat = Number.NaN] = [ring[at], ring[at + 1]];
		const point = at / 2 + 1;
		if (!Number.isFinite(lon) || !Number.isFinite(lat))
			return `point ${point} of a ring lies outside its reference system`;
		if (Math.abs(lat) > 90) return `point ${point} of a ring has the latitude ${lat.toFixed(2)}`;
		if (Math.abs(lon) > 360) return `point ${point} of a ring has the longitude ${lon.toFixed(2)}`;
	}
	return null;
}

function closed(ring: Ring): Ring {
	if (isClosed(ring)) return ring;
	const whole = new Float64Array(ring.length + 2);
	whole.set(ring);
	whole.set([ring[0] ?? 0, ring[1] ?? 0], ring.length);
	return whole;
}

function isClosed(ring: Ring): boolean {
	const last = ring.length - 2;
	return ring[0] === ring[last] && ring[1] === ring[last + 1];
}

/** A field on the antimeridian stays in one piece: its longitudes run on past 180 instead of jumping to -180. */
function unwrapped(polygons: readonly RawPolygon[]): RawPolygon[] {
	const start = polygons[0]?.[0]?.[0] ?? 0;
	const turns = Math.round(start / 360) * 360;
	const runsOn = polygons.flat().every((ring) => staysWithin(ring, start));
	if (turns === 0 && runsOn) return [...polygons];
	return polygons.map((polygon) =>
		polygon.map((ring) =>
			ring.map((value, at) => (at % 2 === 1 ? value : value - turns - Math.round((value - start) / 360) * 360)),
		),
	);
}

/** Whether all longitudes lie within half a turn of one. */
function staysWithin(ring: Ring, lon: number): boolean {
	for (let at = 0; at < ring.length; at += 2) if (!(Math.abs((ring[at] ?? 0) - lon) <= 180)) return false;
	return true;
}

function shoelace(ring: Ring): number {
	// From the first point, so that coordinates of millions of metres lose no digits.
	const [x0 = 0, y0 = 0] = ring;
	let sum = 0;
	for (let at = 0; at + 3 < ring.length; at += 2) {
		const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = [ring[at], ring[at + 1], ring[at + 2], ring[at + 3]];
		sum += (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0);
	}
	return sum / 2;
}

function describe(system: ReferenceSystem, shift: DatumShift | null): FileSystemOfReference {
	const code = system.epsg === null ? {} : { epsg: system.epsg };
	const used = system.ownShift ? { shiftUsed: `given in the file (${system.ownShift.join(', ')})` } : {};
	const published = shift ? { shiftUsed: shift.operation, residualM: shift.residualM } : {};
	return { name: system.name, ...code, datum: system.datum.name, ...used, ...published };
}

function outsideWarnings(system: ReferenceSystem, shift: DatumShift | null, lon: number, lat: number): FileWarning[] {
	const area = system.bounds ?? shift?.bounds ?? null;
	if (!area || within(area, lon, lat)) return [];
	const place = `latitude ${lat.toFixed(3)}, longitude ${lon.toFixed(3)}`;
	return [
		{
			code: 'crs.outsideArea',
			message: `The fields lie at ${place}, outside the area that ${system.name} is made for. Look at the map before importing.`,
		},
	];
}
