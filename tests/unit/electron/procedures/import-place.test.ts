import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import proj4 from 'proj4';
import { expect, test } from 'vitest';
import { countryOf } from '../../../../electron/procedures/farm-ground.ts';
import { sharedData } from '../../../shared-data.ts';
import { scratchFolder } from '../scratch.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

type Point = readonly [x: number, y: number];

/** A field of about 9.5 ha near Holbæk, Denmark. */
const danish: readonly Point[] = [
	[11.7, 55.7],
	[11.705, 55.7],
	[11.705, 55.7027],
	[11.7, 55.7027],
];
const swap = ([x, y]: Point): Point => [y, x];
const utm32 = ([lon, lat]: Point): Point => proj4('+proj=utm +zone=32 +ellps=GRS80', [lon, lat]) as [number, number];

/** GeoJSON; `crs`: its old member. Text that is no GeoJSON system leaves the reference system open. */
function file(points: readonly Point[], { crs, name = 'Mark 1' }: { crs?: string; name?: string } = {}): string {
	const path = join(scratchFolder(), 'marks.geojson');
	const geometry = { type: 'Polygon', coordinates: [[...points, points[0]]] };
	const features = [{ type: 'Feature', properties: { name }, geometry }];
	const named = crs === undefined ? {} : { crs: { type: 'name', properties: { name: crs } } };
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', ...named, features }));
	return path;
}

async function farmIn(zone: string): Promise<Api> {
	const { api } = testBooks();
	await api.settings.save({ key: 'zone', farmName: 'Marsh Farm', zone });
	return api;
}

test.each([
	['Europe/Copenhagen', 'base', 'DK'],
	['Asia/Kolkata', 'base', 'IN'],
	['America/Chicago', 'base', 'US'],
	['UTC', 'us-7cfr110', 'US'],
	['UTC', 'uk-code', 'GB'],
	['UTC', 'eu-2023-564', undefined],
])('a farm in the zone %s with the rules %s lies in %s', (zone, ruleSet, country) => {
	expect(countryOf({ zone, ruleSet })).toMatchObject(country ? { by: 'country', country } : { by: 'nothing' });
});

test('latitude before longitude: the exchange is offered with where the fields come to lie, and never done by itself', async () => {
	const api = await farmIn('Europe/Copenhagen');
	const path = file(danish.map(swap));
	const plain = await api.fields.import({ path, dryRun: true });
	expect(plain.exchange).toMatchObject({
		chosen: false,
		axes: 'longitude and latitude',
		why: expect.stringMatching(/^as they stand, the fields lie (in the sea|outside Denmark)/),
		asInFile: { lat: expect.closeTo(11.7, 2), fields: 1 },
		exchanged: { lat: expect.closeTo(55.7, 2), lon: expect.closeTo(11.7, 2), fields: 1 },
	});
	expect(plain.warnings.filter(({ code }) => code.startsWith('place.'))).toEqual([]);
	const { exchange, file: about } = await api.fields.import({ path, exchangeCoordinates: true, dryRun: true });
	expect(exchange?.chosen).toBe(true);
	expect(about.totalHa).toBeCloseTo(exchange?.exchanged.totalHa ?? 0, 9);
	expect(about.totalHa).toBeCloseTo(9.44, 1);
	expect(plain.file.totalHa).toBeCloseTo(exchange?.asInFile.totalHa ?? 0, 9);
});

test('an exchange that was chosen stands in the history of the field and in the book of changes', async () => {
	const api = await farmIn('Europe/Copenhagen');
	const path = file(danish.map(swap));
	const { added } = await api.fields.import({ key: 'in', path, exchangeCoordinates: true });
	const id = added[0]?.id ?? '';
	const { measurements } = await api.fields.get({ id });
	const says = /repaired: longitude and latitude exchanged; [\d,]+ m² before, 94,\d{3} m² after/;
	expect(measurements[0]?.source).toMatch(says);
	const [line] = await api.upkeep.audit({ limit: 1 });
	expect(line?.changes).toMatch(says);
});

test('latitudes beyond 90° refuse every record, and the exchange brings them in', async () => {
	const api = await farmIn('Australia/Perth');
	const perth: Point[] = danish.map(([x, y]) => [x + 105, y - 87]);
	const plain = await api.fields.import({ path: file(perth.map(swap)), dryRun: true });
	expect(plain).toMatchObject({
		added: [],
		refused: [{ record: 1, reason: expect.stringContaining('latitude') }],
		exchange: { why: 'as they stand, the coordinates are no place on earth', asInFile: { lat: null, fields: 0 } },
	});
	const put = await api.fields.import({ path: file(perth.map(swap)), exchangeCoordinates: true, dryRun: true });
	expect(put).toMatchObject({ added: [{ name: 'Mark 1' }], exchange: { exchanged: { fields: 1 } } });
});

test('northing before easting in a named grid', async () => {
	const api = await farmIn('UTC');
	const crs = 'urn:ogc:def:crs:EPSG::25832';
	const right = await api.fields.import({ path: file(danish.map(utm32), { crs }), dryRun: true });
	const plain = await api.fields.import({ path: file(danish.map(utm32).map(swap), { crs }), dryRun: true });
	expect([right.exchange, plain.exchange?.axes, plain.exchange?.exchanged.totalHa]).toEqual([
		null,
		'easting and northing',
		expect.closeTo(right.file.totalHa, 6),
	]);
});

test('what lies where it can lie is not offered an exchange', async () => {
	const api = await farmIn('Europe/Copenhagen');
	const { exchange, warnings } = await api.fields.import({ path: file(danish), dryRun: true });
	expect([exchange, warnings]).toEqual([null, []]);
});

