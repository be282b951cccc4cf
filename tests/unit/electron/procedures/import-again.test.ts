import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { scratchFolder } from '../scratch.ts';
import { refusal, testBooks } from './test-books.ts';

type Field = { readonly name: string; readonly east: number; readonly [column: string]: unknown };

/** A file of fields of about 7.6 ha each, side by side. */
function file(fields: readonly Field[]): string {
	const path = join(scratchFolder(), 'fields.geojson');
	const features = fields.map(({ east, wider = 0, ...properties }) => {
		const [west, right] = [0.1 + east, 0.104 + east + Number(wider)];
		const ring = [
			[west, 52.1],
			[right, 52.1],
			[right, 52.1025],
			[west, 52.1025],
			[west, 52.1],
		];
		return { type: 'Feature', properties, geometry: { type: 'Polygon', coordinates: [ring] } };
	});
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features }));
	return path;
}

test('a boundary that stands in the register already is told, and makes no second measurement', async () => {
	const { api } = testBooks();
	const path = file([
		{ name: 'Mill Piece', east: 0, ha: 7.5 },
		{ name: 'Long Ground', east: 0.01, ha: 7.5 },
	]);
	await api.fields.import({ key: 'one', path });
	const ids = new Map((await api.fields.list({})).map(({ id, name }) => [name, id]));
	const id = ids.get('Mill Piece') ?? '';
	await api.fields.addStrip({
		key: 'strip',
		id,
		kind: 'strip',
		label: 'Ditch',
		widthM: 5,
		edges: [{ ring: 0, edge: 0 }],
	});
	const again = file([
		{ name: 'Mill Piece', east: 0.000_000_004, ha: 7.6 },
		{ name: 'Long Ground', east: 0.01, wider: 0.0001, ha: 7.5 },
	]);
	const looked = await api.fields.import({ path: again, dryRun: true });
	const same = (report: typeof looked) => report.updated.map(({ name, sameBoundary }) => [name, sameBoundary ?? false]);
	expect(same(looked)).toEqual([
		['Mill Piece', true],
		['Long Ground', false],
	]);
	expect(same(await api.fields.import({ key: 'two', path: again }))).toEqual(same(looked));
	const mill = await api.fields.get({ id });
	expect([mill.measurements.length, mill.field.mappedHa, mill.strips[0]?.look]).toEqual([1, 7.6, undefined]);
	const renamed = file([{ name: 'Mill Field', east: 0, ha: 7.6 }]);
	const { updated } = await api.fields.import({ path: renamed, dryRun: true });
	expect(updated.map(({ name, nameBefore, matchedBy }) => [name, nameBefore, matchedBy])).toEqual([
		['Mill Field', 'Mill Piece', 'overlap'],
	]);
	const long = await api.fields.get({ id: ids.get('Long Ground') ?? '' });
	expect(long.measurements.length).toBe(2);
});

test('an area column that fits in no unit is told; asked for its unit, each says what it would come to', async () => {
	const { api } = testBooks();
	const path = file([
		{ name: 'Mill Piece', east: 0, Area: 12, Plot: 3 },
		{ name: 'Long Ground', east: 0.01, Area: 12, Plot: 3 },
	]);
	const { warnings, file: about } = await api.fields.import({ path, dryRun: true });
	expect(about.mappedAreaAttribute).toBeNull();
	expect(warnings.map(({ code, message }) => [code, /column (\w+)/.exec(message)?.[1]])).toEqual([
		['mappedArea.inDoubt', 'Area'],
		['mappedArea.inDoubt', 'Plot'],
	]);
	const asked = await refusal(api.fields.import({ path, mappedAreaAttribute: 'Area' }));
	expect(asked).toMatchObject({
		code: 'file.areaUnitUnclear',
		details: { choices: expect.arrayContaining(['ha', 'ac']), totalsHa: { ha: 24, m2: 0.0024 } },
	});
	const { totalsHa, measuredHa } = asked.details as { totalsHa: { ac: number }; measuredHa: number };
	expect(totalsHa.ac).toBeCloseTo(9.712, 3);
	expect(measuredHa).toBeCloseTo(about.totalHa, 6);
	const said = await api.fields.import({ path, dryRun: true, mappedAreaAttribute: null });
	expect(said.warnings).toEqual([]);
});
