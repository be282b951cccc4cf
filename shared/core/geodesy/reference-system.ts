/** Reference systems: what the coordinates of a file mean, by EPSG code or as a file describes it. */
import { invariant } from '../../basics/result.ts';
import { type Bounds, type Datum, type DatumShift, findDatum, readBounds } from './datums.ts';
import { epsgTable } from './epsg-table.ts';
import { statePlaneTable } from './state-plane-table.ts';

/** `method` and `terms` are a projection as PROJ names them: degrees and metres, whatever unit the coordinates are in. */
export type ReferenceSystem = {
	readonly name: string;
	readonly epsg: number | null;
	readonly datum: Datum;
	readonly method: string;
	readonly terms: Readonly<Record<string, number>>;
	/** Metres in one unit of the file's coordinates; null where they are degrees. */
	readonly metresPerUnit: number | null;
	/** A shift that the file itself carries; it wins over the published ones. */
	readonly ownShift: readonly number[] | null;
	/** Where the system is meant to be used, as far as known. */
	readonly bounds: Bounds | null;
};

/** International foot and US survey foot. Source: international yard and pound agreement 1959; Mendenhall order 1893 (1200/3937 m). */
export const FOOT_M = 0.3048;
export const US_SURVEY_FOOT_M = 1200 / 3937;

export const WEB_MERCATOR = 3857;

const table = new Map([...epsgTable.split('\n'), ...statePlaneTable.split('\n')].filter(Boolean).map(readRow));

/** Every system of the tables, in their order (UTM zones and Web Mercator are not in them). */
export const listedSystems: readonly ReferenceSystem[] = [...table.values()];

/** The system with this EPSG code, or null where the program does not know it. */
export function systemFromCode(epsg: number): ReferenceSystem | null {
	if (epsg === WEB_MERCATOR || epsg === 900913 || epsg === 3785) return webMercator();
	return table.get(epsg) ?? utmFromCode(epsg);
}

/** A UTM zone on a datum. Source: EPSG method 9807 with k0 0.9996, false easting 500 000 m, false northing 0 or 10 000 000 m. */
export function utm(datumName: string, zone: number, south: boolean, epsg: number | null): ReferenceSystem | null {
	const datum = findDatum(datumName);
	if (!datum || zone < 1 || zone > 60) return null;
	const meridian = zone * 6 - 183;
	return {
		name: `${datum.name} / UTM zone ${zone}${south ? 'S' : 'N'}`,
		epsg,
		datum,
		method: 'tmerc',
		terms: { lat_0: 0, lon_0: meridian, k_0: 0.9996, x_0: 500_000, y_0: south ? 10_000_000 : 0 },
		metresPerUnit: 1,
		ownShift: null,
		bounds: [meridian - 3, south ? -80 : 0, meridian + 3, south ? 0 : 84],
	};
}

/**
 * The PROJ definition of a system with a datum shift (null: none is needed or none is wanted).
 * proj4 applies the shift in the position vector convention, like the table's.
 */
export function projDefinition(system: ReferenceSystem, shift: DatumShift | null): string {
	if (system.epsg === WEB_MERCATOR) {
		// A sphere whose latitudes are taken as WGS 84 latitudes (EPSG method 1024).
		return '+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m +nadgrids=@null +no_defs';
	}
	const { a, inverseFlattening } = system.datum.ellipsoid;
	const toWgs84 = system.ownShift ?? shift?.toWgs84 ?? [0, 0, 0];
	const terms = Object.entries(system.terms).map(([term, value]) => `+${term}=${value}`);
	const unit = system.metresPerUnit === null ? [] : [`+to_meter=${system.metresPerUnit}`];
	return [
		`+proj=${system.method}`,
		...terms,
		`+a=${a}`,
		`+rf=${inverseFlattening}`,
		`+towgs84=${toWgs84.join(',')}`,
		...unit,
		'+no_defs',
	].join(' ');
}

/** The listed system or UTM zone with the same datum, projection and unit, or null: gives a system read from a file its code. */
export function sameListedSystem(system: ReferenceSystem): ReferenceSystem | null {
	const zone = Math.round(((system.terms['lon_0'] ?? 0) + 183) / 6);
	const south = (system.terms['y_0'] ?? 0) !== 0;
	const zones = system.method === 'tmerc' ? utmCodes(system.datum.name, zone, south).map(utmFromCode) : [];
	return [...listedSystems, ...zones].find((listed) => listed && isSame(listed, system)) ?? null;
}

