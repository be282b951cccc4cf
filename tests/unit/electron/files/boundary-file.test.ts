import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { MultiPolygon, Polygon } from 'geojson';
import { afterAll, describe, expect, test } from 'vitest';
import {
	type BoundaryFile,
	type BoundaryRecord,
	type ReadingOptions,
	readBoundaryFile,
} from '../../../../electron/files/boundary-file.ts';
import { guessAttributes } from '../../../../electron/files/guess-attributes.ts';
import {
	farm,
	farmGeoJson,
	farmKml,
	farmShapefile,
	farmTaskData,
	inDegrees,
	makeDbf,
	makeShp,
	makeZip,
	type Point,
	utm31Prj,
} from '../../../fixtures/make-boundaries.ts';

/* The invented farm in every format must come out the same: eight fields, one with a hole, one in two parts. */

const fixtures = join(import.meta.dirname, '../../../fixtures/boundaries');
const scratch = mkdtempSync(join(tmpdir(), 'boundary-file-'));
afterAll(() => rmSync(scratch, { recursive: true }));

function put(name: string, content: Buffer | string): string {
	const path = join(scratch, name);
	mkdirSync(join(path, '..'), { recursive: true });
	writeFileSync(path, content);
	return path;
}

async function readWell(path: string, options: ReadingOptions = {}): Promise<BoundaryFile> {
	const result = await readBoundaryFile(path, options);
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}

async function refusal(path: string, options: ReadingOptions = {}) {
	const result = await readBoundaryFile(path, options);
	return result.ok ? null : result.problem;
}

const names = farm.map(({ name }) => name);
const totalHa = farm.reduce((sum, { hectares }) => sum + hectares, 0);

function shapeOf(record: BoundaryRecord | undefined) {
	return record?.boundary ? (JSON.parse(record.boundary.geoJson) as Polygon | MultiPolygon) : null;
}

function summary(file: BoundaryFile) {
	const guess = guessAttributes(
		file,
		file.records.map(({ measured }) => measured?.areaHa ?? null),
	);
	const rings = file.records.map((record) => {
		const geometry = shapeOf(record);
		return geometry?.type === 'Polygon'
			? [geometry.coordinates.length]
			: geometry?.coordinates.map((part) => part.length);
	});
	return {
		names: file.records.map(({ properties }) => properties[guess.name ?? '']),
		codes: file.records.map(({ properties }) => properties[guess.code ?? '']),
		unit: guess.mappedAreaUnit,
		rings,
		warnings: file.warnings,
	};
}

const whole = {
	names,
	codes: farm.map(({ code }) => code),
	rings: [[1], [1], [2], [1], [1], [1, 1], [1], [1]],
	warnings: [],
};

/** The farm as a GeoPackage, written with the library's own connection. */
function farmGeoPackage(
	name: string,
	{ layers = ['parcelles'], srsId = 32631 }: { layers?: string[]; srsId?: number } = {},
): string {
	const path = join(scratch, name);
	const database = new Database(path);
	database.pragma(`application_id = ${0x47504b47}`);
	database.exec(`
		CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT, srs_id INTEGER PRIMARY KEY, organization TEXT, organization_coordsys_id INTEGER, definition TEXT);
		CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT, identifier TEXT, srs_id INTEGER);
		CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT, geometry_type_name TEXT, srs_id INTEGER, z INTEGER, m INTEGER);
		INSERT INTO gpkg_spatial_ref_sys VALUES ('undefined', -1, 'NONE', -1, 'undefined'), ('UTM 31N', 32631, 'EPSG', 32631, 'undefined'), ('own', 100001, 'NONE', 100001, '${utm31Prj}');`);
	for (const layer of layers) {
		database.exec(`CREATE TABLE "${layer}" (fid INTEGER PRIMARY KEY, geom BLOB, nom TEXT, code TEXT, surf_m2 INTEGER)`);
		database.prepare('INSERT INTO gpkg_contents VALUES (?, ?, ?, ?)').run(layer, 'features', layer, srsId);
		database
			.prepare('INSERT INTO gpkg_geometry_columns VALUES (?, ?, ?, ?, 0, 0)')
			.run(layer, 'geom', 'MULTIPOLYGON', srsId);
		const insert = database.prepare(`INSERT INTO "${layer}" (geom, nom, code, surf_m2) VALUES (?, ?, ?, ?)`);
		for (const { parts, name: nom, code, hectares } of farm)
			insert.run(geoPackageBlob(parts), nom, code, Math.round(hectares * 10_000));
	}
	database.close();
	return path;
}

