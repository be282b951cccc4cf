/** GeoJSON: a collection, one feature or a bare geometry; the old `crs` member is understood. */
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { epsgOf } from './epsg-name.ts';
import type { Attribute, AttributeValue, RawLayer, RawPolygon, RawRecord, Ring, SystemClue } from './layer.ts';
import { wgs84 } from './layer.ts';
import { importLimits } from './limits.ts';

type Json = { readonly [key: string]: unknown };

const DEEPEST_COLLECTION = 8;

/**
 * Opens GeoJSON text. Coordinates are longitude, latitude whatever a `crs` member implies about axis order (RFC 7946 §4,
 * GeoJSON 2008 §3). Refuses `file.damaged` for broken JSON, `file.notBoundaries` for other JSON, `file.noFields` without areas.
 */
export function openGeoJson(file: string, name: string, text: string, encoding: string): Result<RawLayer> {
	const json = parseJson(text);
	if (json === undefined) return refuse('file.damaged', { file, why: 'it is not JSON from beginning to end' });
	const features = isObject(json) ? featuresOf(json) : null;
	if (!isObject(json) || !features) return refuse('file.notBoundaries', { file, why: 'it is JSON, but not GeoJSON' });
	if (features.length > importLimits.records)
		return refuse('file.tooBig', { file, why: `it holds more than ${importLimits.records} boundaries` });
	if (features.length === 0) return refuse('file.noFields', { file, why: 'it is an empty collection' });
	const kinds = new Set(features.map((feature) => kindOf(feature['geometry'])));
	if (![...kinds].some((kind) => /Polygon|GeometryCollection|nothing/.test(kind))) {
		return refuse('file.noFields', { file, why: `it holds ${[...kinds].join(', ')}, not areas` });
	}
	const properties = features.map((feature) => (isObject(feature['properties']) ? feature['properties'] : {}));
	const attributes = attributesOf(properties);
	if (attributes.length > importLimits.attributes)
		return refuse('file.tooBig', { file, why: `its features have ${attributes.length} properties` });
	return ok({
		name: typeof json['name'] === 'string' && json['name'] !== '' ? json['name'] : name,
		clue: systemClue(json['crs']),
		encoding,
		attributes,
		warnings: [],
		records: () => readRecords(features, properties, attributes),
	});
}

function* readRecords(
	features: readonly Json[],
	properties: readonly Json[],
	attributes: readonly Attribute[],
): Generator<RawRecord> {
	for (const [index, feature] of features.entries()) {
		const own = properties[index] ?? {};
		const values = attributes.map(({ name }) => (Object.hasOwn(own, name) ? attributeValue(own[name]) : null));
		const polygons = polygonsOf(feature['geometry'], 0);
		const fault = typeof polygons === 'string' ? polygons : null;
		yield { record: index + 1, polygons: typeof polygons === 'string' ? [] : polygons, values, refused: fault };
	}
}

/** The polygons of a geometry, or what is wrong with it. */
function polygonsOf(geometry: unknown, depth: number): RawPolygon[] | string {
	if (!isObject(geometry)) return 'it has no boundary';
	const coordinates = geometry['coordinates'];
	if (geometry['type'] === 'Polygon') {
		const polygon = polygonOf(coordinates);
		return typeof polygon === 'string' ? polygon : [polygon];
	}
	if (geometry['type'] === 'MultiPolygon')
		return Array.isArray(coordinates) ? collect(coordinates.map(polygonOf)) : 'its coordinates are missing';
	if (
		geometry['type'] === 'GeometryCollection' &&
		Array.isArray(geometry['geometries']) &&
		depth < DEEPEST_COLLECTION
	) {
		const areas = geometry['geometries'].filter((part: unknown) => /Polygon|Collection/.test(kindOf(part)));
		const parts = areas.map((part: unknown) => polygonsOf(part, depth + 1));
		const fault = parts.find((part) => typeof part === 'string');
		return (
			fault ??
			(parts.length === 0 ? 'it is not an area' : parts.flatMap((part) => (typeof part === 'string' ? [] : part)))
		);
	}
	return `it is not an area (${kindOf(geometry)})`;
}

