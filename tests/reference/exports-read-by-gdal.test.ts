import { execFileSync, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import type { Feature, FeatureCollection } from 'geojson';
import { expect, test } from 'vitest';
import { areaByGeographicLib } from '../geographiclib.ts';
import { testBooks } from '../unit/electron/procedures/test-books.ts';

/*
 * What the register writes, read back by GDAL (Debian: gdal-bin), which shares no code with the program; areas by
 * GeographicLib (Karney 2013). GDAL has no reader of ISO 11783-10 task data: those are held against the standard's types
 * in tests/unit/electron/procedures/export-fields.test.ts.
 */

const hasGdal = spawnSync('ogr2ogr', ['--version']).status === 0;

const box = (west: number, south: number, east: number, north: number) => ({
	type: 'Polygon' as const,
	coordinates: [
		[
			[west, south],
			[west, north],
			[east, north],
			[east, south],
			[west, south],
		],
	],
});

/** An invented field with a strip along two sides, a pond that is drawn, and an oak by its area alone. */
async function written(format: 'geojson' | 'shapefile' | 'csv', name: string) {
	const { api, folder } = testBooks();
	const { id } = await api.fields.add({
		name: 'Große Wiese',
		code: 'GW',
		mappedHa: 9.9,
		geometry: box(0.1, 52.1, 0.1046, 52.1028),
	});
	const edges = [
		{ ring: 0, edge: 0 },
		{ ring: 0, edge: 1 },
	];
	await api.fields.addStrip({ key: 's', id, kind: 'strip', label: 'Ditch', edges, widthM: 6 });
	const geometry = box(0.102, 52.101, 0.1024, 52.1013);
	await api.fields.addStrip({ key: 'p', id, kind: 'obstacle', label: 'Pond', geometry });
	await api.fields.addStrip({ key: 'o', id, kind: 'obstacle', label: 'Oak', areaHa: 0.02 });
	const { path } = await api.fields.export({ format, path: join(folder, name) });
	return { path, detail: await api.fields.get({ id }) };
}

/** A layer as GDAL reads it, in WGS 84 whatever the file says its system is. */
function readByGdal(source: string): Feature[] {
	const read = execFileSync('ogr2ogr', ['-f', 'GeoJSON', '-t_srs', 'EPSG:4326', '/vsistdout/', source]);
	return (JSON.parse(read.toString()) as FeatureCollection).features;
}

function areaHa({ geometry }: Feature): number | null {
	return geometry === null ? null : areaByGeographicLib(geometry).areaHa;
}

test.skipIf(!hasGdal)('GeoJSON: fields, strips and obstacles, each with its area', async () => {
	const { path, detail } = await written('geojson', 'fields.geojson');
	const features = readByGdal(path);
	const [field] = features.filter(({ properties }) => properties?.['kind'] === 'field');
	expect(field?.properties).toMatchObject({ name: 'Große Wiese', code: 'GW', mapped_ha: 9.9 });
	expect(field && areaHa(field)).toBeCloseTo(detail.field.measuredHa ?? 0, 5);
	for (const strip of detail.strips) {
		const read = features.find(({ properties }) => properties?.['name'] === strip.label);
		expect(read?.properties).toMatchObject({ of_field: 'Große Wiese' });
		expect(Number(read?.properties?.['left_out_ha'])).toBeCloseTo(strip.areaHa, 6);
		if (strip.geometry) expect(read && areaHa(read)).toBeCloseTo(strip.areaHa, 4);
		else expect(read?.geometry).toBeNull();
	}
});

test.skipIf(!hasGdal)('shapefile: two layers in one archive, names and areas whole', async () => {
	const { path, detail } = await written('shapefile', 'fields.zip');
	const [field, ...more] = readByGdal(`/vsizip/${path}/fields.shp`);
	expect(more).toEqual([]);
	expect(field?.properties).toMatchObject({ name: 'Große Wiese', code: 'GW', mapped_ha: 9.9 });
	expect(field && areaHa(field)).toBeCloseTo(detail.field.measuredHa ?? 0, 5);
	const leftOut = readByGdal(`/vsizip/${path}/not sprayed.shp`);
	expect(leftOut.map(({ properties }) => [properties?.['name'], Number(properties?.['area_ha'])])).toEqual(
		detail.strips.map(({ label, areaHa: ha }) => [label, expect.closeTo(ha, 6)]),
	);
	expect(leftOut.map(areaHa)).toEqual(
		detail.strips.map(({ geometry, areaHa: ha }) => (geometry ? expect.closeTo(ha, 4) : null)),
	);
});

test.skipIf(!hasGdal)('CSV: one line a field, with what is left out of it', async () => {
	const { path, detail } = await written('csv', 'fields.csv');
	const [line, ...more] = readByGdal(path);
	expect(more).toEqual([]);
	expect(line?.properties).toMatchObject({ field: 'Große Wiese', 'no-spray strips': '1', obstacles: '2' });
	expect(Number(line?.properties?.['area to load for (ha)'])).toBeCloseTo(detail.field.loadForHa ?? 0, 6);
});