/** Big-endian, with an envelope, and heights in every second field. */
function geoPackageBlob(parts: readonly (readonly (readonly Point[])[])[]): Buffer {
	const head = Buffer.alloc(8 + 32);
	head.write('GP', 0, 'latin1');
	head.writeUInt8(0b0000_0010, 3);
	const numbers = (...counts: number[]) => {
		const bytes = Buffer.alloc(counts.length * 4);
		for (const [index, count] of counts.entries()) bytes.writeUInt32BE(count, index * 4);
		return bytes;
	};
	const polygons = parts.map((rings, part) => {
		const z = part === 0;
		const lines = rings.map((ring) => {
			const closed = [...ring, ...ring.slice(0, 1)];
			const points = closed.map(([x, y]) => {
				const bytes = Buffer.alloc(z ? 24 : 16);
				bytes.writeDoubleBE(x, 0);
				bytes.writeDoubleBE(y, 8);
				return bytes;
			});
			return Buffer.concat([numbers(closed.length), ...points]);
		});
		return Buffer.concat([Buffer.from([0]), numbers(z ? 1003 : 3, rings.length), ...lines]);
	});
	return Buffer.concat([head, Buffer.from([0]), numbers(6, parts.length), ...polygons]);
}

describe('the farm in every format', () => {
	const kmz = () => put('farm.kmz', makeZip([{ name: 'doc.kml', content: Buffer.from(farmKml()) }]));
	const zipOf = (name: string, content: string) =>
		put(`${name.replaceAll('/', '-')}.zip`, makeZip([{ name, content: Buffer.from(content) }]));

	test.each([
		['zipped shapefile', () => join(fixtures, 'parcelles.zip')],
		['GeoJSON', () => join(fixtures, 'parcelles.geojson')],
		['GeoJSON in an archive', () => zipOf('a/farm.geojson', farmGeoJson())],
		['KML', () => join(fixtures, 'parcelles.kml')],
		['KMZ', kmz],
		['GeoPackage', () => farmGeoPackage('farm.gpkg')],
		['GeoPackage with a system of its own', () => farmGeoPackage('own.gpkg', { srsId: 100_001 })],
		['task data, edition 3', () => join(fixtures, 'edition-3/TASKDATA.XML')],
		['task data, edition 4, as a folder', () => join(fixtures, 'edition-4')],
		['task data in an archive', () => zipOf('TASKDATA/TASKDATA.XML', farmTaskData(3))],
	])('%s', async (_, path) => {
		const file = await readWell(path());
		expect(summary(file)).toEqual({ ...whole, unit: expect.stringMatching(/^(ha|m2)$/) });
		const areas = file.records.map(({ measured }) => measured?.areaHa);
		// The scale of UTM on its central meridian is 0.9996: the planar figures are 0.08 % small.
		expect(areas).toEqual(farm.map(({ hectares }) => expect.closeTo(hectares * 1.0008, 1)));
	});

	test('KML with spaces around its commas is read the same', async () => {
		const spaced = farmKml().replace(/,(?=[\d-])/g, ' , ');
		expect(summary(await readWell(put('spaced.kml', spaced)))).toEqual({ ...whole, unit: 'ha' });
	});

	test('the planar area of the file shows the scale of its grid', async () => {
		const { gridScalePpm, crs, records } = await readWell(join(fixtures, 'parcelles.zip'));
		expect([crs, gridScalePpm, records[0]?.planarAreaM2]).toEqual([
			{ name: 'WGS_1984_UTM_Zone_31N', epsg: 32631, datum: 'WGS 84' },
			expect.closeTo(-792, 0),
			82_162.5,
		]);
	});

	test('the kept files are what their script writes', () => {
		const kept = ['parcelles.geojson', 'parcelles.kml', 'edition-3/TASKDATA.XML', 'edition-4/TASKDATA.XML'];
		const written = [farmGeoJson(), farmKml(), farmTaskData(3), farmTaskData(4)];
		expect(kept.map((name) => readFileSync(join(fixtures, name), 'utf8'))).toEqual(written);
	});
});