function collect(polygons: readonly (RawPolygon | string)[]): RawPolygon[] | string {
	const fault = polygons.find((polygon) => typeof polygon === 'string');
	return fault ?? polygons.filter((polygon) => typeof polygon !== 'string');
}

function polygonOf(rings: unknown): RawPolygon | string {
	if (!Array.isArray(rings)) return 'its coordinates are missing';
	if (rings.length > importLimits.ringsPerRecord)
		return `it has ${rings.length} rings, at most ${importLimits.ringsPerRecord} are read`;
	const polygon: Ring[] = [];
	for (const points of rings) {
		if (!Array.isArray(points)) return 'one of its rings is not a list of points';
		const ring = new Float64Array(points.length * 2);
		for (const [index, point] of points.entries()) {
			if (!Array.isArray(point) || point.length < 2) return `point ${index + 1} of a ring is not a pair of coordinates`;
			const [x, y]: unknown[] = point;
			ring[index * 2] = typeof x === 'number' ? x : Number.NaN;
			ring[index * 2 + 1] = typeof y === 'number' ? y : Number.NaN;
		}
		polygon.push(ring);
	}
	return polygon;
}

/** The old `crs` member: a name such as `EPSG:27700`, `urn:ogc:def:crs:EPSG::27700` or `urn:ogc:def:crs:OGC:1.3:CRS84`. */
function systemClue(crs: unknown): SystemClue {
	if (crs === undefined || crs === null) return wgs84;
	const properties = isObject(crs) && isObject(crs['properties']) ? crs['properties'] : {};
	const name = String(properties['name'] ?? properties['code'] ?? '');
	const epsg = epsgOf(name);
	return epsg === null
		? { kind: 'none', why: `its crs member ${name === '' ? 'names no system' : `says ${name.slice(0, 80)}`}` }
		: { kind: 'code', epsg };
}

function featuresOf(json: Json): Json[] | null {
	if (json['type'] === 'FeatureCollection')
		return Array.isArray(json['features']) ? json['features'].filter(isObject) : null;
	if (json['type'] === 'Feature') return [json];
	return /^(Multi)?(Point|LineString|Polygon)$|^GeometryCollection$/.test(String(json['type']))
		? [{ geometry: json }]
		: null;
}

function attributesOf(properties: readonly Json[]): Attribute[] {
	const seen = new Map<string, { any: boolean; numbers: boolean; dates: boolean }>();
	for (const own of properties) {
		for (const [name, given] of Object.entries(own)) {
			const value = attributeValue(given);
			const kind = seen.get(name) ?? { any: false, numbers: true, dates: true };
			if (value !== null) {
				kind.any = true;
				kind.numbers &&= typeof value === 'number';
				kind.dates &&= typeof value === 'string' && /^\d{4}-\d\d-\d\d(T|$)/.test(value);
			}
			seen.set(name, kind);
			if (seen.size > importLimits.attributes) break;
		}
	}
	return [...seen].map(([name, { any, numbers, dates }]) => ({
		name,
		kind: any && numbers ? 'number' : any && dates ? 'date' : 'text',
	}));
}

function attributeValue(value: unknown): AttributeValue {
	if (value === null || value === undefined) return null;
	if (typeof value === 'string') return value === '' ? null : value;
	if (typeof value === 'number') return Number.isFinite(value) ? value : null;
	return typeof value === 'boolean' ? (value ? 'yes' : 'no') : JSON.stringify(value);
}

function kindOf(geometry: unknown): string {
	return isObject(geometry) ? String(geometry['type']).slice(0, 40) : 'nothing';
}

function parseJson(text: string): unknown {
	try {
		return JSON.parse(text);
	} catch {
		return undefined;
	}
}

function isObject(value: unknown): value is Json {
	return typeof value === 'object' && value !== null && !Array.isArray(value);
}
