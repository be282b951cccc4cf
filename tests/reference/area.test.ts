import { readFileSync } from 'node:fs';
import papaparse from 'papaparse';
import { expect, test } from 'vitest';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { readShapes } from '../read-shapes.ts';
import { sharedData } from '../shared-data.ts';

/*
 * Areas and perimeters by Planimeter (GeographicLib 2.1.2, C++), one row a feature, for the real boundary files whose
 * coordinates are degrees of WGS 84 or a datum like it (ETRS89, NAD83). Files in a map projection or on an old datum are
 * compared where they are read.
 */
const inDegrees = [
	'real/br-formats/lem.geojson',
	'real/br-wgs84/LEM_dataset.shp',
	'real/cz-etrs89/GEOPROSTOR_ZADOSTI23_2024-08-01_epsg4258.shp',
	'real/us-ca-nad83-zm/ca_crops_nad83.shp',
	'real/jecam-wgs84/BD_JECAM_CIRAD_2023_feb.zip',
	'hostile/d28-swapped-lat-lon/fields.shp',
	'hostile/d29-antimeridian/crossing.shp',
	'hostile/d29-antimeridian/past180.shp',
	'hostile/d29-antimeridian/unmoved.shp',
];

type ReferenceRow = { area_ha: string; perimeter_m: string; area_if_datum_shift_ignored_ha: string };

/** 1e-6 of the area, and what the reference's eight decimals of a hectare and four of a metre leave open. */
const RELATIVE = 1e-6;
const LAST_DIGIT = { areaHa: 1e-8, perimeterM: 1e-4 };

for (const file of inDegrees) {
	const path = sharedData(file);
	test.skipIf(path === null)(
		`${file} is measured as Planimeter measures it (skipped without the boundary files)`,
		async () => {
			const geometries = await readShapes(path ?? '');
			const rows = readReference(path ?? '');
			expect(geometries.length).toBe(rows.length);
			const off = geometries.flatMap<unknown>((geometry, index) => {
				if (!geometry) return [{ index, geometry }];
				const measured = measure({ geometry });
				const row = rows[index];
				if (!measured.ok || !row) return [{ index, measured }];
				const { areaHa, perimeterM } = measured.value;
				const near =
					Math.abs(areaHa - Number(row.area_ha)) <= RELATIVE * areaHa + LAST_DIGIT.areaHa &&
					Math.abs(perimeterM - Number(row.perimeter_m)) <= RELATIVE * perimeterM + LAST_DIGIT.perimeterM;
				return near ? [] : [{ index, areaHa, perimeterM, row }];
			});
			expect(off).toEqual([]);
		},
	);
}

const counties = sharedData('real/us-nc-nad27/nc.shp');
test.skipIf(counties === null)(
	'counties, degrees of NAD27 taken for WGS 84, have the area Planimeter finds for that (skipped without the boundary files)',
	async () => {
		const geometries = await readShapes(counties ?? '');
		const rows = readReference(counties ?? '');
		const off = geometries.map((geometry, index) => {
			const measured = geometry ? measure({ geometry }) : null;
			const expectedHa = Number(rows[index]?.area_if_datum_shift_ignored_ha);
			return measured?.ok ? Math.abs(measured.value.areaHa / expectedHa - 1) : 1;
		});
		expect(off).toHaveLength(100);
		expect(Math.max(...off)).toBeLessThan(RELATIVE);
	},
);

function readReference(path: string): ReferenceRow[] {
	for (const ending of ['.reference.csv', '.gdal-reading.csv']) {
		const text = readOr(`${path}${ending}`);
		if (text !== null) return papaparse.parse<ReferenceRow>(text, { header: true, skipEmptyLines: true }).data;
	}
	throw new Error(`no reference beside ${path}`);
}

function readOr(path: string): string | null {
	try {
		return readFileSync(path, 'utf8');
	} catch {
		return null;
	}
}
