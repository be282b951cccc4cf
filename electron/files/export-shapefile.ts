/**
 * The register as a zipped shapefile in WGS 84 with UTF-8 texts.
 * Sources of the layout: ESRI Shapefile Technical Description, July 1998; dBASE III file structure, as the shapefile
 * literature describes it.
 */
import { zipSync } from 'fflate';
import { type ExportField, type ExportGeometry, type LeftOut, type Position, turnedParts } from './export-field.ts';
import { KIND_WORDS, OF_FIELD } from './left-out.ts';

const FILE_CODE = 9994;
const VERSION = 1000;
const POLYGON = 5;
const NULL_SHAPE = 0;
const HEADER_BYTES = 100;
/** ESRI well-known text of WGS 84. */
const WGS84 =
	'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';

type Shaped = { readonly geometry: ExportGeometry | null };
type Column<Row> = {
	/** At most ten letters. */
	readonly name: string;
	readonly type: 'C' | 'N';
	readonly length: number;
	readonly of: (row: Row) => string | number | null;
};

/** The longest text a table takes. */
const TEXT_BYTES = 254;
const DECIMALS = 6;

const fieldColumns: readonly Column<ExportField>[] = [
	{ name: 'name', type: 'C', length: TEXT_BYTES, of: (field) => field.name },
	{ name: 'code', type: 'C', length: TEXT_BYTES, of: (field) => field.code },
	{ name: 'mapped_ha', type: 'N', length: 19, of: (field) => field.mappedHa },
	{ name: 'meas_ha', type: 'N', length: 19, of: (field) => field.measuredHa },
	{ name: 'load_ha', type: 'N', length: 19, of: (field) => field.loadForHa },
	{ name: 'crop', type: 'C', length: TEXT_BYTES, of: (field) => field.crop },
	{ name: 'eppo_code', type: 'C', length: 12, of: (field) => field.eppoCode },
];

type LeftOutRow = LeftOut & { readonly field: string };

const leftOutColumns: readonly Column<LeftOutRow>[] = [
	{ name: 'kind', type: 'C', length: 20, of: ({ kind }) => KIND_WORDS[kind] },
	{ name: 'name', type: 'C', length: TEXT_BYTES, of: ({ label }) => label },
	{ name: OF_FIELD, type: 'C', length: TEXT_BYTES, of: ({ field }) => field },
	{ name: 'area_ha', type: 'N', length: 19, of: ({ areaHa }) => areaHa },
	{ name: 'width_m', type: 'N', length: 19, of: ({ widthM }) => widthM },
];

/**
 * `.shp`, `.shx`, `.dbf`, `.prj` and `.cpg` under one name in a zip archive, dated `at`. Strips and obstacles, where there
 * are any, stand in a layer of their own.
 */
export function fieldsAsShapefile(fields: readonly ExportField[], { name, at }: { name: string; at: Date }) {
	const leftOut = fields.flatMap((field) => field.leftOut.map((ground) => ({ ...ground, field: field.name })));
	return zipSync(
		{
			...layerFiles(name, fields, fieldColumns, at),
			...(leftOut.length > 0 ? layerFiles('not sprayed', leftOut, leftOutColumns, at) : {}),
		},
		{ mtime: at },
	);
}

function layerFiles<Row extends Shaped>(name: string, rows: readonly Row[], columns: readonly Column<Row>[], at: Date) {
	const { shp, shx } = shapes(rows);
	const text = new TextEncoder();
	return {
		[`${name}.shp`]: shp,
		[`${name}.shx`]: shx,
		[`${name}.dbf`]: table(rows, columns, at),
		[`${name}.prj`]: text.encode(WGS84),
		[`${name}.cpg`]: text.encode('UTF-8'),
	};
}

function shapes(rows: readonly Shaped[]): { shp: Buffer; shx: Buffer } {
	const records = rows.map(({ geometry }) =>
		geometry ? polygonRecord(turnedParts(geometry, 'clockwise').flat()) : nullRecord(),
	);
	const box = boxOf(rows.flatMap(({ geometry }) => (geometry ? turnedParts(geometry, 'clockwise').flat(2) : [])));
	const index = Buffer.alloc(records.length * 8);
	const numbered: Buffer[] = [];
	let at = HEADER_BYTES;
	for (const [place, content] of records.entries()) {
		const head = Buffer.alloc(8);
		head.writeInt32BE(place + 1, 0);
		head.writeInt32BE(content.length / 2, 4);
		index.writeInt32BE(at / 2, place * 8);
		index.writeInt32BE(content.length / 2, place * 8 + 4);
		numbered.push(head, content);
		at += 8 + content.length;
	}
	return {
		shp: Buffer.concat([header(at, box), ...numbered]),
		shx: Buffer.concat([header(HEADER_BYTES + index.length, box), index]),
	};
}

