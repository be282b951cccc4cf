import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { localPlane } from '../../../../shared/core/geometry/local-plane.ts';
import { scratchFolder } from '../scratch.ts';
import { testBooks } from './test-books.ts';

const plane = localPlane([10, 52]);
type Corner = readonly [eastM: number, northM: number];
type Feature = {
	readonly corners: readonly Corner[];
	readonly open?: boolean;
	readonly [property: string]: unknown;
};

/** A file of fields, corners in metres about 52° N, 10° E. */
function file(features: readonly Feature[], name = 'fields.geojson'): string {
	const path = join(scratchFolder(), name);
	const written = features.map(({ corners, open, ...properties }) => {
		const ring = (open ? corners : [...corners, ...corners.slice(0, 1)]).map(([x, y]) => plane.toDegrees({ x, y }));
		return { type: 'Feature', properties, geometry: { type: 'Polygon', coordinates: [ring] } };
	});
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features: written }));
	return path;
}

function square(east: number, north = 0, side = 200): readonly Corner[] {
	return [
		[east, north],
		[east + side, north],
		[east + side, north + side],
		[east, north + side],
	];
}

const spiked: readonly Corner[] = [
	[0, 0],
	[200, 0],
	[200, 100],
	[260, 100.1],
	[200, 100.2],
	[200, 200],
	[0, 200],
];
/** Two equal loops run through opposite ways: the rings add up to nothing. */
const eight: readonly Corner[] = [
	[960, 60],
	[900, 60],
	[900, 140],
	[960, 140],
	[1040, 60],
	[1100, 60],
	[1100, 140],
	[1040, 140],
];

test('repairs are offered with their areas, done only where chosen, and told by the history', async () => {
	const { api } = testBooks();
	const path = file([
		{ name: 'Spiked', corners: spiked },
		{ name: 'Sound', corners: square(400) },
	]);
	const looked = await api.fields.import({ path, dryRun: true });
	expect(looked.repairs).toMatchObject([
		{ record: 1, name: 'Spiked', repair: 'outline', did: 'a spike cut off', chosen: false },
	]);
	expect(looked.repairs[0]?.beforeM2).toBeCloseTo(40_006, 0);
	expect(looked.repairs[0]?.afterM2).toBeCloseTo(40_000, 0);
	expect(looked.repairs[0]?.geometry?.type).toBe('Polygon');
	expect(looked.added[0]?.measuredHa).toBeCloseTo(4.0006, 4);
	const done = await api.fields.import({ key: 'a', path, repairs: [{ record: 1, repair: 'outline' }] });
	const [, { id = '' } = {}] = (await api.fields.list({})).toSorted((one, other) => (one.name < other.name ? -1 : 1));
	const { measurements, field } = await api.fields.get({ id });
	expect(field.measuredHa).toBeCloseTo(4, 4);
	expect(done.repairs.map(({ chosen, geometry }) => [chosen, geometry])).toEqual([[true, undefined]]);
	expect(measurements.map(({ source }) => source)).toEqual([
		'fields.geojson; repaired: a spike cut off; 40,006 m² before, 40,000 m² after',
	]);
	const [line] = await api.upkeep.audit({ limit: 1 });
	expect(line?.procedure).toBe('fields.import');
	expect(line?.changes).toContain('repaired: a spike cut off; 40,006 m² before, 40,000 m² after');
});

test('an import without repairs tells the same offers as its preview, but for the outlines', async () => {
	const { api } = testBooks();
	const path = file([
		{ name: 'Spiked', corners: spiked },
		{ name: 'Eight', corners: eight.map(([x = 0, y = 0]) => [x, y + 900]) },
	]);
	const looked = await api.fields.import({ path, dryRun: true });
	const done = await api.fields.import({ key: 'a', path });
	expect(looked.repairs.map(({ geometry }) => geometry?.type)).toEqual(['Polygon', 'MultiPolygon']);
	expect(done.repairs).toEqual(looked.repairs.map(({ geometry: _, ...rest }) => rest));
	expect([done.left, done.refused]).toEqual([looked.left, looked.refused]);
});

test('a record that cannot be measured comes in with its repair, and stays out without it', async () => {
	const { api } = testBooks();
	const path = file([{ name: 'Eight', corners: eight }]);
	const looked = await api.fields.import({ path, dryRun: true });
	expect(looked.refused).toMatchObject([{ record: 1, name: 'Eight' }]);
	expect(looked.repairs).toMatchObject([{ record: 1, beforeM2: null, did: 'a crossing untangled' }]);
	const done = await api.fields.import({ key: 'a', path, repairs: [{ record: 1, repair: 'outline' }] });
	expect([done.refused, done.added.length]).toEqual([[], 1]);
	expect(done.added[0]?.measuredHa).toBeCloseTo((looked.repairs[0]?.afterM2 ?? 0) / 10_000, 6);
});

