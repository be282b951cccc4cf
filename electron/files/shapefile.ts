/// <reference path="./shpjs.d.ts" />
/** Shapefiles: the container is checked here record by record, each sound record is then read by shpjs on its own. */
import { parseShp } from 'shpjs';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { type DbfTable, openTable } from './dbf-table.ts';
import type { FileWarning, RawLayer, RawPolygon, RawRecord, Ring, SystemClue } from './layer.ts';
import { importLimits } from './limits.ts';

/** The files of one shapefile, by extension. */
export type ShapefileParts = {
	readonly name: string;
	readonly shp: Buffer;
	readonly shx: Buffer | null;
	readonly dbf: Buffer | null;
	readonly prj: Buffer | null;
	readonly cpg: Buffer | null;
};

const FILE_CODE = 9994;
const HEADER_BYTES = 100;
const POLYGON = 5;
const NULL_SHAPE = 0;
/** Shape types by their code. Source: ESRI Shapefile Technical Description, July 1998, tables 1 and 2. */
const shapeNames: Readonly<Record<number, string>> = {
	1: 'points',
	3: 'lines',
	8: 'groups of points',
	31: 'surface patches',
};

type Slot = { readonly at: number; readonly bytes: number };

/** Opens a shapefile. Refuses `file.damaged` for a truncated or contradictory container, `file.noFields` for points, lines and none. */
export function openShapefile(parts: ShapefileParts, encoding: string | undefined): Result<RawLayer> {
	const file = `${parts.name}.shp`;
	const slots = findRecords(file, parts.shp);
	if (!slots.ok) return slots;
	const table = parts.dbf
		? openTable(`${parts.name}.dbf`, parts.dbf, parts.cpg?.toString('latin1').trim() ?? null, encoding)
		: null;
	if (table && !table.ok) return table;
	const rows = table?.value ?? null;
	const count = slots.value.length;
	const outlines = onceEach(slots.value, ({ at, bytes }) => {
		const content = parts.shp.subarray(at, at + bytes);
		return faultOf(content) === null ? ringsOf(content) : [];
	});
	if (rows && rows.rows !== count) {
		return refuse('file.damaged', {
			file,
			why: `it holds ${count} boundaries, its attribute table (.dbf) ${rows.rows} rows`,
		});
	}
	return ok({
		name: parts.name,
		clue: systemClue(parts.prj),
		encoding: rows?.encoding ?? 'none',
		readings: rows?.readings ?? [],
		attributes: rows?.attributes ?? [],
		warnings: [...missingTable(parts), ...(rows?.warnings ?? []), ...indexWarnings(parts.shx, slots.value)],
		outlines: () => slots.value.map((_, index) => outlines(index)),
		records: () => readRecords(parts.shp, slots.value, { table: rows, outlines }),
	});
}

function findRecords(file: string, shp: Buffer): Result<Slot[]> {
	if (shp.length < HEADER_BYTES) return refuse('file.damaged', { file, why: `it has only ${shp.length} bytes` });
	if (shp.readInt32BE(0) !== FILE_CODE)
		return refuse('file.damaged', { file, why: 'its header is not that of a shapefile' });
	const bytes = shp.readInt32BE(24) * 2;
	if (bytes > shp.length)
		return refuse('file.damaged', { file, why: `it is cut off: ${shp.length} of ${bytes} bytes are there` });
	const type = shp.readInt32LE(32);
	if (baseType(type) !== POLYGON) {
		const known = shapeNames[baseType(type)];
		if (!known) return refuse('file.damaged', { file, why: 'its header names no kind of shape' });
		return refuse('file.noFields', { file, why: `it holds ${known}, not areas` });
	}
	const slots: Slot[] = [];
	let at = HEADER_BYTES;
	while (at < bytes) {
		const length = at + 8 <= bytes ? shp.readInt32BE(at + 4) * 2 : -1;
		if (length < 4 || at + 8 + length > bytes) {
			return refuse('file.damaged', { file, why: `record ${slots.length + 1} runs past the end of the file` });
		}
		slots.push({ at: at + 8, bytes: length });
		if (slots.length > importLimits.records)
			return refuse('file.tooBig', { file, why: `it holds more than ${importLimits.records} boundaries` });
		at += 8 + length;
	}
	if (slots.length === 0) return refuse('file.noFields', { file, why: 'it is an empty layer' });
	return ok(slots);
}

type Beside = { readonly table: DbfTable | null; readonly outlines: (index: number) => Ring[] };

function* readRecords(shp: Buffer, slots: readonly Slot[], { table, outlines }: Beside): Generator<RawRecord> {
	for (const [index, slot] of slots.entries()) {
		const record = index + 1;
		const row = table?.row(index);
		const values = row?.values ?? [];
		const content = shp.subarray(slot.at, slot.at + slot.bytes);
		const refused = row?.deleted ? 'it is marked as deleted in the attribute table' : faultOf(content);
		if (refused) yield { record, polygons: [], values, refused };
		else yield { record, values, refused: null, ...readPolygons(content, record, outlines(index)) };
	}
}

/** What is worked out for an item when it is first asked for, and kept. */
function onceEach<Item, Answer>(items: readonly Item[], work: (item: Item) => Answer): (index: number) => Answer {
	const kept = new Map<number, Answer>();
	return (index) => {
		const known = kept.get(index);
		if (known !== undefined) return known;
		const answer = work(items[index] as Item);
		kept.set(index, answer);
		return answer;
	};
}

