/** The reference system that a file describes in well-known text (a .prj, a GeoPackage's definition). */
import { findDatum } from './datums.ts';
import {
	primeMeridian,
	type ReferenceSystem,
	sameListedSystem,
	systemFromCode,
	WEB_MERCATOR,
} from './reference-system.ts';
import { child, children, figureOf, nameOf, parseWkt, type WktNode } from './well-known-text.ts';

/** `unreadable`: the text says nothing. `unsupported`: it names a system that the program does not know well enough to measure in. */
export type Description =
	| { readonly kind: 'system'; readonly system: ReferenceSystem }
	| { readonly kind: 'unreadable'; readonly why: string }
	| { readonly kind: 'unsupported'; readonly name: string; readonly why: string };

/** Reads WKT 1 in the spelling of OGC or of .prj files; of WKT 2 only the EPSG code at its end. */
export function describedSystem(text: string): Description {
	const root = parseWkt(text.replaceAll('\0', '').trim());
	if (!root) return { kind: 'unreadable', why: 'its description is not well-known text' };
	const horizontal = root.keyword === 'COMPD_CS' ? (child(root, 'PROJCS', 'GEOGCS') ?? root) : root;
	const name = nameOf(horizontal) || 'an unnamed system';
	const code = codeOf(horizontal);
	if (horizontal.keyword === 'GEOGCS') return geographic(horizontal, name);
	if (horizontal.keyword === 'PROJCS') return projected(horizontal, name, code);
	const listed = code === null ? null : systemFromCode(code);
	if (listed) return { kind: 'system', system: listed };
	const isSystem = /^(GEOGCRS|GEODCRS|PROJCRS|BOUNDCRS|COMPOUNDCRS|LOCAL_CS|GEOCCS|ENGCRS)$/.test(root.keyword);
	return isSystem
		? { kind: 'unsupported', name, why: 'its description is of a kind that is not read' }
		: { kind: 'unreadable', why: 'its description is not that of a reference system' };
}

function geographic(node: WktNode, name: string): Description {
	const base = readBase(node, name);
	if ('kind' in base) return base;
	const terms: Record<string, number> = base.meridian === 0 ? {} : { pm: base.meridian };
	if (Math.abs(base.degreesPerUnit - 1) > 1e-9) return unsupported(name, 'its coordinates are not in degrees');
	return found({ name, ...base.parts, method: 'longlat', terms, metresPerUnit: null });
}

function projected(node: WktNode, name: string, code: number | null): Description {
	const base = child(node, 'GEOGCS');
	const geodetic = base ? readBase(base, name) : unsupported(name, 'it names no datum');
	if ('kind' in geodetic) return geodetic;
	const projection = nameOf(child(node, 'PROJECTION') ?? node);
	if (isWebMercator(node, projection, code)) {
		const system = systemFromCode(WEB_MERCATOR);
		if (system) return { kind: 'system', system };
	}
	const metresPerUnit = figureOf(child(node, 'UNIT'));
	if (metresPerUnit === null || metresPerUnit <= 0) return unsupported(name, 'it names no unit of length');
	if (hasUnusualAxes(node)) return unsupported(name, 'its axes point west or south');
	const given = new Map(
		children(node, 'PARAMETER').map((parameter) => [plain(nameOf(parameter)), figureOf(parameter)]),
	);
	const method = readMethod(projection, given, geodetic.degreesPerUnit, metresPerUnit);
	if (!method) return unsupported(name, `its projection ${projection} is not one the program computes`);
	const terms = geodetic.meridian === 0 ? method.terms : { ...method.terms, pm: geodetic.meridian };
	return found({ name, ...geodetic.parts, method: method.method, terms, metresPerUnit });
}

type Base = {
	readonly parts: Pick<ReferenceSystem, 'datum' | 'ownShift'>;
	readonly meridian: number;
	readonly degreesPerUnit: number;
};

/** Datum, prime meridian and angular unit. The ellipsoid must be the datum's own: another one is a contradiction. */
function readBase(node: WktNode, name: string): Base | Description {
	const datumNode = child(node, 'DATUM');
	const datumName = datumNode ? nameOf(datumNode) : '';
	const datum = findDatum(datumName);
	if (!datumNode || !datum)
		return unsupported(name, `its datum ${datumName || 'is not named'} has no known shift to WGS 84`);
	const spheroid = child(datumNode, 'SPHEROID', 'ELLIPSOID');
	const [a, inverseFlattening] = [figureOf(spheroid, 0), figureOf(spheroid, 1)];
	// Files write Clarke 1866 as 294.9786982 or 294.97869821: allow the last digits, not another ellipsoid.
	const isOwn =
		a !== null &&
		inverseFlattening !== null &&
		Math.abs(a - datum.ellipsoid.a) < 1 &&
		Math.abs(inverseFlattening - datum.ellipsoid.inverseFlattening) < 1e-3;
	if (!isOwn)
		return unsupported(name, `datum ${datum.name} stands on ${datum.ellipsoid.name}, the file gives another ellipsoid`);
	const toWgs84 = (child(datumNode, 'TOWGS84')?.values ?? []).filter((value) => typeof value === 'number');
	// Some writers put zeros where they know no shift; those are not taken for one.
	const isShift = (toWgs84.length === 3 || toWgs84.length === 7) && toWgs84.some((figure) => figure !== 0);
	const ownShift = isShift ? toWgs84 : null;
	const meridianNode = child(node, 'PRIMEM');
	const known = meridianNode ? primeMeridian(nameOf(meridianNode)) : 0;
	const meridian = Number.isNaN(known) ? figureOf(meridianNode) : known;
	const radiansPerUnit = figureOf(child(node, 'UNIT')) ?? Math.PI / 180;
	if (meridian === null || radiansPerUnit <= 0) return unsupported(name, 'its prime meridian or unit is not given');
	const degreesPerUnit = (radiansPerUnit * 180) / Math.PI;
	return {
		parts: { datum, ownShift },
		meridian,
		degreesPerUnit: Math.abs(degreesPerUnit - 1) < 1e-9 ? 1 : degreesPerUnit,
	};
}