/** Outer rings clockwise, holes the other way: that alone says in this format which is which. */
function polygonRecord(rings: readonly (readonly Position[])[]): Buffer {
	const points = rings.flat();
	const content = Buffer.alloc(44 + rings.length * 4 + points.length * 16);
	content.writeInt32LE(POLYGON, 0);
	for (const [index, limit] of boxOf(points).entries()) content.writeDoubleLE(limit, 4 + index * 8);
	content.writeInt32LE(rings.length, 36);
	content.writeInt32LE(points.length, 40);
	let start = 0;
	for (const [index, ring] of rings.entries()) {
		content.writeInt32LE(start, 44 + index * 4);
		start += ring.length;
	}
	for (const [index, [lon = 0, lat = 0]] of points.entries()) {
		content.writeDoubleLE(lon, 44 + rings.length * 4 + index * 16);
		content.writeDoubleLE(lat, 52 + rings.length * 4 + index * 16);
	}
	return content;
}

function nullRecord(): Buffer {
	const content = Buffer.alloc(4);
	content.writeInt32LE(NULL_SHAPE, 0);
	return content;
}

function header(bytes: number, box: readonly number[]): Buffer {
	const head = Buffer.alloc(HEADER_BYTES);
	head.writeInt32BE(FILE_CODE, 0);
	head.writeInt32BE(bytes / 2, 24);
	head.writeInt32LE(VERSION, 28);
	head.writeInt32LE(POLYGON, 32);
	for (const [index, limit] of box.entries()) head.writeDoubleLE(limit, 36 + index * 8);
	return head;
}

/** West, south, east, north; zeros without points. */
function boxOf(points: readonly Position[]): [number, number, number, number] {
	if (points.length === 0) return [0, 0, 0, 0];
	const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
	for (const [lon = 0, lat = 0] of points) {
		box[0] = Math.min(box[0], lon);
		box[1] = Math.min(box[1], lat);
		box[2] = Math.max(box[2], lon);
		box[3] = Math.max(box[3], lat);
	}
	return box;
}

function table<Row>(records: readonly Row[], columns: readonly Column<Row>[], at: Date): Buffer {
	const rowBytes = 1 + columns.reduce((sum, { length }) => sum + length, 0);
	const head = Buffer.alloc(32 + columns.length * 32 + 1);
	head[0] = 3;
	head[1] = at.getUTCFullYear() - 1900;
	head[2] = at.getUTCMonth() + 1;
	head[3] = at.getUTCDate();
	head.writeUInt32LE(records.length, 4);
	head.writeUInt16LE(head.length, 8);
	head.writeUInt16LE(rowBytes, 10);
	for (const [index, { name, type, length }] of columns.entries()) {
		const place = 32 + index * 32;
		head.write(name, place, 'latin1');
		head.write(type, place + 11, 'latin1');
		head[place + 16] = length;
		head[place + 17] = type === 'N' ? DECIMALS : 0;
	}
	head[head.length - 1] = 0x0d;
	const rows = records.map((record) => {
		const row = Buffer.alloc(rowBytes, ' ');
		let place = 1;
		for (const { type, length, of } of columns) {
			const value = of(record);
			if (typeof value === 'number') row.write(value.toFixed(DECIMALS).padStart(length), place, 'latin1');
			else if (type === 'C' && value !== null) wholeLetters(value, length).copy(row, place);
			place += length;
		}
		return row;
	});
	return Buffer.concat([head, ...rows, Buffer.from([0x1a])]);
}

/** As much of a text as fits, never half a letter. Control characters would end a cell early. */
function wholeLetters(text: string, bytes: number): Buffer {
	// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
	const plain = Buffer.from(text.toWellFormed().replace(/[\u0000-\u001f\u007f]/g, ' '));
	let end = Math.min(plain.length, bytes);
	while (end < plain.length && ((plain[end] ?? 0) & 0xc0) === 0x80) end--;
	return plain.subarray(0, end);
}