/** What a person is told of a layer of the whole farm before it is chosen. */
function holding(layer: string) {
	const columns = expect.arrayContaining([expect.stringMatching(/nom|name/i)]);
	return { layer, records: farm.length, areas: farm.length, more: false, columns };
}

describe('loose shapefiles', () => {
	const parts = farmShapefile();
	for (const [extension, content] of Object.entries(parts)) {
		put(`loose/Farm.${extension.toUpperCase()}`, content);
		put(`both/farm.${extension}`, content);
	}

	test.each(['Farm.SHP', 'Farm.DBF', 'Farm.SHX', 'Farm.PRJ'])('%s leads to the whole, in any case', async (name) => {
		expect(summary(await readWell(join(scratch, 'loose', name)))).toEqual({ ...whole, unit: 'ha' });
	});

	test('a folder with one boundary file is that file; with several the name is asked for', async () => {
		put('both/farm.kml', farmKml());
		expect(summary(await readWell(join(scratch, 'loose')))).toEqual({ ...whole, unit: 'ha' });
		expect(await refusal(join(scratch, 'both'))).toEqual({
			code: 'file.layerUnclear',
			details: { file: 'both', choices: [holding('farm.kml'), holding('farm.shp')] },
		});
		expect((await readWell(join(scratch, 'both'), { layer: 'farm.kml' })).crs.epsg).toBe(4326);
	});

	test('dates stay days, whole numbers too long for a number stay text', async () => {
		const columns = [
			{ name: 'SOWN', type: 'D', length: 8 },
			{ name: 'ID', type: 'N', length: 20 },
			{ name: 'OK', type: 'L', length: 1 },
			{ name: '__proto__', type: 'C', length: 5 },
		] as const;
		const dbf = makeDbf(columns, [['20260329', '12345678901234567890', 'T', 'safe']]);
		const shape = makeShp([farm[0]?.parts[0] ?? []]);
		const path = put(
			'odd.zip',
			makeZip(
				Object.entries({ ...shape, dbf, prj: parts.prj }).map(([extension, content]) => ({
					name: `odd.${extension}`,
					content,
				})),
			),
		);
		const { records, attributes } = await readWell(path);
		expect([
			Object.entries(records[0]?.properties ?? {}),
			attributes.map(({ kind }) => kind),
			Object.getPrototypeOf({}) === Object.prototype,
		]).toEqual([
			[
				['SOWN', '2026-03-29'],
				['ID', '12345678901234567890'],
				['OK', 'yes'],
				['__proto__', 'safe'],
			],
			['date', 'number', 'text', 'text'],
			true,
		]);
	});

	test.each([15, 25] as const)(
		'shapes of type %i lose their heights and measures, null shapes are refused by number',
		async (type) => {
			const shapes = [farm[0]?.parts[0] ?? [], null, farm[2]?.parts[0] ?? []];
			const { shp, shx } = makeShp(shapes, type);
			const path = put(
				`high${type}.zip`,
				makeZip([
					{ name: 'a.shp', content: shp },
					{ name: 'a.shx', content: shx },
					{ name: 'a.prj', content: parts.prj },
				]),
			);
			const { records, warnings } = await readWell(path);
			expect([
				records.map((record) => record.refused ?? shapeOf(record)?.coordinates.length),
				warnings.map(({ code }) => code),
			]).toEqual([[1, 'it has no boundary (null shape)', 2], ['attributes.missing']]);
		},
	);

	test('a hole that lies in no boundary becomes a part and is told', async () => {
		const outer = farm[0]?.parts[0]?.[0] ?? [];
		const hole = (farm[4]?.parts[0]?.[0] ?? []).toReversed();
		const { shp } = makeShp([[outer, hole]]);
		const path = put(
			'stray.zip',
			makeZip([
				{ name: 'a.shp', content: shp },
				{ name: 'a.prj', content: parts.prj },
			]),
		);
		const { records, warnings } = await readWell(path);
		expect([shapeOf(records[0])?.type, records[0]?.measured?.areaHa, warnings.map(({ code }) => code)]).toEqual([
			'MultiPolygon',
			expect.closeTo(12.97 * 1.0008, 1),
			['attributes.missing', 'geometry.strayHole'],
		]);
	});

	test('.shp and .dbf of different lengths are refused', async () => {
		put('uneven/farm.shp', parts.shp);
		put('uneven/farm.prj', parts.prj);
		put('uneven/farm.dbf', makeDbf([{ name: 'N', type: 'C', length: 2 }], [['1'], ['2']]));
		expect(await refusal(join(scratch, 'uneven/farm.shp'))).toEqual({
			code: 'file.damaged',
			details: { file: 'farm.shp', why: 'it holds 8 boundaries, its attribute table (.dbf) 2 rows' },
		});
	});
});