test('an open ring is closed and said, with the length of the closing side', async () => {
	const { api } = testBooks();
	const path = file([{ name: 'Open', corners: square(0), open: true }]);
	const { warnings, added } = await api.fields.import({ path, dryRun: true });
	expect(warnings).toEqual([
		{
			code: 'boundary.open ring',
			message:
				'Open: the outer boundary does not return to its first point; it was closed there, with a side of 200.0 m',
			record: '1',
		},
	]);
	expect(added[0]?.measuredHa).toBeCloseTo(4, 4);
});

test('a boundary that stands twice can be left out once', async () => {
	const { api } = testBooks();
	const path = file([
		{ name: 'One', corners: square(0) },
		{ name: 'Other', corners: square(0).toReversed() },
	]);
	const looked = await api.fields.import({ path, dryRun: true });
	expect(looked.repairs).toMatchObject([{ record: 2, repair: 'leave out', afterM2: 0, chosen: false }]);
	expect(looked.warnings.map(({ code }) => code)).toContain('field.duplicate');
	const done = await api.fields.import({ key: 'a', path, repairs: [{ record: 2, repair: 'leave out' }] });
	expect(done.added.map(({ name }) => name)).toEqual(['One']);
	expect(done.file.totalHa).toBeCloseTo(4, 4);
	expect(done.warnings).toEqual([]);
});

test('a sliver can be left out; it is no field that a machine works', async () => {
	const { api } = testBooks();
	const sliver: readonly Corner[] = [
		[0, 0],
		[100, 0],
		[100, 0.2],
		[0, 0.2],
	];
	const path = file([
		{ name: 'Edge', corners: sliver },
		{ name: 'Sound', corners: square(400) },
	]);
	const looked = await api.fields.import({ path, dryRun: true });
	expect(looked.added).toHaveLength(2);
	expect(looked.repairs).toMatchObject([{ record: 1, repair: 'leave out', afterM2: 0, chosen: false }]);
	expect(looked.left).toEqual([]);
	const done = await api.fields.import({ key: 'a', path, repairs: [{ record: 1, repair: 'leave out' }] });
	expect(done.added.map(({ name }) => name)).toEqual(['Sound']);
});

test('a small overlap can be cut away from either field, once; a large one from neither', async () => {
	const { api } = testBooks();
	const path = file([
		{ name: 'West', corners: square(0) },
		{ name: 'East', corners: square(195) },
		{ name: 'Across', corners: square(300, 0) },
	]);
	const looked = await api.fields.import({ path, dryRun: true });
	expect(looked.repairs.map(({ record, repair }) => `${record} ${repair}`)).toEqual(['1 cut away', '2 cut away']);
	expect(looked.left.map(({ why }) => why)).toEqual([expect.stringContaining('more than 5 % of the smaller')]);
	for (const [record, other] of [
		[1, 2],
		[2, 1],
	] as const) {
		const cut = await api.fields.import({ path, dryRun: true, repairs: [{ record, repair: 'cut away' }] });
		expect(cut.repairs.map((it) => [it.record, it.chosen])).toEqual([[record, true]]);
		expect(cut.added.find((it) => it.record === record)?.measuredHa).toBeCloseTo(3.9, 3);
		expect(cut.added.find((it) => it.record === other)?.measuredHa).toBeCloseTo(4, 3);
	}
	const both = await api.fields.import({ path, dryRun: true, repairs: [{ record: 1, repair: 'cut away' }] });
	expect(both.file.totalHa).toBeCloseTo(11.9, 3);
});

test('ground shared with a field of the register is named, and cut away from the file’s field', async () => {
	const { api } = testBooks();
	await api.fields.import({ key: 'a', path: file([{ name: 'Home', corners: square(0) }], 'old.geojson') });
	const path = file([{ name: 'New', corners: square(195) }], 'new.geojson');
	const looked = await api.fields.import({ path, dryRun: true });
	expect(looked.warnings.map(({ message }) => message)).toEqual([
		'New (record 1) and Home of the register share 1000 m² of ground',
	]);
	const done = await api.fields.import({ key: 'b', path, repairs: [{ record: 1, repair: 'cut away' }] });
	expect(done.added[0]?.measuredHa).toBeCloseTo(3.9, 3);
	const home = (await api.fields.list({})).find(({ name }) => name === 'Home');
	expect(home?.measuredHa).toBeCloseTo(4, 4);
});