/** What is wrong with a record, from its counts alone. */
function faultOf(content: Buffer): string | null {
	const type = content.readInt32LE(0);
	if (type === NULL_SHAPE) return 'it has no boundary (null shape)';
	if (baseType(type) !== POLYGON) return `it is not an area (shape type ${type})`;
	if (content.length < 44) return 'its boundary is cut off';
	const parts = content.readInt32LE(36);
	const points = content.readInt32LE(40);
	if (parts === 0 || points === 0) return 'its boundary is empty';
	if (parts < 0 || points < 0 || parts > points) return `it claims ${parts} rings of ${points} points`;
	if (44 + parts * 4 + points * 16 > content.length) return `it claims ${points} points, more than it has room for`;
	if (parts > importLimits.ringsPerRecord)
		return `it has ${parts} rings, at most ${importLimits.ringsPerRecord} are read`;
	for (let part = 0, last = -1; part < parts; part++) {
		const start = content.readInt32LE(44 + part * 4);
		if (start < 0 || start >= points || start <= last || (part === 0 && start !== 0))
			return 'its rings are out of order';
		last = start;
	}
	return null;
}

/** Hands one checked record to shpjs as a flat polygon (heights and measures stand behind the points and are left off). */
function readPolygons(
	content: Buffer,
	record: number,
	outlines: readonly Ring[],
): { polygons: RawPolygon[]; warnings: FileWarning[] } {
	// One ring needs no sorting into parts and holes.
	if (outlines.length === 1) return { polygons: [outlines], warnings: [] };
	const bytes = 44 + content.readInt32LE(36) * 4 + content.readInt32LE(40) * 16;
	const alone = Buffer.alloc(HEADER_BYTES + 8 + bytes);
	alone.writeInt32BE(FILE_CODE, 0);
	alone.writeInt32BE(alone.length / 2, 24);
	alone.writeInt32LE(1000, 28);
	alone.writeInt32LE(POLYGON, 32);
	alone.writeInt32BE(1, HEADER_BYTES);
	alone.writeInt32BE(bytes / 2, HEADER_BYTES + 4);
	content.copy(alone, HEADER_BYTES + 8, 0, bytes);
	alone.writeInt32LE(POLYGON, HEADER_BYTES + 8);
	const [geometry] = parseShp(alone);
	const nested = geometry ? (geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates) : [];
	const polygons = nested.map((rings) => rings.map(flatRing));
	const kept = polygons.flat().reduce((sum, ring) => sum + ring.length / 2, 0);
	if (kept === content.readInt32LE(40)) return { polygons, warnings: [] };
	const stray = strayRings(outlines, polygons);
	const message = `Record ${record} has a hole that lies in none of its boundaries. It was taken as a part of the field.`;
	return {
		polygons: [...polygons, ...stray.map((ring) => [ring])],
		warnings: [{ code: 'geometry.strayHole', message, record }],
	};
}

/** shpjs leaves out a hole that no outer ring surrounds; nothing may be lost without a word. */
function strayRings(outlines: readonly Ring[], polygons: readonly RawPolygon[]): Ring[] {
	const key = (ring: Ring) => `${ring.length} ${ring[0]} ${ring[1]}`;
	const kept = new Map<string, number>();
	for (const ring of polygons.flat()) kept.set(key(ring), (kept.get(key(ring)) ?? 0) + 1);
	return outlines.filter((ring) => {
		const left = kept.get(key(ring)) ?? 0;
		kept.set(key(ring), left - 1);
		return left < 1;
	});
}

function flatRing(points: readonly (readonly number[])[]): Ring {
	const ring = new Float64Array(points.length * 2);
	for (const [index, [x = Number.NaN, y = Number.NaN]] of points.entries()) {
		ring[index * 2] = x;
		ring[index * 2 + 1] = y;
	}
	return ring;
}

/** The rings of a checked record as they stand, outer rings and holes alike. */
function ringsOf(content: Buffer): Ring[] {
	const parts = content.readInt32LE(36);
	const points = content.readInt32LE(40);
	const starts = Array.from({ length: parts }, (_, part) => content.readInt32LE(44 + part * 4));
	return starts.map((start, part) => {
		const at = content.byteOffset + 44 + parts * 4 + start * 16;
		return new Float64Array(content.buffer.slice(at, at + ((starts[part + 1] ?? points) - start) * 16));
	});
}

function baseType(type: number): number {
	return type === 31 ? type : type % 10;
}

function systemClue(prj: Buffer | null): SystemClue {
	if (!prj) return { kind: 'none', why: 'it has no .prj' };
	return { kind: 'text', text: prj.toString('utf8').replace(/^\ufeff/, '') };
}

function missingTable({ name, dbf }: ShapefileParts): FileWarning[] {
	if (dbf) return [];
	return [{ code: 'attributes.missing', message: `${name}.dbf is missing: the boundaries come without names.` }];
}

/** The index (.shx) is only compared: the boundaries are read from the .shp. */
function indexWarnings(shx: Buffer | null, slots: readonly Slot[]): FileWarning[] {
	if (!shx) return [];
	const agrees =
		shx.length === HEADER_BYTES + slots.length * 8 &&
		slots.every(({ at, bytes }, index) => {
			const place = HEADER_BYTES + index * 8;
			return shx.readInt32BE(place) * 2 === at - 8 && shx.readInt32BE(place + 4) * 2 === bytes;
		});
	if (agrees) return [];
	return [
		{
			code: 'index.disagrees',
			message: `The index (.shx) does not fit the .shp. All ${slots.length} records of the .shp were read.`,
		},
	];
}