describe('encodings', () => {
	const { shp, prj } = farmShapefile();
	const table = (encoding: 'latin1' | 'utf8', languageDriver = 0) =>
		makeDbf(
			[{ name: 'NOM', type: 'C', length: 40 }],
			farm.map(({ name }) => [name]),
			{ encoding, languageDriver },
		);
	const zipWith = (name: string, dbf: Buffer, cpg?: string) =>
		put(
			`${name}.zip`,
			makeZip([
				{ name: 'a.shp', content: shp },
				{ name: 'a.prj', content: prj },
				{ name: 'a.dbf', content: dbf },
				...(cpg ? [{ name: 'a.cpg', content: Buffer.from(cpg) }] : []),
			]),
		);

	test.each([
		['the .cpg says so', zipWith('e1', table('utf8'), 'UTF-8'), {}, 'utf-8', []],
		['the .cpg says so', zipWith('e2', table('latin1'), 'ANSI 1252'), {}, 'windows-1252', []],
		['the .cpg lies', zipWith('e3', table('latin1'), 'UTF-8'), {}, 'windows-1252', ['encoding.wrong']],
		['the language driver says so', zipWith('e4', table('latin1', 0x57)), {}, 'windows-1252', []],
		['nothing says so', zipWith('e5', table('utf8')), {}, 'utf-8', ['encoding.guessed']],
		['nothing says so', zipWith('e6', table('latin1')), {}, 'windows-1252', ['encoding.guessed']],
		['the user says so', zipWith('e7', table('latin1'), 'UTF-8'), { encoding: 'ISO-8859-1' }, 'windows-1252', []],
	])('%s (%#)', async (_, path, options, encoding, codes) => {
		const { records, encoding: found, warnings } = await readWell(path, options);
		expect([records.map(({ properties }) => properties['NOM']), found, warnings.map(({ code }) => code)]).toEqual([
			names,
			encoding,
			codes,
		]);
	});

	test('an encoding nobody knows is refused', async () => {
		expect(await refusal(join(fixtures, 'parcelles.zip'), { encoding: 'runes' })).toEqual({
			code: 'input.invalid',
			details: { path: 'encoding', why: 'runes is not an encoding' },
		});
	});
});

