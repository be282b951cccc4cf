import { describe, expect, test } from 'vitest';
import { findDatum } from '../../../../../shared/core/geodesy/datums.ts';
import { describedSystem } from '../../../../../shared/core/geodesy/described-system.ts';
import { listedSystems, systemFromCode, utm } from '../../../../../shared/core/geodesy/reference-system.ts';
import { parseWkt } from '../../../../../shared/core/geodesy/well-known-text.ts';

/** .prj texts as two families of programs write them. */
const osgb =
	'PROJCS["British_National_Grid",GEOGCS["GCS_OSGB_1936",DATUM["D_OSGB_1936",SPHEROID["Airy_1830",6377563.396,299.3249646]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",400000.0],PARAMETER["False_Northing",-100000.0],PARAMETER["Central_Meridian",-2.0],PARAMETER["Scale_Factor",0.9996012717],PARAMETER["Latitude_Of_Origin",49.0],UNIT["Meter",1.0]]';
const osgbOgc =
	'PROJCS["OSGB 1936 / British National Grid", GEOGCS["OSGB 1936", DATUM["OSGB_1936", SPHEROID["Airy 1830",6377563.396,299.3249646, AUTHORITY["EPSG","7001"]], TOWGS84[446.448,-125.157,542.06,0.15,0.247,0.842,-20.489]], PRIMEM["Greenwich",0], UNIT["degree",0.0174532925199433]], PROJECTION["Transverse_Mercator"], PARAMETER["latitude_of_origin",49], PARAMETER["central_meridian",-2], PARAMETER["scale_factor",0.9996012717], PARAMETER["false_easting",400000], PARAMETER["false_northing",-100000], UNIT["metre",1], AXIS["Easting",EAST], AXIS["Northing",NORTH], AUTHORITY["EPSG","27700"]]';
const swiss =
	'PROJCS["CH1903+_LV95",GEOGCS["GCS_CH1903+",DATUM["D_CH1903+",SPHEROID["Bessel_1841",6377397.155,299.1528128]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Hotine_Oblique_Mercator_Azimuth_Center"],PARAMETER["False_Easting",2600000.0],PARAMETER["False_Northing",1200000.0],PARAMETER["Scale_Factor",1.0],PARAMETER["Azimuth",90.0],PARAMETER["Longitude_Of_Center",7.439583333333333],PARAMETER["Latitude_Of_Center",46.95240555555556],UNIT["Meter",1.0]]';
const krovak = (plane: number) =>
	`PROJCS["S-JTSK_Krovak",GEOGCS["GCS_S_JTSK",DATUM["D_S_JTSK",SPHEROID["Bessel_1841",6377397.155,299.1528128]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Krovak"],PARAMETER["False_Easting",0.0],PARAMETER["False_Northing",0.0],PARAMETER["Pseudo_Standard_Parallel_1",78.5],PARAMETER["Scale_Factor",0.9999],PARAMETER["Azimuth",30.28813975277778],PARAMETER["Longitude_Of_Center",24.83333333333333],PARAMETER["Latitude_Of_Center",49.5],PARAMETER["X_Scale",-1.0],PARAMETER["Y_Scale",1.0],PARAMETER["XY_Plane_Rotation",${plane}],UNIT["Meter",1.0]]`;

function inShort(text: string) {
	const described = describedSystem(text);
	if (described.kind !== 'system') return described;
	const { epsg, datum, method, ownShift } = described.system;
	return { epsg, datum: datum.name, method, ownShift };
}

