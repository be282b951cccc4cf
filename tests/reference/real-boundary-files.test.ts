import { readFileSync } from 'node:fs';
import papaparse from 'papaparse';
import { describe, expect, test } from 'vitest';
import { type BoundaryFile, type ReadingOptions, readBoundaryFile } from '../../electron/files/boundary-file.ts';
import { guessAttributes } from '../../electron/files/guess-attributes.ts';
import { sharedData } from '../shared-data.ts';

/*
 * Every layer of the real boundary files, feature by feature, against Planimeter (GeographicLib 2.1.2, C++) over the vertices
 * that PROJ 9.1.1 took to WGS 84 without grid files. The datum operation is the one that reference names.
 */
type RealLayer = {
	readonly file: string;
	readonly epsg: number;
	readonly shift?: string;
	readonly encoding?: string;
	readonly options?: ReadingOptions;
	/** The legal area: column and unit, as the register describes them. */
	readonly legal?: readonly [attribute: string, unit: string];
};

const layers: readonly RealLayer[] = [
	{ file: 'dk-utm32/Marker_2026.shp', epsg: 25832, encoding: 'windows-1252', legal: ['IMK_areal', 'ha'] },
	{ file: 'nl-rdnew/brp_fields_1200.shp', epsg: 28992, shift: 'Amersfoort to WGS 84 (4)', encoding: 'windows-1252' },
	{ file: 'fr-lambert93/PARCELLES_GRAPHIQUES.gpkg', epsg: 2154, legal: ['surf_parc', 'ha'] },
	{ file: 'fr-lambert93/parcelles_shp.shp', epsg: 2154, encoding: 'utf-8', legal: ['surf_parc', 'ha'] },
	{
		file: 'at-mgi-lambert/INSPIRE_SCHLAEGE_2025-1_POLYGON.gpkg',
		epsg: 31287,
		shift: 'MGI to WGS 84 (3)',
		legal: ['SL_FLAECHE_BRUTTO_HA', 'ha'],
	},
	{ file: 'de-bb-utm33/antrag_land_gem.shp', epsg: 25833, encoding: 'windows-1252', legal: ['groesse', 'ha'] },
	{
		file: 'cz-etrs89/GEOPROSTOR_ZADOSTI23_2024-08-01_epsg4258.shp',
		epsg: 4258,
		encoding: 'utf-8',
		legal: ['ZAKRES_VYM', 'ha'],
	},
	{ file: 'br-wgs84/LEM_dataset.shp', epsg: 4326 },
	{ file: 'br-wgs84-noprj/LEM_noprj.shp', epsg: 4326, options: { crs: 'EPSG:4326' } },
	{ file: 'br-formats/lem.geojson', epsg: 4326 },
	{ file: 'br-formats/lem.kml', epsg: 4326 },
	{ file: 'br-formats/lem.gpkg', epsg: 4326 },
	{ file: 'jecam-wgs84/BD_JECAM_CIRAD_2023_feb.zip', epsg: 4326, legal: ['Area_ha', 'ha'] },
	{ file: 'us-ca-stateplane-ft/ca_crops_2226.shp', epsg: 2226, legal: ['ACRES', 'ac'] },
	{ file: 'us-ca-nad83-zm/ca_crops_nad83.shp', epsg: 4269, legal: ['ACRES', 'ac'] },
	{
		file: 'ch-lv95/lwb_nutzungsflaechen_v2_0_lv95.gpkg',
		epsg: 2056,
		shift: 'CH1903+ to WGS 84 (1)',
		legal: ['flaeche_m2', 'm2'],
	},
	{ file: 'gb-bng/gb_parcels.shp', epsg: 27700, shift: 'OSGB36 to WGS 84 (6)' },
	{ file: 'gb-bng/inspire-example.geojson', epsg: 27700, shift: 'OSGB36 to WGS 84 (6)' },
	{ file: 'gb-bng/inspire_polygon_osdb.geojson', epsg: 27700, shift: 'OSGB36 to WGS 84 (6)' },
	{ file: 'us-nc-nad27/nc.shp', epsg: 4267, shift: 'NAD27 to WGS 84 (4)' },
	{ file: 'us-ny-stateplane-ft/nybb_16a.zip', epsg: 2263, legal: ['Shape_Area', 'ft2'] },
	{ file: 'dk-webmercator/dk_3857.shp', epsg: 3857, legal: ['IMK_areal', 'ha'] },
	{ file: 'si-kml/si_fields.kml', epsg: 4326, legal: ['AREA', 'm2'] },
];

/** The goal for each feature; the pass mark set for these files is ten times wider, a hundred times on an old datum. */
const AREA_WITHIN = { relative: 1e-6, m2: 0.1 };
const PERIMETER_WITHIN = { relative: 1e-6, m: 0.01 };