describe('reference systems', () => {
	const { shp, dbf } = farmShapefile();
	const withPrj = (name: string, prj: string | null) =>
		put(
			`${name}.zip`,
			makeZip([
				{ name: 'a.shp', content: shp },
				{ name: 'a.dbf', content: dbf },
				...(prj === null ? [] : [{ name: 'a.prj', content: Buffer.from(prj) }]),
			]),
		);

	test('without a .prj the choices put the fields somewhere sensible, with the area they would have', async () => {
		const problem = await refusal(withPrj('noprj', null));
		const choices = problem?.details['choices'] as { crs: string; totalHa: number; centre: number[] }[];
		const right = choices.find(({ crs }) => crs === 'EPSG:25831');
		expect([problem?.code, right]).toEqual([
			'file.crsUnknown',
			{
				crs: 'EPSG:25831',
				name: 'ETRS89 / UTM zone 31N',
				totalHa: expect.closeTo(totalHa * 1.0008, 1),
				centre: [expect.closeTo(2.76, 1), expect.closeTo(50.2, 1)],
			},
		]);
		expect(choices.every(({ totalHa }) => totalHa > 1)).toBe(true);
		const read = await readWell(withPrj('noprj', null), { crs: 'EPSG:25831' });
		expect(summary(read)).toEqual({ ...whole, unit: 'ha' });
	});

	test('a file that says the wrong system can be asked about, with the area in each; what it says is marked', async () => {
		const problem = await refusal(withPrj('wrong', utm31Prj), { crs: 'ask' });
		const choices = problem?.details['choices'] as { crs: string; totalHa: number; inFile?: true }[];
		expect([problem?.code, problem?.details['crs']]).toEqual(['file.crsAsked', 'WGS 84 / UTM zone 31N']);
		expect(choices.filter(({ inFile }) => inFile).map(({ crs }) => crs)).toEqual(['EPSG:32631']);
		expect(choices.find(({ crs }) => crs === 'EPSG:25831')?.totalHa).toBeCloseTo(totalHa * 1.0008, 1);
		const odd = withPrj('odd', utm31Prj.replace('D_WGS_1984', 'D_Atlantis'));
		expect((await refusal(odd, { crs: 'ask' }))?.code).toBe('file.crsAsked');
		expect((await refusal(withPrj('none', null), { crs: 'ask' }))?.code).toBe('file.crsUnknown');
	});

	const points = Buffer.from(shp);
	points.writeInt32LE(1, 32);
	const trees = { name: 'trees.shp', content: points };

	test('a layer without areas is named with its reason', async () => {
		const layers = ['fields', 'more'].map((name) => ({ name: `${name}.shp`, content: shp }));
		const path = put('points-too.zip', makeZip([...layers, trees]));
		const why = 'it holds points, not areas';
		const held = { records: farm.length, areas: farm.length, more: false, columns: [] };
		expect((await refusal(path))?.details['choices']).toEqual([
			{ layer: 'fields', ...held },
			{ layer: 'more', ...held },
			{ layer: 'trees', why },
		]);
	});

	test('the only layer with fields is read, and the others are named; one that is damaged is asked about', async () => {
		const prj = { name: 'fields.prj', content: Buffer.from(utm31Prj) };
		const readme = { name: 'about.json', content: Buffer.from('{"made":"2026"}') };
		const path = put('only.zip', makeZip([{ name: 'fields.shp', content: shp }, prj, trees, readme]));
		const read = await readWell(path);
		expect([read.layer, read.warnings.slice(0, 1)]).toEqual([
			'fields',
			[
				{
					code: 'layer.only',
					message:
						'The layer fields was read; not trees (it holds points, not areas), about (it is JSON, but not GeoJSON).',
				},
			],
		]);
		const broken = { name: 'old.shp', content: shp.subarray(0, shp.length / 2) };
		expect(
			await refusal(put('broken-too.zip', makeZip([{ name: 'fields.shp', content: shp }, prj, broken]))),
		).toMatchObject({
			code: 'file.layerUnclear',
		});
	});

	test.each([
		[
			'an unknown datum',
			utm31Prj.replace('D_WGS_1984', 'D_Atlantis'),
			'its datum D_Atlantis has no known shift to WGS 84',
		],
		[
			'an unknown projection',
			utm31Prj.replace('Transverse_Mercator', 'Fold_Out'),
			'its projection Fold_Out is not one the program computes',
		],
		[
			'another ellipsoid than the datum has',
			utm31Prj.replace('298.257223563', '299.1528128'),
			'datum WGS 84 stands on WGS 84, the file gives another ellipsoid',
		],
	])('%s is refused', async (name, prj, why) => {
		expect(await refusal(withPrj(name, prj))).toEqual({
			code: 'file.crsUnsupported',
			details: { file: `${name}.zip`, crs: 'WGS_1984_UTM_Zone_31N', why },
		});
	});

	test('metres that a .prj calls degrees are asked about', async () => {
		const degrees = utm31Prj.slice(utm31Prj.indexOf('GEOGCS'), utm31Prj.indexOf(',PROJECTION'));
		const problem = await refusal(withPrj('degrees', degrees));
		expect([problem?.code, problem?.details['why']]).toEqual([
			'file.crsUnknown',
			'it says degrees, but its coordinates are metres or feet',
		]);
	});

	test('a code nobody knows is refused', async () => {
		expect(await refusal(join(fixtures, 'parcelles.zip'), { crs: 'EPSG:99999' })).toEqual({
			code: 'file.crsUnsupported',
			details: { file: 'parcelles.zip', crs: 'EPSG:99999', why: 'the program does not know that code' },
		});
	});

	test.each(['urn:ogc:def:crs:EPSG::4326', 'urn:ogc:def:crs:OGC:1.3:CRS84', 'EPSG:4326'])(
		'GeoJSON that names %s stays longitude, latitude',
		async (name) => {
			const json = JSON.parse(farmGeoJson());
			const path = put('named.geojson', JSON.stringify({ ...json, crs: { type: 'name', properties: { name } } }));
			const { records } = await readWell(path);
			expect(shapeOf(records[0])?.coordinates).toEqual([[inDegrees(farm[0]?.parts[0]?.[0] ?? [])]][0]);
		},
	);
});

