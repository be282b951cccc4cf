import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import papaparse from 'papaparse';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type BoundaryFile, readBoundaryFile } from '../../electron/files/boundary-file.ts';
import { guessAttributes } from '../../electron/files/guess-attributes.ts';
import { readLayer } from '../../electron/files/read-layer.ts';
import type { ReaderMessage } from '../../electron/reader/messages.ts';
import { readerLimits } from '../../electron/reader/start-reader.ts';
import type { Result } from '../../shared/basics/result.ts';
import { farmGeoJson, farmKml, farmShapefile, farmTaskData, farmZip, makeZip } from '../fixtures/make-boundaries.ts';
import { sharedData } from '../shared-data.ts';
import { seededRandom } from './seeded-random.ts';

/*
 * Twenty-nine ways in which boundary files are broken or lie, read in the shipping isolation. The wanted end of each stands in
 * hostile/manifest.csv.
 */
const here = sharedData('hostile');
const when = describe.skipIf(here === null);
const MOST_MEMORY = 512 * 1024 * 1024;

let before: string[] = [];
beforeAll(() => {
	before = here ? fingerprint(here) : [];
});
afterAll(() => {
	expect(here ? fingerprint(here) : [], 'nothing was written beside the files').toEqual(before);
});

async function read(path: string): Promise<Result<BoundaryFile>> {
	let most = 0;
	const limits = {
		...readerLimits,
		onMemory: (bytes: number) => {
			most = Math.max(most, bytes);
		},
	};
	const result = await readBoundaryFile(join(here ?? '', path), {}, { limits });
	expect(most, 'memory of the reader').toBeLessThan(MOST_MEMORY);
	return result;
}

/** What a person would see: the refusal, or the refused records and the warnings. */
async function ending(path: string) {
	const result = await read(path);
	if (!result.ok) return { code: result.problem.code, why: String(result.problem.details['why'] ?? '') };
	const { records, warnings, overlaps } = result.value;
	return {
		good: records.filter(({ boundary }) => boundary).length,
		refused: records.flatMap(({ record, refused }) => (refused ? [`${record}: ${refused}`] : [])),
		odd: records.flatMap(({ record, boundary, findings }) =>
			boundary ? findings.map(({ kind }) => `${record}: ${kind}`) : [],
		),
		warnings: warnings.map(({ code }) => code),
		...(overlaps.length > 0
			? { overlaps: overlaps.map(({ one, other, same }) => `${one} ${same ? '=' : '~'} ${other}`) }
			: {}),
	};
}

const sound = { refused: [], odd: [], warnings: [] };

when('the container (skipped without the boundary files)', () => {
	test.each([
		['d01-shp-truncated/fields.shp', 'file.damaged', 'it is cut off: 5556 of 9260 bytes are there'],
		[
			'd02-dbf-truncated/fields.shp',
			'file.damaged',
			'the attribute table (.dbf) says it has 12 rows, but only 5 are there',
		],
		['d04-shp-header-flipped/fields.shp', 'file.damaged', 'its header is not that of a shapefile'],
		[
			'd07-dbf-record-count-wrong/fields.shp',
			'file.damaged',
			'the attribute table (.dbf) says it has 1000000 rows, but only 12 are there',
		],
		['d10-prj-garbage/fields.shp', 'file.crsUnknown', 'its description is not well-known text'],
		['d11-points-layer/points.shp', 'file.noFields', 'it holds points, not areas'],
		['d12-empty-layer/fields.shp', 'file.noFields', 'it is an empty layer'],
		['d18-zip-two-layers/two.zip', 'file.layerUnclear', ''],
		['d20-zip-bomb/bomb.zip', 'file.tooBig', 'fields.dbf would unpack to 1024.0 MB, at most 128.0 MB are read'],
		['d21-not-a-zip/empty.zip', 'file.notBoundaries', 'it is empty (0 bytes)'],
		['d21-not-a-zip/picture.zip', 'file.notBoundaries', 'it is a picture (PNG)'],
		['d21-not-a-zip/text.zip', 'file.notBoundaries', 'it is plain text'],
	])('%s is refused: %s', async (path, code, why) => {
		expect(await ending(path)).toEqual({ code, why });
	});

	test.each([
		['d03-shx-truncated/fields.shp', ['index.disagrees']],
		['d08-shx-missing/fields.shp', []],
		['d09-dbf-missing/fields.shp', ['attributes.missing']],
	])('%s comes in whole', async (path, warnings) => {
		expect(await ending(path)).toEqual({ ...sound, good: 12, warnings });
	});

	test('d18: each of two layers is read in its own reference system', async () => {
		const layers = await Promise.all(
			['north', 'south'].map((layer) => readBoundaryFile(join(here ?? '', 'd18-zip-two-layers/two.zip'), { layer })),
		);
		expect(layers.map((layer) => layer.ok && [layer.value.crs.epsg, layer.value.records.length])).toEqual([
			[25832, 12],
			[4326, 12],
		]);
	});

	test('d19: names that point outside are left alone, the good layer comes in', async () => {
		const outcome = await ending('d19-zip-path-traversal/traversal.zip');
		expect(outcome).toEqual({ ...sound, good: 12, warnings: ['archive.entryIgnored'] });
	});
});

