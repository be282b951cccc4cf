import proj4 from 'proj4';
import { expect, test } from 'vitest';
import { toWgs84 } from '../../electron/files/place-records.ts';
import { shiftAt } from '../../shared/core/geodesy/datums.ts';
import { projDefinition, systemFromCode } from '../../shared/core/geodesy/reference-system.ts';

/*
 * Worked examples that the keepers of the grids publish. The first three are of the projections alone, the last takes the
 * datum shift along.
 *
 * OSGB36: Ordnance Survey, A guide to coordinate systems in Great Britain, annex C (the point of Caister water tower), and
 * its Helmert transformation of section 6.6. RD and the second OSGB36 point: IOGP Publication 373-7-2 (EPSG Guidance Note
 * 7-2), Oblique Stereographic and Transverse Mercator. All figures were read in published tests of other geodetic
 * programs that cite these pages; the pages themselves were not at hand.
 */
const degrees = (whole: number, minutes: number, seconds: number) => whole + minutes / 60 + seconds / 3600;
const METRES_PER_DEGREE = 111_320;

function systemOf(epsg: number) {
	const system = systemFromCode(epsg);
	if (!system) throw new Error(`EPSG:${epsg} is not known`);
	return system;
}

/** Longitude and latitude on the grid's own datum. */
function onOwnDatum(epsg: number, point: [number, number]): [number, number] {
	const definition = projDefinition(systemOf(epsg), null);
	const ellipsoid = definition.match(/\+(a|rf)=\S+/g)?.join(' ');
	const [lon = Number.NaN, lat = Number.NaN] = proj4(
		definition,
		`+proj=longlat ${ellipsoid} +towgs84=0,0,0 +no_defs`,
	).forward(point);
	return [lon, lat];
}

function metresApart([lon, lat]: readonly [number, number], [trueLon, trueLat]: readonly [number, number]): number {
	const east = (lon - trueLon) * Math.cos((trueLat * Math.PI) / 180);
	return Math.hypot(east, lat - trueLat) * METRES_PER_DEGREE;
}

test.each<[string, number, [number, number], [number, number], number]>([
	[
		'British National Grid',
		27700,
		[651_409.903, 313_177.27],
		[degrees(1, 43, 4.5177), degrees(52, 39, 27.2531)],
		0.002,
	],
	['British National Grid, EPSG', 27700, [577_274.99, 69_740.5], [0.5, 50.5], 0.01],
	['RD New, EPSG', 28992, [196_105.283, 557_057.739], [6, 53], 0.001],
])('%s: the projection on its own ellipsoid', (_, epsg, grid, own, withinM) => {
	expect(metresApart(onOwnDatum(epsg, grid), own)).toBeLessThan(withinM);
});

test('OSGB36 to WGS 84 by the published Helmert transformation, to the last digit of the example', () => {
	const published = [degrees(1, 42, 57.787), degrees(52, 39, 28.723)] as const;
	const system = systemOf(27700);
	const shift = shiftAt(system.datum, ...published);
	const point = [651_409.903, 313_177.27] as const;
	expect(shift?.operation).toBe('OSGB36 to WGS 84 (6)');
	// A thousandth of a second is 3 cm.
	expect(metresApart(toWgs84(system, shift)(...point), published)).toBeLessThan(0.03);
	expect(metresApart(toWgs84(system, null)(...point), published)).toBeGreaterThan(100);
});