describe('layers', () => {
	test('a GeoPackage of two layers asks which', async () => {
		const path = farmGeoPackage('two.gpkg', { layers: ['nord', 'sud'] });
		expect(await refusal(path)).toEqual({
			code: 'file.layerUnclear',
			details: { file: 'two.gpkg', choices: [holding('nord'), holding('sud')] },
		});
		expect((await readWell(path, { layer: 'SUD' })).layer).toBe('sud');
	});

	test('a GeoPackage without a system asks for one', async () => {
		expect((await refusal(farmGeoPackage('none.gpkg', { srsId: -1 })))?.code).toBe('file.crsUnknown');
	});

	test('a GeoPackage that another program is writing is left alone', async () => {
		const path = farmGeoPackage('open.gpkg');
		const other = new Database(path);
		other.pragma('journal_mode = WAL');
		other.exec("UPDATE parcelles SET nom = 'x'");
		expect(await refusal(path)).toEqual({ code: 'file.inUse', details: { file: 'open.gpkg' } });
		other.close();
		expect((await readWell(path)).records[0]?.properties['nom']).toBe('x');
	});

	test('moved-out lists of task data are read, a missing one is told', async () => {
		const [, fields = ''] = /(<PFD.*<\/PFD>)/s.exec(farmTaskData(4)) ?? [];
		const main = farmTaskData(4).replace(fields, '<XFR A="PFD00001" B="1"/><XFR A="PFD00002" B="1"/>');
		const path = put('moved/TASKDATA.XML', main);
		put('moved/PFD00001.XML', `<XFC>${fields}</XFC>`);
		const { records, warnings } = await readWell(path);
		expect([records.length, warnings.map(({ message }) => message)]).toEqual([
			8,
			['The fields moved out to PFD00002 were not read: it is missing.'],
		]);
	});
});