when('the records (skipped without the boundary files)', () => {
	test.each([
		['d05-shp-point-count-huge/fields.shp', 11, ['6: it claims 2147483647 points, more than it has room for']],
		['d06-shp-coordinate-bits-flipped/fields.shp', 11, ['3: point 4 of a ring has the coordinate 2.53099e+198']],
		[
			'd13-nan-infinity/fields.shp',
			9,
			[
				'2: point 3 of a ring has the coordinate NaN',
				'4: point 3 of a ring has the coordinate Infinity',
				'6: point 45 of a ring has the coordinate -1e+39',
			],
		],
		[
			'd14-latitude-over-90/fields.shp',
			4,
			['2: point 1 of a ring has the latitude 94.86', '3: point 1 of a ring has the latitude -91.15'],
		],
		[
			'd15-too-few-points/fields.shp',
			3,
			[
				'1: one of its rings has only 1 different point',
				'2: one of its rings has only 2 different points',
				'3: one of its rings has only 2 different points',
				'4: its boundary is empty',
			],
		],
	])('%s: the bad ones are refused by number', async (path, good, refused) => {
		expect(await ending(path)).toEqual({ ...sound, good, refused });
	});

	test('d16: bow-ties are told, the one whose loops cancel is refused', async () => {
		expect(await ending('d16-bow-tie/fields.shp')).toEqual({
			...sound,
			good: 4,
			refused: [
				'1: the outer boundary crosses itself, after point 1 and after point 3: it covers 2.0015 ha, its rings add up to 0.0000 ha',
			],
			odd: ['2: self-crossing'],
		});
	});

	test('d17: the same ground twice is told', async () => {
		expect(await ending('d17-duplicates-and-overlaps/fields.shp')).toEqual({
			...sound,
			good: 6,
			overlaps: ['1 = 2', '1 ~ 6', '2 ~ 6', '3 = 4', '5 ~ 6'],
		});
	});

	test('d27: slivers are refused or told, none is a field of 0.00 ha without a word', async () => {
		const noGround = 'it encloses no ground: its points lie on one line, its loops cancel, or its holes fill it';
		expect(await ending('d27-slivers/fields.shp')).toEqual({
			...sound,
			good: 4,
			refused: [`1: ${noGround}`, `2: ${noGround}`, '3: one of its rings has only 1 different point'],
			odd: ['4: sliver'],
		});
	});

	test.each([
		'd28-swapped-lat-lon/fields.shp',
		'd29-antimeridian/crossing.shp',
		'd29-antimeridian/past180.shp',
		'd29-antimeridian/unmoved.shp',
	])('%s is measured for what it says', async (path) => {
		const result = await read(path);
		const rows = papaparse.parse<{ area_ha: string }>(
			readFileSync(join(here ?? '', `${path}.gdal-reading.csv`), 'utf8'),
			{ header: true, skipEmptyLines: true },
		);
		const areas = result.ok ? result.value.records.map(({ measured }) => measured?.areaHa ?? 0) : [];
		expect(areas).toEqual(rows.data.map(({ area_ha }) => expect.closeTo(Number(area_ha), 5)));
	});
});

