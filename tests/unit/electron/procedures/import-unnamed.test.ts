import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { scratchFolder } from '../scratch.ts';
import { testBooks } from './test-books.ts';

/** A file of squares at these corners; with names where they are given. */
function file(corners: readonly (readonly [lon: number, lat: number])[], names: readonly string[] = []): string {
	const path = join(scratchFolder(), 'fields.geojson');
	const features = corners.map(([west, south], index) => {
		const [east, north] = [west + 0.004, south + 0.003];
		const ring = [
			[west, south],
			[east, south],
			[east, north],
			[west, north],
			[west, south],
		];
		const properties = names.length > 0 ? { name: names[index] } : {};
		return { type: 'Feature', properties, geometry: { type: 'Polygon', coordinates: [ring] } };
	});
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features }));
	return path;
}

test('two files without names do not overwrite each other: their fields are new', async () => {
	const { api } = testBooks();
	const here = [
		[10, 52],
		[10.005, 52],
	] as const;
	const elsewhere = [
		[8, 47],
		[8.005, 47],
	] as const;
	await api.fields.import({ key: 'a', path: file(here) });
	const looked = await api.fields.import({ key: 'b', path: file(elsewhere), dryRun: true });
	const second = await api.fields.import({ key: 'c', path: file(elsewhere) });
	for (const { added, updated } of [looked, second]) expect([added.length, updated]).toEqual([2, []]);
	expect(await api.fields.list({})).toHaveLength(4);
});

test('a file without names is matched by its ground, and the register keeps its names', async () => {
	const { api } = testBooks();
	await api.fields.import({ key: 'a', path: file([[10, 52]], ['Home Ground']) });
	const path = file([
		[10.005, 52],
		[10.0001, 52],
	]);
	for (const dryRun of [true, false]) {
		const { added, updated } = await api.fields.import({ key: `b ${dryRun}`, path, dryRun });
		expect(added.map(({ name }) => name)).toEqual(['Field 1']);
		expect(updated).toMatchObject([{ name: 'Home Ground', matchedBy: 'overlap' }]);
	}
	expect((await api.fields.list({})).map(({ name }) => name)).toEqual(['Field 1', 'Home Ground']);
});
