import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import { openBook } from '../../db/open-book.ts';
import { buildIfStale, program } from '../../electron/host/build.ts';
import { createRouter } from '../../electron/procedures/router.ts';
import { readWith } from '../../electron/reader/start-reader.ts';
import type { contract } from '../../shared/contract/contract.ts';
import type { BenchRow } from './row.ts';

const FIELDS = 10_000;
const RUNS = 5;
/** A national grid on an old datum, as ESRI programs write it: the shift to WGS 84 is not in the file. */
const RD_NEW =
	'PROJCS["RD_New",GEOGCS["GCS_Amersfoort",DATUM["D_Amersfoort",SPHEROID["Bessel_1841",6377397.155,299.1528128]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Double_Stereographic"],PARAMETER["False_Easting",155000.0],PARAMETER["False_Northing",463000.0],PARAMETER["Central_Meridian",5.38763888888889],PARAMETER["Scale_Factor",0.9999079],PARAMETER["Latitude_Of_Origin",52.1561605555556],UNIT["Meter",1.0]]';
/** Transforms once, measures on the ellipsoid, writes a GeoPackage: the fastest of the ways tried. */
const SAME_WORK =
	'SELECT *, ST_Area(geometry, 1) AS area FROM (SELECT name, code, mapped_ha, ST_Transform(geometry, 4326) AS geometry FROM fields LIMIT -1)';

/**
 * `fields.import` of a shapefile of 10,000 invented fields into new books, beside ogr2ogr reading the same file, reprojecting,
 * measuring on the ellipsoid and writing a GeoPackage. Both times are of whole runs: our reader's
 * start as well as ogr2ogr's.
 */
export async function importRow(): Promise<BenchRow> {
	// As the program does when it starts.
	readWith(join(await buildIfStale(program), 'app', 'reader.js'));
	const folder = mkdtempSync(join(tmpdir(), 'fillmark-bench-'));
	try {
		const path = writeShapefile(folder);
		const ours: number[] = [];
		const reference: number[] = [];
		// Turn by turn, so that what else the machine does weighs on both alike.
		for (let run = 0; run < RUNS; run++) {
			ours.push(await importOnce(path, join(folder, `books-${run}`)));
			const took = referenceOnce(path, join(folder, `reference-${run}.gpkg`));
			if (took !== null) reference.push(took);
		}
		const best = Math.min(...ours);
		const compared = reference.length > 0 ? Math.min(...reference) : null;
		return {
			name: `import of ${FIELDS} fields`,
			ours: best,
			reference: compared,
			ratio: compared === null ? null : best / compared,
			note:
				compared === null
					? 'no reference: ogr2ogr is not installed here (Debian: gdal-bin)'
					: 'parse, reproject from an old datum, check, measure, store; reference: ogr2ogr to GeoPackage with ST_Area',
		};
	} finally {
		rmSync(folder, { recursive: true, force: true });
	}
}

async function importOnce(path: string, folder: string): Promise<number> {
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(opened.problem.code);
	const context = { book: opened.value };
	const api = createRouterClient(createRouter(), { context }) as ContractRouterClient<typeof contract>;
	try {
		const start = performance.now();
		const { added } = await api.fields.import({ path });
		const took = performance.now() - start;
		if (added.length !== FIELDS) throw new Error(`${added.length} fields came in`);
		return took;
	} finally {
		opened.value.close();
	}
}

function referenceOnce(path: string, to: string): number | null {
	const start = performance.now();
	const ran = spawnSync('ogr2ogr', ['-f', 'GPKG', to, path, '-dialect', 'SQLite', '-sql', SAME_WORK]);
	return ran.status === 0 ? performance.now() - start : null;
}

type Field = { readonly name: string; readonly code: string; readonly ring: readonly [x: number, y: number][] };

/** 100 by 100 fields of 200 m, 16 to 80 points each, every side shared with the neighbour; rings clockwise as the format asks. */
function inventedFields(): Field[] {
	return Array.from({ length: FIELDS }, (_, field) => {
		const [column, row] = [field % 100, Math.floor(field / 100)];
		const ring = [
			...side(column, row, 'north'),
			...side(column, row + 1, 'east'),
			...side(column + 1, row, 'north').toReversed(),
			...side(column, row, 'east').toReversed(),
		];
		return {
			name: `Field ${field}`,
			code: `K${field}`,
			ring: ring.filter(([x, y], at) => at === 0 || x !== ring[at - 1]?.[0] || y !== ring[at - 1]?.[1]),
		};
	});
}

const sides = new Map<string, [number, number][]>();