test('fields beyond the farm’s country, or far from its fields, are told', async () => {
	const api = await farmIn('Europe/Copenhagen');
	const bavarian: Point[] = danish.map(([x, y]) => [x, y - 7]);
	const first = await api.fields.import({ path: file(bavarian), dryRun: true });
	expect(first.warnings).toMatchObject([
		{
			code: 'place.beyondFarm',
			message:
				'The fields lie outside Denmark, where the farm is by its time zone, Europe/Copenhagen. Look at the map.',
		},
	]);
	await api.fields.import({ key: 'home', path: file(danish) });
	const second = await api.fields.import({ path: file(bavarian, { name: 'Other' }), dryRun: true });
	expect(second.warnings).toMatchObject([
		{ message: 'The fields lie 779 km from the farm’s other fields. Look at the map.' },
	]);
});

test('a grid that holds both places: only the farm’s fields tell that northing stands before easting', async () => {
	const api = await farmIn('Europe/London');
	// National Grid SK 50 50 in Nottinghamshire; exchanged, SD 50 50 in Lancashire, 141 km away: both on land in Great Britain.
	const block = (east: number, north: number): Point[] => [
		[east, north],
		[east + 300, north],
		[east + 300, north + 300],
		[east, north + 300],
	];
	const crs = 'urn:ogc:def:crs:EPSG::27700';
	const swapped = (name: string) => file(block(450_400, 350_000).map(swap), { crs, name });
	expect((await api.fields.import({ path: swapped('Mark 1'), dryRun: true })).exchange).toBeNull();
	await api.fields.import({ key: 'home', path: file(block(450_000, 350_000), { crs, name: 'Home' }) });
	const { exchange } = await api.fields.import({ path: swapped('Mark 2'), dryRun: true });
	expect(exchange).toMatchObject({
		chosen: false,
		axes: 'easting and northing',
		why: expect.stringMatching(/^as they stand, the fields lie 14\d km from the farm’s, exchanged among them$/),
		asInFile: { kmFromFarm: expect.closeTo(141, -1) },
		exchanged: { kmFromFarm: 0 },
	});
	// A block of ground farther off is none the worse for that.
	const lancashire = file(block(350_000, 470_000), { crs, name: 'Mark 3' });
	expect((await api.fields.import({ path: lancashire, dryRun: true })).exchange).toBeNull();
});

test('where nothing says where the farm lies, the question says so', async () => {
	const points = danish.map(utm32);
	const [nowhere, somewhere] = [await farmIn('UTC'), await farmIn('Europe/Copenhagen')];
	const asked = async (api: Api) =>
		((await refusal(api.fields.import({ path: file(points), dryRun: true }))).details as { farmNowhere?: true })
			.farmNowhere;
	expect([await asked(nowhere), await asked(somewhere)]).toEqual([true, undefined]);
});

type Choice = { crs: string; exchanged?: true; far?: true; totalHa: number };
async function choicesFor(api: Api, points: readonly Point[]): Promise<Choice[]> {
	const { code, details } = await refusal(api.fields.import({ path: file(points), dryRun: true }));
	expect(code).toBe('file.crsUnknown');
	return (details as { choices: Choice[] }).choices;
}

test('without a reference system the farm’s country comes first', async () => {
	const api = await farmIn('Europe/Copenhagen');
	const choices = await choicesFor(api, danish.map(utm32));
	const near = choices.filter(({ far }) => !far);
	expect(near.map(({ crs }) => crs)).toEqual(expect.arrayContaining(['EPSG:25832', 'EPSG:32632']));
	expect(near.length).toBeLessThan(9);
	expect(choices.length).toBeGreaterThan(40);
	expect(choices.slice(0, near.length)).toEqual(near);
	expect(new Set(choices.map(({ crs }) => crs)).size, 'each system once').toBe(choices.length);
	expect(near[0]?.totalHa).toBeCloseTo(9.44, 1);
	expect(choices.some(({ exchanged }) => exchanged)).toBe(false);
});

test('northing before easting without a reference system: only then are exchanged coordinates a choice', async () => {
	const api = await farmIn('Europe/Copenhagen');
	const choices = await choicesFor(api, danish.map(utm32).map(swap));
	expect(choices[0]).toMatchObject({ exchanged: true, totalHa: expect.closeTo(9.44, 1) });
	const path = file(danish.map(utm32).map(swap));
	const answered = { path, crs: 'EPSG:25832', exchangeCoordinates: true, dryRun: true };
	expect((await api.fields.import(answered)).exchange).toMatchObject({ chosen: true });
});

const hostile = sharedData('hostile');
test.skipIf(hostile === null)('two fields beyond the pole do not put the others into the sea', async () => {
	const api = await farmIn('America/Bahia');
	const path = join(hostile ?? '', 'd14-latitude-over-90/fields.shp');
	const { exchange, warnings, file: about } = await api.fields.import({ path, dryRun: true });
	expect([exchange, warnings.filter(({ code }) => code.startsWith('place.'))]).toEqual([null, []]);
	expect(about.centre).toEqual([expect.closeTo(-45.8, 0), expect.closeTo(-12.1, 0)]);
});

test.skipIf(hostile === null)('the fields of Bahia with latitude before longitude come back to Bahia', async () => {
	const api = await farmIn('America/Bahia');
	const path = join(hostile ?? '', 'd28-swapped-lat-lon/fields.shp');
	const { exchange } = await api.fields.import({ path, dryRun: true });
	expect(exchange).toMatchObject({
		why: 'as they stand, the fields lie in the sea',
		asInFile: { lat: expect.closeTo(-45.8, 0), fields: 6, totalHa: expect.closeTo(125.446, 2) },
		exchanged: { lat: expect.closeTo(-12.1, 0), lon: expect.closeTo(-45.8, 0), fields: 6 },
	});
});
