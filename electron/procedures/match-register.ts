import { currentBoundaries, type FieldWithFigures, listFields } from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { geodesicBetween } from '../../shared/core/geometry/geodesic.ts';
import { findOverlaps } from '../../shared/core/geometry/overlap.ts';
import type { Measured } from '../../shared/core/geometry/polygon-area.ts';
import { type Position, sameBoundary } from '../../shared/core/geometry/same-boundary.ts';
import { shortWay } from '../../shared/core/geometry/unrolled-ring.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { type BoundaryText, readBoundaryText } from '../files/boundary-text.ts';
import { boundingBox } from './boundary-figures.ts';

type Geometry = { readonly type: 'Polygon' | 'MultiPolygon'; readonly coordinates: unknown[] };

/** A record of a file with a boundary that can be measured. */
export type GoodRecord = {
	readonly record: number;
	readonly name: string;
	/** Whether the file names it; else the name is ours, after its place in the file, and says nothing of the ground. */
	readonly named: boolean;
	readonly code: string | null;
	readonly boundary: BoundaryText;
	readonly measured: Measured;
	readonly mappedHa: number | null;
	readonly crop: string | null;
	readonly eppoCode: string | null;
	readonly variety: string | null;
	/** All of it is too narrow for any machine. */
	readonly isSliver: boolean;
	/** What was done to its boundary, in words; empty where it stands as in the file. */
	readonly repaired: readonly string[];
	/** Its area before that; null where there was none. */
	readonly unrepairedM2: number | null;
};

export type Match = {
	readonly found: FieldWithFigures;
	readonly by: 'code' | 'name' | 'overlap';
};

export function comparison({ by, found: { boundary } }: Match) {
	return { matchedBy: by, ...(boundary ? { measuredBeforeHa: toHectares(boundary.areaM2) } : {}) };
}

/** A boundary that lies in force point by point, but for what rounding takes, is no new measurement. */
export function sameAsBefore(
	{ boundary, repaired }: GoodRecord,
	{ found }: Match,
	before: ReadonlyMap<string, string>,
): { sameBoundary?: true } {
	const inForce = before.get(found.field.id);
	if (repaired.length > 0 || inForce === undefined) return {};
	const same = inForce === boundary.geoJson || sameBoundary(partsOf(inForce), partsOf(boundary.geoJson));
	return same ? { sameBoundary: true } : {};
}

function partsOf(geoJson: string): Position[][][] {
	const { type, coordinates } = readBoundaryText({ geoJson });
	return (type === 'Polygon' ? [coordinates] : coordinates) as Position[][][];
}

/** A field of the register with a record's name or code, but on ground far from the record's. */
export type FarNamesake = {
	readonly record: number;
	readonly by: 'code' | 'name';
	readonly found: FieldWithFigures;
	readonly km: number;
};

/** Ground does not move: farther away, an equal name or code is likely another farm's field. Common practice. */
const SAME_PLACE_KM = 5;

/** Later than any day: only fields that are farmed now. */
const EVER = '9999-12-31';
/** Half of the smaller field must be shared before ground alone says that two boundaries are the same field. */
const SAME_FIELD_SHARE = 0.5;

/**
 * Which register field a record replaces: the one with its code, else its name, else the ground it covers. Names and
 * codes that repeat, in the file or the register, match nothing by themselves, nor do names the file does not give. An equal
 * name or code more than 5 km away matches only where a person said so (`sameThoughFar`, record numbers).
 */
export async function matchRegister(
	db: ReadDb,
	good: readonly GoodRecord[],
	sameThoughFar: readonly number[] = [],
): Promise<{ matches: Map<number, Match>; far: FarNamesake[] }> {
	const matches = new Map<number, Match>();
	const far: FarNamesake[] = [];
	const register = await listFields(db, 0, { farmedAfter: EVER });
	if (register.length === 0) return { matches, far };
	const taken = new Set<string>();
	const fieldById = new Map(register.map((row) => [row.field.id, row]));
	const take = (record: number, id: string, by: Match['by']) => {
		const found = fieldById.get(id);
		if (!found) return;
		matches.set(record, { found, by });
		taken.add(id);
	};
	for (const by of ['code', 'name'] as const) {
		const inRegister = Map.groupBy(register, ({ field }) => field[by] ?? '');
		const inFile = Map.groupBy(good, (row) => (by === 'name' && !row.named ? '' : (row[by] ?? '')));
		for (const [text, rows] of inFile) {
			const [row] = rows;
			const fields = inRegister.get(text) ?? [];
			const [found] = fields;
			if (text === '' || rows.length !== 1 || fields.length !== 1 || !row || !found) continue;
			if (matches.has(row.record) || taken.has(found.field.id)) continue;
			const km = kmBetween(row.boundary, found.boundary);
			if (km > SAME_PLACE_KM) far.push({ record: row.record, by, found, km });
			if (km <= SAME_PLACE_KM || sameThoughFar.includes(row.record)) take(row.record, found.field.id, by);
		}
	}
	const open = good.filter((row) => !matches.has(row.record));
	if (open.length === 0) return { matches, far };
	const boxes = open.map((row) => row.boundary);
	const near = (await currentBoundaries(db)).filter(
		(row) =>
			!taken.has(row.id) &&
			boxes.some((box) => box.west < row.east && box.east > row.west && box.south < row.north && box.north > row.south),
	);
	const areaM2 = new Map<string, number>([
		...near.map((row) => [row.id, row.areaM2] as const),
		...open.map((row) => [`record ${row.record}`, toSquareMetres(row.measured.areaHa)] as const),
	]);
	const shapes = [
		...near.map((row) => ({ id: row.id, geometry: JSON.parse(row.geometry) as Geometry })),
		...open.map((row) => ({ id: `record ${row.record}`, geometry: readBoundaryText(row.boundary) })),
	];
	const pairs = findOverlaps(shapes, { among: new Set(open.map((row) => `record ${row.record}`)) });
	for (const { one, other, m2 } of pairs.toSorted((a, b) => b.m2 - a.m2)) {
		const [record, id] = one.startsWith('record ') ? [one, other] : [other, one];
		if (id.startsWith('record ') || taken.has(id) || matches.has(Number(record.slice(7)))) continue;
		if (m2 >= SAME_FIELD_SHARE * Math.max(areaM2.get(id) ?? 0, areaM2.get(record) ?? 0)) {
			take(Number(record.slice(7)), id, 'overlap');
		}
	}
	return { matches, far };
}

/** A boundary as the register keeps it. */
export function boundaryTextOf(geometry: Geometry): BoundaryText {
	return { geoJson: JSON.stringify(geometry), ...boundingBox(geometry.coordinates) };
}

type Box = Pick<BoundaryText, 'west' | 'south' | 'east' | 'north'>;

/** From middle to middle; 0 for a field without a boundary, which may lie anywhere. */
function kmBetween(one: Box, other: Box | null): number {
	if (!other) return 0;
	const [lat, otherLat] = [one, other].map(({ south, north }) => (south + north) / 2) as [number, number];
	const [lon, otherLon] = [one, other].map(({ west, east }) => (west + east) / 2) as [number, number];
	const line = geodesicBetween(lat, otherLat, shortWay(otherLon - lon));
	return line ? line.lengthM / 1000 : Number.POSITIVE_INFINITY;
}