describe.each(layers)('$file', ({ file, epsg, shift, encoding, options, legal }) => {
	const path = sharedData(`real/${file}`);

	test.skipIf(path === null)('is measured as Planimeter measures it (skipped without the boundary files)', async () => {
		const read = await readBoundaryFile(path ?? '', options);
		if (!read.ok) return expect(read).toEqual({ ok: true });
		const rows = referenceRows(path ?? '');
		const { crs, records } = read.value;
		expect([records.length, crs.epsg, crs.shiftUsed]).toEqual([rows.length, epsg, shift]);
		if (encoding) expect(read.value.encoding).toBe(encoding);
		const off = records.flatMap<unknown>(({ record, measured, planarAreaM2, refused }, index) => {
			const row = rows[index];
			if (!measured || !row) return [{ record, refused }];
			const [m2, trueM2] = [measured.areaHa * 10_000, Number(row.area_ha) * 10_000];
			const [perimeter, truePerimeter] = [measured.perimeterM, Number(row.perimeter_m)];
			const planar = row.planar_area_in_file_crs_ha === '' ? null : Number(row.planar_area_in_file_crs_ha) * 10_000;
			const fits =
				Math.abs(m2 - trueM2) <= Math.max(AREA_WITHIN.relative * trueM2, AREA_WITHIN.m2) &&
				Math.abs(perimeter - truePerimeter) <=
					Math.max(PERIMETER_WITHIN.relative * truePerimeter, PERIMETER_WITHIN.m) &&
				(planar === null
					? planarAreaM2 === undefined
					: Math.abs((planarAreaM2 ?? 0) - planar) <= Math.max(1e-7 * planar, 0.01));
			return fits ? [] : [{ record, m2, trueM2, perimeter, truePerimeter, planarAreaM2, planar }];
		});
		expect(off).toEqual([]);
	});

	test.skipIf(path === null)(
		'has the labels and legal areas the reference has (skipped without the boundary files)',
		async () => {
			const read = await readBoundaryFile(path ?? '', options);
			if (!read.ok) return expect(read).toEqual({ ok: true });
			const rows = referenceRows(path ?? '');
			// The reference writes whole numbers of a decimal column as 7010691.0.
			const labels = rows.map(({ label }) => label.trim().replace(/^(\d+)\.0$/, '$1'));
			const shown = (name: string) => read.value.records.map(({ properties }) => String(properties[name] ?? '').trim());
			expect(read.value.attributes.some(({ name }) => isSame(shown(name), labels))).toBe(true);
			const guess = guessAttributes(read.value, measuredHa(read.value));
			expect([guess.mappedArea, guess.mappedAreaUnit]).toEqual(legal ?? [null, null]);
		},
	);
});

test.skipIf(sharedData('real/br-wgs84-noprj/LEM_noprj.shp') === null)(
	'a file without .prj is asked about, its degrees offered first (skipped without the boundary files)',
	async () => {
		const read = await readBoundaryFile(sharedData('real/br-wgs84-noprj/LEM_noprj.shp') ?? '');
		if (read.ok) return expect(read.value.crs).toBeNull();
		const { code, details } = read.problem;
		const [first] = Array.isArray(details['choices']) ? details['choices'] : [];
		expect([code, first]).toEqual([
			'file.crsUnknown',
			// 8 996.63 ha by Planimeter; the choice shows the total to a hundredth of a per cent.
			{ crs: 'EPSG:4326', name: 'WGS 84', totalHa: expect.closeTo(8996.63, -0.5), centre: [-45.89471, -12.19929] },
		]);
	},
);

test.skipIf(sharedData('real/us-nc-nad27/nc.shp') === null)(
	'a column of square degrees is no area, even when it is named one (skipped without the boundary files)',
	async () => {
		const read = await readBoundaryFile(sharedData('real/us-nc-nad27/nc.shp') ?? '');
		if (!read.ok) return expect(read).toEqual({ ok: true });
		const areas = measuredHa(read.value);
		expect([
			guessAttributes(read.value, areas).mappedArea,
			guessAttributes(read.value, areas, 'AREA').mappedAreaUnit,
		]).toEqual([null, null]);
	},
);

type ReferenceRow = {
	readonly label: string;
	readonly area_ha: string;
	readonly perimeter_m: string;
	readonly planar_area_in_file_crs_ha: string;
};

function referenceRows(path: string): ReferenceRow[] {
	return papaparse.parse<ReferenceRow>(readFileSync(`${path}.reference.csv`, 'utf8'), {
		header: true,
		skipEmptyLines: true,
	}).data;
}

function measuredHa({ records }: BoundaryFile): (number | null)[] {
	return records.map(({ measured }) => measured?.areaHa ?? null);
}

function isSame(one: readonly string[], other: readonly string[]): boolean {
	return one.every((text, index) => text === other[index]);
}