when('the names (skipped without the boundary files)', () => {
	async function names(path: string, attribute = 'NAME') {
		const result = await read(path);
		return result.ok ? result.value.records.map(({ properties }) => properties[attribute]) : result.problem;
	}

	test('d22: long names come in whole', async () => {
		const shapefile = await names('d22-long-names/fields.shp');
		const geoJson = await names('d22-long-names/long.geojson', 'name');
		// 127 letters of two bytes fill a column of 254 bytes.
		expect([shapefile, geoJson].flat().map((name) => String(name).length)).toEqual([127, 127, 127, 300, 5000, 4, 4, 5]);
	});

	test.each([
		['cp1252_nocpg.shp', 'windows-1252', []],
		['utf8_cpg.shp', 'utf-8', []],
		['utf8_nocpg.shp', 'utf-8', ['encoding.guessed']],
		['lie_cp1252_bytes_cpg_utf8.shp', 'windows-1252', ['encoding.wrong']],
	])('d23: %s is read as %s', async (file, encoding, warnings) => {
		const result = await read(`d23-dbf-encodings/${file}`);
		if (!result.ok) return expect(result).toEqual({ ok: true });
		const shown = result.value.records.map(({ properties }) => properties['NAME']).slice(0, 3);
		expect([result.value.encoding, result.value.warnings.map(({ code }) => code), shown]).toEqual([
			encoding,
			warnings,
			['Åkermark Sörgården', 'Grünland am Bach', 'Champ d’été'],
		]);
	});

	test('d24, d25: formulas and scripts stay the letters they are', async () => {
		const shown = [await names('d24-formula-names/fields.shp'), await names('d25-script-names/fields.shp')]
			.flat()
			.join('\n');
		for (const letters of ['=', '<script', '@', "'"]) expect(shown).toContain(letters);
	});

	test('d26: equal names stay apart', async () => {
		expect(await names('d26-same-name-twice/fields.shp')).toEqual(['Home', 'Home', 'Home', 'HOME', 'Home']);
		const result = await read('d26-same-name-twice/fields.shp');
		expect(result.ok && guessAttributes(result.value, []).name).toBe('NAME');
	});
});

/*
 * Random damage to sound files of our own, read in this process: every reading ends with an answer, whatever the bytes.
 */
describe('damaged bytes', () => {
	const folder = mkdtempSync(join(tmpdir(), 'boundaries-'));
	afterAll(() => rmSync(folder, { recursive: true }));
	const { shp, shx, dbf, prj } = farmShapefile();
	const texts = [farmGeoJson(), farmKml(), farmTaskData(4)];
	const whole: readonly (readonly [string, Buffer])[] = [
		['farm.zip', farmZip()],
		['farm.geojson', Buffer.from(texts[0] ?? '')],
		['farm.kml', Buffer.from(texts[1] ?? '')],
		['TASKDATA.XML', Buffer.from(texts[2] ?? '')],
	];

	async function answers(name: string, bytes: Buffer): Promise<string[]> {
		const path = join(folder, name);
		writeFileSync(path, bytes);
		const said: string[] = [];
		await readLayer({ path, options: {} }, async (message: ReaderMessage) => {
			said.push(message.kind);
			if (message.kind === 'records')
				for (const { measured } of message.records) expect(measured?.areaHa ?? 1).toBeGreaterThan(0);
		});
		return said;
	}

	test.each(whole)('%s with bytes changed or cut off always ends with an answer', async (name, bytes) => {
		const random = seededRandom(20261125);
		for (let round = 0; round < 150; round++) {
			const changed = Buffer.from(
				bytes.subarray(0, round % 3 === 0 ? Math.floor(random() * bytes.length) : bytes.length),
			);
			for (let flips = 0; flips < 1 + (round % 8); flips++)
				changed[Math.floor(random() * changed.length)] = Math.floor(random() * 256);
			expect((await answers(name, changed)).at(-1)).toMatch(/^(done|refused)$/);
		}
	});

	test('a shapefile with its headers and counts changed always ends with an answer', async () => {
		const random = seededRandom(7);
		for (let round = 0; round < 300; round++) {
			const parts = { shp: Buffer.from(shp), shx: Buffer.from(shx), dbf: Buffer.from(dbf), prj: Buffer.from(prj) };
			const part = (['shp', 'shp', 'dbf', 'shx', 'prj'] as const)[round % 5] ?? 'shp';
			// Mostly in the first 200 bytes, where lengths and counts stand, and with values that tempt.
			const at = Math.floor(random() * Math.min(parts[part].length - 4, round % 2 === 0 ? 200 : parts[part].length));
			parts[part].writeInt32LE([0, -1, 0x7fffffff, Math.floor(random() * 1000)][round % 4] ?? 0, at);
			const zip = makeZip(
				Object.entries(parts).map(([extension, content]) => ({ name: `farm.${extension}`, content })),
			);
			expect((await answers('farm.zip', zip)).at(-1)).toMatch(/^(done|refused)$/);
		}
	});
});

function fingerprint(folder: string): string[] {
	return readdirSync(folder, { recursive: true, encoding: 'utf8' })
		.map((name) => `${name} ${statSync(join(folder, name)).size} ${statSync(join(folder, name)).mtimeMs}`)
		.sort();
}