function isSame(a: ReferenceSystem, b: ReferenceSystem): boolean {
	if (a.datum !== b.datum || a.method !== b.method) return false;
	if (Math.abs((a.metresPerUnit ?? 0) - (b.metresPerUnit ?? 0)) > 1e-8) return false;
	const terms = new Set([...Object.keys(a.terms), ...Object.keys(b.terms)]);
	return [...terms].every((term) => {
		const [one, other] = [termOf(a, term), termOf(b, term)];
		return Math.abs(one - other) <= 1e-7 * Math.max(1, Math.abs(one));
	});
}

/** Standard parallels have no order of their own; files write either first. */
function termOf({ method, terms }: ReferenceSystem, term: string): number {
	const { lat_1: one, lat_2: other } = terms;
	if ((method === 'lcc' || method === 'aea') && one !== undefined && other !== undefined) {
		if (term === 'lat_1') return Math.min(one, other);
		if (term === 'lat_2') return Math.max(one, other);
	}
	return terms[term] ?? (term === 'k_0' ? 1 : 0);
}

function webMercator(): ReferenceSystem | null {
	const datum = findDatum('WGS 84');
	if (!datum) return null;
	const bounds: Bounds = [-180, -85.06, 180, 85.06];
	return {
		name: 'WGS 84 / Pseudo-Mercator',
		epsg: WEB_MERCATOR,
		datum,
		method: 'merc',
		terms: {},
		metresPerUnit: 1,
		ownShift: null,
		bounds,
	};
}

/** Runs of UTM codes: code = base + zone. Source: EPSG dataset. */
const utmRuns = [
	{ base: 32600, datum: 'WGS 84', south: false, first: 1, last: 60 },
	{ base: 32700, datum: 'WGS 84', south: true, first: 1, last: 60 },
	{ base: 25800, datum: 'ETRS89', south: false, first: 28, last: 38 },
	{ base: 23000, datum: 'ED50', south: false, first: 28, last: 38 },
	{ base: 26900, datum: 'NAD83', south: false, first: 1, last: 23 },
	{ base: 26700, datum: 'NAD27', south: false, first: 1, last: 22 },
	{ base: 28300, datum: 'GDA94', south: true, first: 46, last: 59 },
	{ base: 7800, datum: 'GDA2020', south: true, first: 46, last: 59 },
	{ base: 31960, datum: 'SIRGAS 2000', south: true, first: 17, last: 25 },
	{ base: 31954, datum: 'SIRGAS 2000', south: false, first: 11, last: 22 },
	{ base: 29170, datum: 'SAD69', south: true, first: 17, last: 25 },
] as const;

function utmFromCode(epsg: number): ReferenceSystem | null {
	const run = utmRuns.find(({ base, first, last }) => epsg >= base + first && epsg <= base + last);
	return run ? utm(run.datum, epsg - run.base, run.south, epsg) : null;
}

function utmCodes(datumName: string, zone: number, south: boolean): number[] {
	return utmRuns
		.filter((run) => run.datum === datumName && run.south === south && zone >= run.first && zone <= run.last)
		.map((run) => run.base + zone);
}

function readRow(line: string): [number, ReferenceSystem] {
	const [code = '', name = '', datumName = '', projection = '', bounds = ''] = line
		.split('|')
		.map((cell) => cell.trim());
	const [method = '', ...words] = projection.split(' ');
	const datum = findDatum(datumName);
	invariant(datum, `The table of reference systems names a datum that is not in the table of datums: ${line}`);
	const terms: Record<string, number> = {};
	for (const word of words) {
		const [term = '', value = ''] = word.split('=');
		if (value !== '') terms[term] = term === 'pm' ? primeMeridian(value) : Number(value);
	}
	const feet = words.includes('ftUS') ? US_SURVEY_FOOT_M : words.includes('ft') ? FOOT_M : 1;
	const metresPerUnit = method === 'longlat' ? null : feet;
	const system = { name, datum, method, terms, metresPerUnit, ownShift: null, bounds: readBounds(bounds) };
	return [Number(code), { ...system, epsg: Number(code) }];
}

/** Degrees east of Greenwich. Source: EPSG prime meridians 8903, 8906, 8909. */
export function primeMeridian(name: string): number {
	const known: Readonly<Record<string, number>> = {
		greenwich: 0,
		paris: 2.33722917,
		rome: 12.45233333,
		ferro: -17.66666667,
	};
	return known[name.toLowerCase()] ?? Number.NaN;
}