test('a name alone does not move a field to other ground', async () => {
	const { api } = testBooks();
	await api.fields.import({ key: 'a', path: file([{ name: 'Home', corners: square(0) }], 'old.geojson') });
	const path = file([{ name: 'Home', corners: square(40_000) }], 'new.geojson');
	const looked = await api.fields.import({ path, dryRun: true });
	expect([looked.added.length, looked.updated.length]).toEqual([1, 0]);
	expect(looked.far).toMatchObject([{ record: 1, name: 'Home', by: 'name', field: 'Home', taken: false }]);
	expect(looked.far[0]?.km).toBeCloseTo(40, 0);
	const taken = await api.fields.import({ path, dryRun: true, sameThoughFar: [1] });
	expect([taken.updated.length, taken.far[0]?.taken]).toEqual([1, true]);
});

test('a changed file shows the old boundary beside the new, and the old measurement stays', async () => {
	const { api } = testBooks();
	const first = file([{ name: 'Home', corners: square(0) }], 'old.geojson');
	await api.fields.import({ key: 'a', path: first });
	const path = file([{ name: 'Home', corners: square(0, 0, 210) }], 'new.geojson');
	const { updated } = await api.fields.import({ path, dryRun: true });
	expect(updated[0]?.measuredBeforeHa).toBeCloseTo(4, 4);
	expect(updated[0]?.measuredHa).toBeCloseTo(4.41, 4);
	expect(updated[0]?.geometryBefore?.type).toBe('Polygon');
	expect(updated[0]?.geometryBefore).not.toEqual(updated[0]?.geometry);
	await api.fields.import({ key: 'b', path });
	const [{ id = '' } = {}] = await api.fields.list({});
	const { measurements } = await api.fields.get({ id });
	expect(measurements.map(({ source }) => source)).toEqual(['new.geojson', 'old.geojson']);
});

test('a crop column with EPPO codes gives the codes, and the crops’ names where they are listed', async () => {
	const { api } = testBooks();
	const path = file([
		{ name: 'One', crop: 'TRZAX', corners: square(0) },
		{ name: 'Two', crop: 'BRSNW', corners: square(400) },
		{ name: 'Three', crop: 'QQQQX', corners: square(800) },
	]);
	const { added, file: about } = await api.fields.import({ key: 'a', path, season: 2027 });
	expect([about.cropAttribute, about.cropCodeAttribute]).toEqual([null, 'crop']);
	const wanted = [
		['Wheat', 'TRZAX'],
		['Winter oilseed rape', 'BRSNW'],
		['QQQQX', 'QQQQX'],
	];
	expect(added.map(({ crop, eppoCode }) => [crop, eppoCode])).toEqual(wanted);
	const grown = await api.fields.crops({ season: 2027 });
	expect(grown.map(({ crop, eppoCode }) => [crop, eppoCode]).sort()).toEqual(wanted.toSorted());
});

test('crops come with the boundaries: guessed, changeable, and never over one that is entered', async () => {
	const { api } = testBooks();
	const rows = [
		{ name: 'One', Kultur: 'Winterweizen', Sorte: 'Alba', NC: '115', corners: square(0) },
		{ name: 'Two', Kultur: 'Raps', Sorte: '', NC: '311', corners: square(400) },
	];
	const path = file(rows);
	const looked = await api.fields.import({ path, dryRun: true });
	expect([looked.file.cropAttribute, looked.file.varietyAttribute]).toEqual(['Kultur', 'Sorte']);
	expect(looked.added.map(({ crop, variety }) => [crop, variety])).toEqual([
		['Winterweizen', 'Alba'],
		['Raps', undefined],
	]);
	const none = await api.fields.import({ path, dryRun: true, cropAttribute: null });
	expect(none.added.map(({ crop }) => crop)).toEqual([undefined, undefined]);
	await api.fields.import({ key: 'a', path, season: 2027 });
	const grown = await api.fields.crops({ season: 2027 });
	expect(grown.map(({ crop, fields }) => `${crop}: ${fields}`).sort()).toEqual(['Raps: 1', 'Winterweizen: 1']);
	const changed = file(rows.map((row) => ({ ...row, Kultur: 'Gerste' })));
	const again = await api.fields.import({ key: 'b', path: changed, season: 2027 });
	expect(again.warnings.filter(({ code }) => code === 'crop.kept').map(({ message }) => message)).toEqual([
		'One: Winterweizen is entered for 2027 and stays; the file says Gerste',
		'Two: Raps is entered for 2027 and stays; the file says Gerste',
	]);
});
