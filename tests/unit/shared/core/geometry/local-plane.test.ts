import { expect, test } from 'vitest';
import { localPlane } from '../../../../../shared/core/geometry/local-plane.ts';
import { lineBetween, pointFrom } from '../../../../geographiclib.ts';

const places = [0, 30, 52, -70, 85].flatMap((lat) => [-180, 11, 179.99].map((lon): [number, number] => [lon, lat]));

test.each(places)(
	'about %d, %d lengths to 5 km are true to 2e-7 by GeographicLib, and the way back to 0.01 mm',
	(lon, lat) => {
		const plane = localPlane([lon, lat]);
		for (const azimuth of [0, 37, 90, 145, 180, 270]) {
			for (const lengthM of [10, 1_000, 5_000]) {
				const point = pointFrom([lon, lat], azimuth, lengthM);
				const onPlane = plane.toPlane(point);
				expect(Math.abs(Math.hypot(onPlane.x, onPlane.y) / lengthM - 1)).toBeLessThan(2e-7);
				expect(lineBetween(point, plane.toDegrees(onPlane)).lengthM).toBeLessThan(1e-5);
			}
		}
	},
);

test('east is x and north is y, and 50 km along the meridian stay true', () => {
	const plane = localPlane([11, 52]);
	const north = plane.toPlane(pointFrom([11, 52], 0, 50_000));
	expect([north.x, north.y]).toEqual([expect.closeTo(0, 6), expect.closeTo(50_000, 5)]);
	expect(plane.toPlane([11.001, 52]).x).toBeGreaterThan(68);
});