/** The winding side that runs from a corner of the grid to the next, the same points for both fields beside it. */
function side(column: number, row: number, towards: 'east' | 'north'): [number, number][] {
	const name = `${column} ${row} ${towards}`;
	const known = sides.get(name);
	if (known) return known;
	const pieces = 4 + ((column * 7 + row * 13 + (towards === 'east' ? 0 : 5)) % 17);
	const points = Array.from({ length: pieces + 1 }, (_, piece): [number, number] => {
		const along = (200 * piece) / pieces;
		const aside = 9 * Math.sin((Math.PI * piece) / pieces) * Math.sin(piece + column + row);
		const [x, y] = towards === 'east' ? [along, aside] : [aside, along];
		return [millimetres(110_000 + column * 200 + x), millimetres(420_000 + row * 200 + y)];
	});
	sides.set(name, points);
	return points;
}

function millimetres(metres: number): number {
	return Math.round(metres * 1000) / 1000;
}

/** Source of the layout: ESRI Shapefile Technical Description, July 1998. */
function writeShapefile(folder: string): string {
	const fields = inventedFields();
	const records = fields.map(({ ring }, index) => polygonRecord(index + 1, ring));
	const shapes = Buffer.concat(records);
	const xs = fields.flatMap(({ ring }) => ring.map(([x]) => x));
	const ys = fields.flatMap(({ ring }) => ring.map(([, y]) => y));
	const [[west, east], [south, north]] = [minmax(xs), minmax(ys)];
	const box = [west, south, east, north];
	const index = Buffer.alloc(records.length * 8);
	let at = 100;
	for (const [place, record] of records.entries()) {
		index.writeInt32BE(at / 2, place * 8);
		index.writeInt32BE((record.length - 8) / 2, place * 8 + 4);
		at += record.length;
	}
	writeFileSync(join(folder, 'fields.shp'), Buffer.concat([header(shapes.length, box), shapes]));
	writeFileSync(join(folder, 'fields.shx'), Buffer.concat([header(index.length, box), index]));
	writeFileSync(join(folder, 'fields.dbf'), table(fields));
	writeFileSync(join(folder, 'fields.prj'), RD_NEW);
	writeFileSync(join(folder, 'fields.cpg'), 'UTF-8');
	return join(folder, 'fields.shp');
}

/** The least and the greatest; a list of half a million is too long for one call. */
function minmax(values: readonly number[]): [number, number] {
	return values.reduce<[number, number]>(
		([low, high], value) => [Math.min(low, value), Math.max(high, value)],
		[Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
	);
}

function header(contentBytes: number, box: readonly number[]): Buffer {
	const head = Buffer.alloc(100);
	head.writeInt32BE(9994, 0);
	head.writeInt32BE((100 + contentBytes) / 2, 24);
	head.writeInt32LE(1000, 28);
	head.writeInt32LE(5, 32);
	for (const [index, limit] of box.entries()) head.writeDoubleLE(limit, 36 + index * 8);
	return head;
}

function polygonRecord(number: number, ring: Field['ring']): Buffer {
	const record = Buffer.alloc(8 + 48 + ring.length * 16);
	record.writeInt32BE(number, 0);
	record.writeInt32BE((record.length - 8) / 2, 4);
	record.writeInt32LE(5, 8);
	const [west, east] = minmax(ring.map(([x]) => x));
	const [south, north] = minmax(ring.map(([, y]) => y));
	for (const [index, limit] of [west, south, east, north].entries()) record.writeDoubleLE(limit, 12 + index * 8);
	record.writeInt32LE(1, 44);
	record.writeInt32LE(ring.length, 48);
	for (const [index, [x, y]] of ring.entries()) {
		record.writeDoubleLE(x, 56 + index * 16);
		record.writeDoubleLE(y, 64 + index * 16);
	}
	return record;
}

/** Name, code and mapped area in hectares, as a dBASE III table. */
function table(fields: readonly Field[]): Buffer {
	const columns = [
		['name', 'C', 40, 0],
		['code', 'C', 12, 0],
		['mapped_ha', 'N', 12, 2],
	] as const;
	const head = Buffer.alloc(32 + columns.length * 32 + 1);
	const rowBytes = 1 + columns.reduce((sum, [, , length]) => sum + length, 0);
	head[0] = 3;
	head.writeUInt32LE(fields.length, 4);
	head.writeUInt16LE(head.length, 8);
	head.writeUInt16LE(rowBytes, 10);
	for (const [index, [name, type, length, decimals]] of columns.entries()) {
		head.write(name + '\0'.repeat(11 - name.length) + type, 32 + index * 32, 'latin1');
		head[48 + index * 32] = length;
		head[49 + index * 32] = decimals;
	}
	head[head.length - 1] = 0x0d;
	const rows = fields.map(({ name, code }) => ` ${name.padEnd(40)}${code.padEnd(12)}${'3.10'.padStart(12)}`).join('');
	return Buffer.concat([head, Buffer.from(`${rows}\x1a`, 'latin1')]);
}
