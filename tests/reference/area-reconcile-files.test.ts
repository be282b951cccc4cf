import { readFileSync } from 'node:fs';
import papaparse from 'papaparse';
import { expect, test } from 'vitest';
import { reconcile } from '../../shared/core/geometry/area-reconciliation.ts';
import { gridScalePpm, mappedAreasAreOf, stepOfFigures } from '../../shared/core/geometry/planar-scale.ts';
import { sharedData } from '../shared-data.ts';

/*
 * National registers: ground area by Planimeter, plane area in the file's own map projection by PROJ 9.1.1, and the area the
 * register itself states. Most of these are plane areas, rounded: no one's error. Scales as published beside the files
 * (plane ÷ ground over the whole file); the fields of a file differ a little.
 */
const registers = [
	{ file: 'dk-utm32/Marker_2026.shp', hectares: 1, areOf: 'plane', step: 0.01, percent: -0.05484 },
	{ file: 'fr-lambert93/parcelles_shp.shp', hectares: 1, areOf: 'plane', step: 0.01, percent: -0.06597 },
	{
		file: 'at-mgi-lambert/INSPIRE_SCHLAEGE_2025-1_POLYGON.gpkg',
		hectares: 1,
		areOf: 'plane',
		step: null,
		percent: -0.04956,
	},
	{ file: 'de-bb-utm33/antrag_land_gem.shp', hectares: 1, areOf: 'plane', step: 0.0001, percent: -0.02722 },
	{ file: 'ch-lv95/lwb_nutzungsflaechen_v2_0_lv95.gpkg', hectares: 1e-4, areOf: 'plane', step: 1, percent: 0.01838 },
	{
		file: 'us-ca-stateplane-ft/ca_crops_2226.shp',
		hectares: 0.40468564224,
		areOf: 'ground',
		step: null,
		percent: 0.02268,
	},
] as const;

type Row = { legal_value: string; area_ha: string; perimeter_m: string; planar_area_in_file_crs_ha: string };

test.for(registers)(
	'$file (skipped without the boundary files)',
	({ file, hectares, areOf, step, percent }, context) => {
		const path = sharedData(`real/${file}.reference.csv`);
		if (path === null) return context.skip();
		const { data } = papaparse.parse<Row>(readFileSync(path, 'utf8'), { header: true, skipEmptyLines: true });
		const figures = data.map((row) => Number(row.legal_value));
		const fields = data.map((row, index) => ({
			planeHa: Number(row.planar_area_in_file_crs_ha),
			groundHa: Number(row.area_ha),
			mappedHa: (figures[index] ?? 0) * hectares,
			perimeterM: Number(row.perimeter_m),
		}));
		expect(stepOfFigures(figures)).toBe(step);
		const stepHa = (step ?? 0) * hectares;
		const ppm = gridScalePpm(fields) ?? 0;
		const planeHa = fields.reduce((sum, field) => sum + field.planeHa, 0);
		const groundHa = fields.reduce((sum, field) => sum + field.groundHa, 0);
		expect((planeHa / groundHa - 1) * 100).toBeCloseTo(percent, 3);
		expect(Math.abs(ppm / 1e4 - percent)).toBeLessThan(0.03);
		expect(mappedAreasAreOf(fields, stepHa)).toBe(areOf);

		const results = fields.map(({ groundHa: measuredHa, mappedHa, perimeterM }) =>
			reconcile({
				measuredHa,
				mappedHa,
				perimeterM,
				mappedStepHa: stepHa,
				gridScalePpm: areOf === 'plane' ? ppm : 0,
			}),
		);
		expect(results.filter(({ withinTolerance }) => !withinTolerance)).toEqual([]);
		expect(results.flatMap(({ causes }) => causes).some(({ cause }) => cause === 'unit or column mix-up')).toBe(false);
		const unexplained = results.map(({ unexplainedHa }) => Math.abs(unexplainedHa)).sort((one, other) => one - other);
		expect(unexplained[Math.floor(unexplained.length / 2)]).toBeLessThan(0.0001);
	},
);