type Method = { readonly method: string; readonly terms: Record<string, number> };
type Given = ReadonlyMap<string, number | null>;

/** Projections by the names of WKT 1, and as .prj files write them, in PROJ's names. Source: EPSG Guidance Note 7-2, OGC 01-009. */
const methods: Readonly<Record<string, string>> = {
	transversemercator: 'tmerc',
	gausskruger: 'tmerc',
	lambertconformalconic: 'lcc',
	lambertconformalconic1sp: 'lcc',
	lambertconformalconic2sp: 'lcc',
	albers: 'aea',
	albersconicequalarea: 'aea',
	lambertazimuthalequalarea: 'laea',
	doublestereographic: 'sterea',
	obliquestereographic: 'sterea',
	mercator: 'merc',
	mercator1sp: 'merc',
	mercator2sp: 'merc',
	krovak: 'krovak',
	cassini: 'cass',
	cassinisoldner: 'cass',
	polyconic: 'poly',
	newzealandmapgrid: 'nzmg',
	equidistantconic: 'eqdc',
	cylindricalequalarea: 'cea',
	swissobliquecylindrical: 'somerc',
	swissobliquemercator: 'somerc',
	hotineobliquemercatorazimuthcenter: 'somerc',
	hotineobliquemercator: 'somerc',
};

function readMethod(projection: string, given: Given, degreesPerUnit: number, metresPerUnit: number): Method | null {
	const method = methods[plain(projection)];
	if (method === undefined) return null;
	const figure = (...names: string[]) =>
		names.map((name) => given.get(name) ?? undefined).find((value) => value !== undefined);
	const angle = (...names: string[]) => (figure(...names) ?? 0) * degreesPerUnit;
	const x_0 = (figure('falseeasting') ?? 0) * metresPerUnit;
	const y_0 = (figure('falsenorthing') ?? 0) * metresPerUnit;
	const k_0 = figure('scalefactor') ?? 1;
	const lat_0 = angle('latitudeoforigin', 'latitudeofcenter', 'centralparallel');
	const lon_0 = angle('centralmeridian', 'longitudeoforigin', 'longitudeofcenter');
	const lat_1 = angle('standardparallel1');
	const lat_2 = angle('standardparallel2');
	const common = { lat_0, lon_0, x_0, y_0 };
	switch (method) {
		case 'lcc':
			// With one standard parallel the scale there is given, and the parallel may be the latitude of origin.
			if (given.has('standardparallel2'))
				return { method, terms: { ...common, lat_1, lat_2, ...(k_0 === 1 ? {} : { k_0 }) } };
			return { method, terms: { ...common, lat_1: given.has('standardparallel1') ? lat_1 : lat_0, k_0 } };
		case 'aea':
		case 'eqdc':
			return { method, terms: { ...common, lat_1, lat_2 } };
		case 'merc':
			return { method, terms: { lat_ts: lat_1, lon_0, x_0, y_0, k_0 } };
		case 'cea':
			return { method, terms: { lat_ts: lat_1, lon_0, x_0, y_0 } };
		case 'krovak':
			// In .prj files the turn of the axes stands in parameters; only east and north are read.
			if (figure('xyplanerotation') === 0 || figure('xscale') === 1) return null;
			return { method, terms: { ...common, alpha: 30.2881397527778, k_0 } };
		case 'somerc':
			// Swiss and Hungarian grids: an oblique Mercator whose central line runs due east.
			if (given.has('azimuth') && Math.abs(angle('azimuth') - 90) > 1e-9) return null;
			return { method, terms: { ...common, k_0 } };
		case 'laea':
		case 'cass':
		case 'poly':
		case 'nzmg':
			return { method, terms: common };
		default:
			return { method, terms: { ...common, k_0 } };
	}
}

function found(parts: Omit<ReferenceSystem, 'epsg' | 'bounds'>): Description {
	const system: ReferenceSystem = { ...parts, epsg: null, bounds: null };
	const listed = sameListedSystem(system);
	return { kind: 'system', system: { ...system, epsg: listed?.epsg ?? null, bounds: listed?.bounds ?? null } };
}

function isWebMercator(node: WktNode, projection: string, code: number | null): boolean {
	if (code === WEB_MERCATOR || /^mercatorauxiliarysphere$/.test(plain(projection))) return true;
	return (
		plain(projection).startsWith('mercator') &&
		/pseudo.?mercator|web.?mercator|popular.?visualisation/i.test(nameOf(node))
	);
}

/** `AXIS["…",WEST]` on a projected system turns or swaps the coordinates; the common east and north (in either order) do not. */
function hasUnusualAxes(node: WktNode): boolean {
	return children(node, 'AXIS').some((axis) => axis.values.some((value) => value === 'WEST' || value === 'SOUTH'));
}

function codeOf(node: WktNode): number | null {
	const authority = children(node, 'AUTHORITY').at(-1) ?? children(node, 'ID').at(-1);
	if (!authority || nameOf(authority).toUpperCase() !== 'EPSG') return null;
	const code = Number(authority.values[1]);
	return Number.isSafeInteger(code) ? code : null;
}

function unsupported(name: string, why: string): Description {
	return { kind: 'unsupported', name, why };
}

function plain(name: string): string {
	return name.toLowerCase().replace(/[^a-z0-9]/g, '');
}
