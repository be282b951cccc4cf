/** Geodetic datums by the names that files use, with their ellipsoids and their published shifts to WGS 84. */
import { datumsLikeWgs84, shiftedDatums } from './datum-table.ts';

export type Bounds = readonly [west: number, south: number, east: number, north: number];

/** A published shift to WGS 84. Position vector convention: metres, arc seconds, parts per million. */
export type DatumShift = {
	readonly operation: string;
	readonly epsg: number;
	readonly toWgs84: readonly number[];
	/** Published accuracy of the shift, metres. */
	readonly residualM: number;
	readonly bounds: Bounds;
};

export type Ellipsoid = { readonly name: string; readonly a: number; readonly inverseFlattening: number };

/** `shifts` is empty where the datum agrees with WGS 84 within a few metres. */
export type Datum = {
	readonly name: string;
	readonly ellipsoid: Ellipsoid;
	readonly names: readonly string[];
	readonly shifts: readonly DatumShift[];
};

export const datums: readonly Datum[] = readTable(`${shiftedDatums}${datumsLikeWgs84}`);

const byName = new Map(
	datums.flatMap((datum) => [plainName(datum.name), ...datum.names].map((name) => [name, datum] as const)),
);

/**
 * The datum a file means, or null where the name is not known (an unknown datum is never measured).
 * Takes the name as files write it: `D_OSGB_1936`, `OSGB_1936`, `Ordnance Survey of Great Britain 1936`.
 */
export function findDatum(name: string): Datum | null {
	const plain = plainName(name);
	const known = byName.get(plain) ?? byName.get(plain.replace(/ensemble$/, ''));
	if (known) return known;
	// Numbered realisations: WGS 84 (G1762), ITRF2014, ETRF2000.
	if (/^(wgs1984|worldgeodeticsystem1984|wgs84)g?\d+$/.test(plain)) return byName.get('wgs84') ?? null;
	if (/^(itrf|etrf)\d{2,4}$/.test(plain)) return byName.get('etrs89') ?? null;
	return null;
}

/** The shift to use at a place: the first whose area holds it, else the last (widest) one; null where none is needed. */
export function shiftAt(datum: Datum, lon: number, lat: number): DatumShift | null {
	return datum.shifts.find(({ bounds }) => within(bounds, lon, lat)) ?? datum.shifts.at(-1) ?? null;
}

/** Whether a place lies in an area of use. Areas that cross the antimeridian have their west east of their east. */
export function within([west, south, east, north]: Bounds, lon: number, lat: number): boolean {
	if (lat < south || lat > north) return false;
	return west <= east ? lon >= west && lon <= east : lon >= west || lon <= east;
}

/** Four figures "west south east north". */
export function readBounds(text: string): Bounds {
	const [west = Number.NaN, south = Number.NaN, east = Number.NaN, north = Number.NaN] = text.split(' ').map(Number);
	return [west, south, east, north];
}

function readTable(table: string): Datum[] {
	const read: { datum: Datum; shifts: DatumShift[] }[] = [];
	for (const line of table.split('\n').filter((text) => text.trim() !== '')) {
		const cells = line.split('|').map((cell) => cell.trim());
		if (line.startsWith('\t')) read.at(-1)?.shifts.push(readShift(cells));
		else {
			const shifts: DatumShift[] = [];
			read.push({ datum: { ...readDatum(cells), shifts }, shifts });
		}
	}
	return read.map(({ datum }) => datum);
}

function readDatum([name = '', ellipsoid = '', names = '']: string[]): Omit<Datum, 'shifts'> {
	const [a = '', inverseFlattening = '', ...words] = ellipsoid.split(' ');
	return {
		name,
		ellipsoid: { name: words.join(' '), a: Number(a), inverseFlattening: Number(inverseFlattening) },
		names: names.split(' '),
	};
}

function readShift([epsg = '', operation = '', parameters = '', residual = '', bounds = '']: string[]): DatumShift {
	return {
		epsg: Number(epsg),
		operation,
		toWgs84: parameters.split(' ').map(Number),
		residualM: Number(residual),
		bounds: readBounds(bounds),
	};
}

function plainName(name: string): string {
	return name
		.replace(/^D_/i, '')
		.toLowerCase()
		.replaceAll('+', 'plus')
		.replace(/[^a-z0-9]/g, '');
}
