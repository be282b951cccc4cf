import fc from 'fast-check';
import type { Polygon } from 'geojson';
import { expect, test } from 'vitest';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { areaByGeographicLib, pointFrom } from '../geographiclib.ts';

/*
 * Against GeographicLib: C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013) 43–55, section 6, in its own
 * JavaScript translation. The shapes are invented.
 */
const RELATIVE = 1e-6;
/** GeographicLib adds areas up from the equator: a small parcel keeps this much of its rounding, in m². */
const ORACLE_ROUNDING_M2 = 1e-4;

const place = fc.record({
	lon: fc.double({ min: -180, max: 180, noNaN: true }),
	lat: fc.double({ min: -70, max: 70, noNaN: true }),
});

/** A star-shaped field about a point: radii vary from a fifth to the whole of the size. */
const field = fc
	.record({
		centre: place,
		sizeM: fc.integer({ min: 3, max: 5_000 }),
		radii: fc.array(fc.double({ min: 0.2, max: 1, noNaN: true }), { minLength: 3, maxLength: 80 }),
	})
	.map(({ centre, sizeM, radii }) => {
		const ring = radii.map((radius, index) =>
			pointFrom([centre.lon, centre.lat], (360 * index) / radii.length, sizeM * radius),
		);
		return closed(ring);
	});

/** A long thin strip in any direction, as wide as a boom. */
const strip = fc
	.record({
		start: place,
		azimuth: fc.double({ min: 0, max: 360, noNaN: true }),
		lengthM: fc.integer({ min: 100, max: 30_000 }),
		widthM: fc.integer({ min: 6, max: 48 }),
	})
	.map(({ start, azimuth, lengthM, widthM }) => {
		const near: [number, number] = [start.lon, start.lat];
		const nearSide = pointFrom(near, azimuth + 90, widthM);
		return closed([near, pointFrom(near, azimuth, lengthM), pointFrom(nearSide, azimuth, lengthM), nearSide]);
	});

test('fields of any size, place and number of points are measured as GeographicLib measures them', () => {
	fc.assert(fc.property(field, expectAsGeographicLib), { seed: 20270415, numRuns: 400 });
});

test('long strips are measured as GeographicLib measures them', () => {
	fc.assert(fc.property(strip, expectAsGeographicLib), { seed: 20270416, numRuns: 400 });
});

test.each([
	[
		'a strip of 4 ha and 2.2 km along a parallel at 52°',
		[
			[0.5, 52],
			[0.532, 52],
			[0.532, 52.000165],
			[0.5, 52.000165],
		],
	],
	[
		'a county of 40 km',
		[
			[-81.5, 36.2],
			[-81.05, 36.25],
			[-81.1, 36.6],
			[-81.55, 36.55],
		],
	],
	[
		'a parcel of 30 m² at 70° north',
		[
			[25, 70],
			[25.00014, 70],
			[25.00014, 70.00005],
			[25, 70.00005],
		],
	],
	[
		'a parcel of 30 m² far east of Greenwich',
		[
			[178.5, -38],
			[178.50006, -38],
			[178.50006, -38.00005],
			[178.5, -38.00005],
		],
	],
	[
		'a field across 180°, numbered −180° to 180°',
		[
			[179.99, -16],
			[-179.99, -16],
			[-179.99, -16.01],
			[179.99, -16.01],
		],
	],
	[
		'a field across 180°, numbered past it',
		[
			[179.99, -16],
			[180.01, -16],
			[180.01, -16.01],
			[179.99, -16.01],
		],
	],
	[
		'a field numbered 0° to 360°',
		[
			[359.99, 51],
			[360.01, 51],
			[360.01, 51.01],
			[359.99, 51.01],
		],
	],
	[
		'a field across the equator',
		[
			[30, -0.005],
			[30.01, -0.005],
			[30.01, 0.005],
			[30, 0.005],
		],
	],
	[
		'ten degrees by ten',
		[
			[10, 45],
			[20, 45],
			[20, 55],
			[10, 55],
		],
	],
] as [string, [number, number][]][])('%s is measured as GeographicLib measures it', (_, ring) => {
	expectAsGeographicLib(closed(ring));
});

function closed(ring: [number, number][]): Polygon {
	const first = ring[0] ?? [0, 0];
	return { type: 'Polygon', coordinates: [[...ring, first]] };
}

function expectAsGeographicLib(geometry: Polygon): void {
	const measured = measure({ geometry });
	if (!measured.ok) throw new Error(String(measured.problem.details['why']));
	const expected = areaByGeographicLib(geometry);
	const { areaHa, perimeterM, vertexCount } = measured.value;
	expect(Math.abs(areaHa - expected.areaHa)).toBeLessThanOrEqual(RELATIVE * expected.areaHa + ORACLE_ROUNDING_M2 / 1e4);
	expect(Math.abs(perimeterM - expected.perimeterM)).toBeLessThanOrEqual(RELATIVE * expected.perimeterM);
	expect(vertexCount).toBe(expected.vertexCount);
}
