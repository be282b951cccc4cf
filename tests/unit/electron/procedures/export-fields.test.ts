import { mkdirSync, readFileSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { strFromU8, unzipSync } from 'fflate';
import { SaxesParser } from 'saxes';
import { expect, test } from 'vitest';
import { readBoundaryFile } from '../../../../electron/files/boundary-file.ts';
import { guessAttributes } from '../../../../electron/files/guess-attributes.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

/* Invented fields near 49°N: one plain, one with a hole wound the wrong way, one in two parts, one without a boundary. */

type Ring = readonly (readonly [number, number])[];

function square(west: number, south: number, size: number): Ring {
	return [
		[west, south],
		[west, south + size],
		[west + size * 1.4, south + size],
		[west + size * 1.4, south],
		[west, south],
	];
}

const long = 'Große Wiese hinter der alten Mühle am Bach, östlicher Teil';
const fields = [
	{
		name: 'Prés d’Été & "Lac" <1>',
		code: 'A-1',
		mappedHa: 8.2,
		geometry: { type: 'Polygon' as const, coordinates: [square(2.1, 49.1, 0.0029)] },
	},
	{
		name: '=SUM(A1:A9)',
		code: '@2',
		mappedHa: 11.31,
		geometry: {
			type: 'Polygon' as const,
			coordinates: [square(2.11, 49.1, 0.0033), square(2.1112, 49.1008, 0.0007)],
		},
	},
	{
		name: long,
		code: 'C-3',
		geometry: {
			type: 'MultiPolygon' as const,
			coordinates: [[square(2.12, 49.1, 0.0021)], [square(2.1242, 49.1003, 0.0011)]],
		},
	},
	{ name: 'No line yet', code: 'D-4', mappedHa: 3.5 },
];

async function register(api: Api) {
	for (const field of fields) await api.fields.add(field);
	const [first] = await api.fields.list({});
	if (first)
		await api.fields.setCrop({
			key: 'crop',
			id: first.id,
			season: harvestYear(),
			crop: 'Orge d’hiver',
			eppoCode: 'HORVX',
		});
}

/** Seasons of new books start in October. */
function harvestYear(): number {
	const now = new Date();
	return now.getFullYear() + (now.getMonth() >= 9 ? 1 : 0);
}

async function exported(api: Api, folder: string, format: 'geojson' | 'shapefile' | 'csv' | 'isoxml', name: string) {
	mkdirSync(join(folder, 'out'), { recursive: true });
	return api.fields.export({ format, path: join(folder, 'out', name) });
}

/** What our own reader makes of a file: name, code, mapped figure, measured area. */
async function readBack(path: string) {
	const read = await readBoundaryFile(path);
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	const file = read.value;
	const guess = guessAttributes(
		file,
		file.records.map(({ measured }) => measured?.areaHa ?? null),
	);
	return {
		crs: file.crs.epsg,
		warnings: file.warnings.map(({ code }) => code),
		unit: guess.mappedAreaUnit,
		records: file.records.map(({ properties, measured, refused }) => ({
			name: properties[guess.name ?? ''],
			code: properties[guess.code ?? ''],
			mapped: properties[guess.mappedArea ?? ''],
			areaHa: measured?.areaHa ?? null,
			refused: refused ?? null,
		})),
	};
}

for (const [format, name] of [
	['geojson', 'fields.geojson'],
	['shapefile', 'fields.zip'],
] as const) {
	test(`${format} comes back through our own reader with names, codes, mapped figures and areas`, async () => {
		const { api, folder } = testBooks();
		await register(api);
		const { path, rows } = await exported(api, folder, format, name);
		const back = await readBack(path);
		const books = await api.fields.list({});
		expect({ ...back, rows, records: back.records.map(({ areaHa: _, ...said }) => said) }).toEqual({
			crs: 4326,
			warnings: [],
			unit: 'ha',
			rows: 4,
			records: books.map((field) => ({
				name: field.name,
				code: field.code,
				mapped: field.mappedHa,
				refused: field.measuredHa === null ? expect.stringContaining('no boundary') : null,
			})),
		});
		expectSameAreas(back.records, books);
	});
}

function expectSameAreas(
	records: readonly { readonly areaHa: number | null }[],
	books: readonly { readonly measuredHa: number | null }[],
): void {
	const apart = books.map(({ measuredHa }, index) =>
		measuredHa === null ? records[index]?.areaHa : Math.abs((records[index]?.areaHa ?? 0) / measuredHa - 1) < 1e-6,
	);
	expect(apart).toEqual(books.map(({ measuredHa }) => (measuredHa === null ? null : true)));
}

test('task data comes back with names cut to 32 letters and the same areas, zipped or plain', async () => {
	const { api, folder } = testBooks();
	await register(api);
	const books = await api.fields.list({});
	for (const name of ['task.zip', 'TASKDATA.XML']) {
		const { path } = await exported(api, folder, 'isoxml', name);
		const back = await readBack(path);
		expect(back.records.map((record) => record.name)).toEqual(
			books.map((field) => [...field.name].slice(0, 32).join('').trimEnd()),
		);
		expectSameAreas(back.records, books);
	}
});

/* ISO 11783-10: elements, attributes and their types as the public study notes of the second edition give them. */
const id = (letters: string) => new RegExp(`^${letters}[1-9]\\d{0,10}$`);
const designator = /^.{1,32}$/u;
const m2 = /^(0|[1-9]\d{0,9})$/;
const types: Readonly<Record<string, Readonly<Record<string, { readonly is: RegExp; readonly must?: true }>>>> = {
	ISO11783_TaskData: {
		VersionMajor: { is: /^3$/, must: true },
		VersionMinor: { is: /^\d+$/, must: true },
		ManagementSoftwareManufacturer: { is: designator },
		ManagementSoftwareVersion: { is: designator, must: true },
		DataTransferOrigin: { is: /^1$/, must: true },
	},
	FRM: { A: { is: id('FRM'), must: true }, B: { is: designator, must: true } },
	CTP: { A: { is: id('CTP'), must: true }, B: { is: designator, must: true } },
	PFD: {
		A: { is: id('PFD'), must: true },
		B: { is: designator },
		C: { is: designator, must: true },
		D: { is: m2, must: true },
		F: { is: id('FRM') },
		G: { is: id('CTP') },
	},
	PLN: { A: { is: /^[168]$/, must: true }, B: { is: designator }, C: { is: m2 } },
	LSG: { A: { is: /^[12]$/, must: true } },
	PNT: {
		A: { is: /^2$/, must: true },
		C: { is: /^-?\d{1,2}(\.\d+)?$/, must: true },
		D: { is: /^-?\d{1,3}(\.\d+)?$/, must: true },
	},
};
const parents: Readonly<Record<string, string>> = {
	FRM: 'ISO11783_TaskData',
	CTP: 'ISO11783_TaskData',
	PFD: 'ISO11783_TaskData',
	PLN: 'PFD',
	LSG: 'PLN',
	PNT: 'LSG',
};

/** Everything in which a document departs from the table above; not well formed throws. */
function departures(xml: string): string[] {
	const found: string[] = [];
	const path: string[] = [];
	const ids = new Set<string>();
	const parser = new SaxesParser();
	parser.on('error', (error) => {
		throw error;
	});
	parser.on('opentag', ({ name, attributes }) => {
		const known = types[name];
		if (!known || (parents[name] ?? undefined) !== path.at(-1)) found.push(`${name} in ${path.at(-1)}`);
		for (const [key, value] of Object.entries(attributes))
			if (!known?.[key]?.is.test(String(value))) found.push(`${name} ${key}="${value}"`);
		for (const [key, { must }] of Object.entries(known ?? {}))
			if (must && !(key in attributes)) found.push(`${name} lacks ${key}`);
		if (['FRM', 'CTP', 'PFD'].includes(name)) {
			if (ids.has(String(attributes['A']))) found.push(`${attributes['A']} twice`);
			ids.add(String(attributes['A']));
		}
		for (const key of ['F', 'G'])
			if (name === 'PFD' && key in attributes && !ids.has(String(attributes[key])))
				found.push(`PFD ${key} names nothing`);
		path.push(name);
	});
	parser.on('text', (text) => {
		if (text.trim() !== '') found.push(`text ${text}`);
	});
	parser.on('closetag', () => {
		path.pop();
	});
	parser.write(xml).close();
	return found;
}

test('task data is well formed and every attribute of its type', async () => {
	const { api, folder } = testBooks();
	await register(api);
	await api.settings.save({ key: 'farm', farmName: 'Hof "Süd" & Söhne' });
	const { path } = await exported(api, folder, 'isoxml', 'task.zip');
	const entries = unzipSync(readFileSync(path));
	expect(Object.keys(entries)).toEqual(['TASKDATA/TASKDATA.XML']);
	const xml = strFromU8(entries['TASKDATA/TASKDATA.XML'] ?? new Uint8Array());
	expect(departures(xml)).toEqual([]);
	expect(xml).toContain('C="Prés d’Été &amp; &quot;Lac&quot; &lt;1&gt;" D="82000"');
	expect(departures(xml.replace('D="82000"', 'D="8.2"'))).toEqual(['PFD D="8.2"']);
});

test('only the CSV neutralises a name that a spreadsheet would take for a formula', async () => {
	const { api, folder } = testBooks();
	await register(api);
	const csv = readFileSync((await exported(api, folder, 'csv', 'fields.csv')).path, 'utf8');
	const json = readFileSync((await exported(api, folder, 'geojson', 'fields.geojson')).path, 'utf8');
	const [head, ...lines] = csv.trimEnd().split('\r\n');
	expect({
		head: head?.slice(0, 31),
		lines: lines.length,
		formula: lines.find((line) => line.includes('SUM'))?.slice(0, 21),
		quoted: lines.some((line) => line.startsWith('"Prés d’Été & ""Lac"" <1>"')),
		json: json.includes('"name":"=SUM(A1:A9)"'),
	}).toEqual({
		head: '\uFEFF"field","code","crop","EPPO co',
		lines: 4,
		formula: `"'=SUM(A1:A9)","'@2",`,
		quoted: true,
		json: true,
	});
});

test('without a path it stands in the exports folder, only for this user', async () => {
	const { api, folder } = testBooks();
	await register(api);
	const { path } = await api.fields.export({ format: 'shapefile' });
	expect([
		path.startsWith(join(folder, 'exports')),
		/^Fields shapefile \d{4}-\d\d-\d\d\.zip$/.test(basename(path)),
		statSync(path).mode & 0o077,
	]).toEqual([true, true, 0]);
});

test('an empty register is refused with what to do', async () => {
	const { api } = testBooks();
	expect((await refusal(api.fields.export({ format: 'csv' }))).code).toBe('fields.noneToExport');
});

/** The plain field with a strip along an edge, a drawn pond and pylons that are only counted. */
async function leaveGroundOut(api: Api) {
	await register(api);
	const id = (await api.fields.list({})).find(({ code }) => code === 'A-1')?.id ?? '';
	const ditch = { kind: 'strip' as const, label: 'Ditch', widthM: 5, edges: [{ ring: 0, edge: 0 }] };
	await api.fields.addStrip({ key: 'strip', id, ...ditch });
	const geometry = { type: 'Polygon' as const, coordinates: [square(2.1015, 49.1012, 0.0002)] };
	await api.fields.addStrip({ key: 'pond', id, kind: 'obstacle', label: 'Pond & reeds', geometry });
	await api.fields.addStrip({ key: 'pylons', id, kind: 'obstacle', label: 'Pylons', areaHa: 0.02 });
	const { strips } = await api.fields.get({ id });
	return strips;
}

test.each([
	['geojson', 'fields.geojson', undefined],
	['shapefile', 'fields.zip', undefined],
	['shapefile', 'fields.zip', 'not sprayed'],
	['isoxml', 'task.zip', undefined],
] as const)(
	'strips and obstacles in %s make no fields when %s is brought in again (%s)',
	async (format, name, layer) => {
		const { api, folder } = testBooks();
		await leaveGroundOut(api);
		const { path } = await exported(api, folder, format, name);
		const other = testBooks();
		const report = await other.api.fields.import({ key: 'i', path, ...(layer ? { layer } : {}) });
		const added = report.added.map(({ name }) => name.slice(0, 11));
		expect(added).toEqual(
			layer === 'not sprayed' ? [] : expect.arrayContaining(['Prés d’Été ', '=SUM(A1:A9)', 'Große Wiese']),
		);
		expect(report.added.length).toBe(layer === 'not sprayed' ? 0 : 3);
		if (layer !== 'not sprayed') expect(report.added.map(({ code }) => code)).toContain('A-1');
		const reasons = report.refused.map(({ reason }) => reason).filter((reason) => reason.includes('not a field'));
		const [ditch, pond] = ['a no-spray strip', 'an obstacle'].map(
			(what) => `it is ${what} of the field ${fields[0]?.name}, not a field`,
		);
		const told = format === 'geojson' || layer === 'not sprayed';
		expect(reasons.toSorted()).toEqual(told ? [ditch, pond, pond].toSorted() : []);
	},
);

test('the files hold strips and obstacles with their areas; the table counts them', async () => {
	const { api, folder } = testBooks();
	const strips = await leaveGroundOut(api);
	const areaOf = (label: string) => strips.find((strip) => strip.label.startsWith(label))?.areaHa ?? Number.NaN;
	const json = JSON.parse(readFileSync((await exported(api, folder, 'geojson', 'f.geojson')).path, 'utf8'));
	const pond = json.features.find(
		({ properties }: { properties: { name: string } }) => properties.name === 'Pond & reeds',
	);
	expect(pond).toMatchObject({
		properties: { kind: 'obstacle', of_field: fields[0]?.name, left_out_ha: areaOf('Pond') },
		geometry: { type: 'Polygon' },
	});
	const task = readFileSync((await exported(api, folder, 'isoxml', 'TASKDATA.XML')).path, 'utf8');
	expect(departures(task)).toEqual([]);
	expect(task.match(/<PLN A="[168]"/g)).toEqual(expect.arrayContaining(['<PLN A="6"', '<PLN A="8"']));
	expect(task).toContain(`B="Pond &amp; reeds" C="${Math.round(areaOf('Pond') * 10_000)}"`);
	const [heads = '', ...lines] = readFileSync((await exported(api, folder, 'csv', 'f.csv')).path, 'utf8').split('\r\n');
	const at = (head: string) => heads.split(',').indexOf(head);
	const cells = lines.find((line) => line.includes('"A-1"'))?.split(',') ?? [];
	expect([cells[at('"no-spray strips"')], cells[at('"obstacles"')]]).toEqual(['1', '2']);
	expect(Number(cells[at('"in obstacles (ha)"')])).toBeCloseTo(areaOf('Pond') + 0.02, 6);
	expect(Number(cells[at('"in no-spray strips (ha)"')])).toBeCloseTo(areaOf('Ditch'), 6);
});