describe('the reference system a file describes', () => {
	test.each([
		['as .prj files write it', osgb, { epsg: 27700, datum: 'OSGB36', method: 'tmerc', ownShift: null }],
		[
			'with a shift of its own',
			osgbOgc,
			{
				epsg: 27700,
				datum: 'OSGB36',
				method: 'tmerc',
				ownShift: [446.448, -125.157, 542.06, 0.15, 0.247, 0.842, -20.489],
			},
		],
		[
			'with zeros for a shift',
			osgbOgc.replace(/TOWGS84\[[^\]]*\]/, 'TOWGS84[0,0,0,0,0,0,0]'),
			{ epsg: 27700, datum: 'OSGB36', method: 'tmerc', ownShift: null },
		],
		[
			'oblique, its central line running due east',
			swiss,
			{ epsg: 2056, datum: 'CH1903+', method: 'somerc', ownShift: null },
		],
		[
			'of Křovák, turned to east and north',
			krovak(90),
			{ epsg: 5514, datum: 'S-JTSK', method: 'krovak', ownShift: null },
		],
		[
			'by a WKT 2 text, only by its code',
			'PROJCRS["x",BASEGEOGCRS["y"],ID["EPSG",25832]]',
			{ epsg: 25832, datum: 'ETRS89', method: 'tmerc', ownShift: null },
		],
		[
			'within a compound one',
			`COMPD_CS["both",${osgb},VERT_CS["height"]]`,
			{ epsg: 27700, datum: 'OSGB36', method: 'tmerc', ownShift: null },
		],
		[
			'with NUL bytes and spaces around',
			`  ${osgb}\0\0 `,
			{ epsg: 27700, datum: 'OSGB36', method: 'tmerc', ownShift: null },
		],
	])('%s', (_, text, wanted) => {
		expect(inShort(text)).toEqual(wanted);
	});

	test.each([
		[
			'no datum that is known',
			osgb.replace('D_OSGB_1936', 'D_Somewhere'),
			'its datum D_Somewhere has no known shift to WGS 84',
		],
		[
			'another ellipsoid',
			osgb.replace('6377563.396', '6378137'),
			'datum OSGB36 stands on Airy 1830, the file gives another ellipsoid',
		],
		['no unit', osgb.replace(',UNIT["Meter",1.0]', ''), 'it names no unit of length'],
		[
			'an oblique line',
			swiss.replace('"Azimuth",90.0', '"Azimuth",53.3'),
			'its projection Hotine_Oblique_Mercator_Azimuth_Center is not one the program computes',
		],
		['axes south and west', osgbOgc.replace('EAST', 'WEST'), 'its axes point west or south'],
		[
			'grads',
			osgb
				.slice(osgb.indexOf('GEOGCS'), osgb.indexOf(',PROJECTION'))
				.replace('0.0174532925199433', '0.015707963267949'),
			'its coordinates are not in degrees',
		],
		['Křovák unturned', krovak(0), 'its projection Krovak is not one the program computes'],
	])('is not supported with %s', (_, text, why) => {
		expect(describedSystem(text)).toMatchObject({ kind: 'unsupported', why });
	});

	test.each([
		'',
		'EPSG:27700',
		'�PNG',
		'PROJCS["cut',
		'PROJCS["a"]]',
		'HELLO["a"]',
		`A[${'B['.repeat(40)}1${']'.repeat(40)}]`,
		'x'.repeat(30_000),
	])('is unreadable (%#)', (text) => {
		expect(describedSystem(text).kind).toBe('unreadable');
	});
});

test('well-known text is read as a tree', () => {
	expect(parseWkt('A["x ""y""",1.5e-3,B(NORTH),-.5]')).toEqual({
		keyword: 'A',
		values: ['x "y"', 0.0015, { keyword: 'B', values: ['NORTH'] }, -0.5],
	});
});

test.each([
	['D_North_American_1983_HARN', 'NAD83'],
	['European_Terrestrial_Reference_System_1989', 'ETRS89'],
	['World Geodetic System 1984 ensemble', 'WGS 84'],
	['WGS_1984_(G1762)', 'WGS 84'],
	['ITRF2014', 'ETRS89'],
	['D_CH1903+', 'CH1903+'],
	['D_CH1903', 'CH1903'],
	['D_Unknown', undefined],
])('datum %s is %s', (name, wanted) => {
	expect(findDatum(name)?.name).toBe(wanted);
});

test('UTM codes run as in the EPSG dataset', () => {
	const names = [32631, 32760, 25832, 26917, 26710, 23031, 28355, 7855, 31983, 31972, 29193].map(
		(code) => systemFromCode(code)?.name,
	);
	expect(names).toEqual([
		'WGS 84 / UTM zone 31N',
		'WGS 84 / UTM zone 60S',
		'ETRS89 / UTM zone 32N',
		'NAD83 / UTM zone 17N',
		'NAD27 / UTM zone 10N',
		'ED50 / UTM zone 31N',
		'GDA94 / UTM zone 55S',
		'GDA2020 / UTM zone 55S',
		'SIRGAS 2000 / UTM zone 23S',
		'SIRGAS 2000 / UTM zone 18N',
		'SAD69 / UTM zone 23S',
	]);
	expect([systemFromCode(32661), systemFromCode(25827), utm('WGS 84', 61, false, null)]).toEqual([null, null, null]);
});

test('every listed system is finite and has an area of use', () => {
	const faulty = listedSystems.filter(
		({ terms, bounds, epsg }) =>
			!epsg || !bounds || [...Object.values(terms), ...bounds].some((figure) => !Number.isFinite(figure)),
	);
	expect(faulty).toEqual([]);
});