describe('what is no boundary file', () => {
	test.each([
		['picture.shp', Buffer.from([0x89, 0x50, 0x4e, 0x47, 1, 2, 3]), 'file.damaged', 'it has only 7 bytes'],
		['paper.zip', Buffer.from('%PDF-1.7\n'), 'file.notBoundaries', 'it is a PDF'],
		['list.csv', Buffer.from('name;area;crop\nx;1;y\n'), 'file.notBoundaries', 'it is a table of text (such as CSV)'],
		['note.geojson', Buffer.from('Dear all,'), 'file.notBoundaries', 'it is plain text'],
		['empty.kml', Buffer.alloc(0), 'file.notBoundaries', 'it is empty (0 bytes)'],
		[
			'sheet.zip',
			makeZip([{ name: 'xl/workbook.xml', content: Buffer.from('<x/>') }]),
			'file.notBoundaries',
			'it is an office document or spreadsheet',
		],
		[
			'nested.zip',
			makeZip([{ name: 'inner.zip', content: Buffer.from('PK') }]),
			'file.notBoundaries',
			'it is an archive in an archive: unpack it first',
		],
		['data.json', Buffer.from('{"a": 1}'), 'file.notBoundaries', 'it is JSON, but not GeoJSON'],
		['torn.geojson', Buffer.from(farmGeoJson().slice(0, 900)), 'file.damaged', 'it is not JSON from beginning to end'],
		['page.kml', Buffer.from('<html><body/></html>'), 'file.notBoundaries', 'it is XML, but not KML'],
		['torn.kml', Buffer.from(farmKml().slice(0, 900)), 'file.damaged', expect.stringContaining('it is not sound XML')],
		[
			'bomb.kml',
			Buffer.from(`<!DOCTYPE kml [<!ENTITY a "aaaaaaaaaa">]><kml>${'&a;'.repeat(9)}</kml>`),
			'file.damaged',
			'it brings its own document type, which is not read',
		],
		[
			'deep.kml',
			Buffer.from(`<kml>${'<Folder>'.repeat(70)}`),
			'file.damaged',
			'its elements are nested more than 64 deep',
		],
		[
			'points.geojson',
			Buffer.from('{"type":"Point","coordinates":[1,2]}'),
			'file.noFields',
			'it holds Point, not areas',
		],
		[
			'places.kml',
			Buffer.from('<kml><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark></kml>'),
			'file.noFields',
			'its placemarks are points or lines, not areas',
		],
		[
			'base.gpkg',
			Buffer.concat([Buffer.from('SQLite format 3\0'), Buffer.alloc(200)]),
			'file.notBoundaries',
			'it is a database, but not a GeoPackage',
		],
	])('%s', async (name, content, code, why) => {
		expect(await refusal(put(name, content))).toEqual({ code, details: { file: name, why } });
	});

	test('a missing file is named with its whole path', async () => {
		const path = join(scratch, 'nowhere.shp');
		expect(await refusal(path)).toEqual({ code: 'file.missing', details: { file: path } });
	});

	test('a torn GeoPackage is refused', async () => {
		const path = farmGeoPackage('torn.gpkg');
		const torn = put('half.gpkg', readFileSync(path).subarray(0, 9000));
		expect((await refusal(torn))?.code).toBe('file.damaged');
	});

	test('an encrypted archive says so', async () => {
		const path = put('locked.zip', makeZip([{ name: 'a.shp', content: farmShapefile().shp, encrypted: true }]));
		expect(await refusal(path)).toEqual({ code: 'file.encrypted', details: { file: 'locked.zip' } });
	});
});
