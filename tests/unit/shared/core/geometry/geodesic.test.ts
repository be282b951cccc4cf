import fc from 'fast-check';
import { expect, test } from 'vitest';
import { geodesicBetween, pointAlong } from '../../../../../shared/core/geometry/geodesic.ts';
import { lineBetween } from '../../../../geographiclib.ts';

const latitude = fc.double({ min: -89, max: 89, noNaN: true });

test('lengths and azimuths are those of GeographicLib to 0.1 mm, for lines up to 60° of longitude', () => {
	fc.assert(
		fc.property(latitude, latitude, fc.double({ min: -60, max: 60, noNaN: true }), (fromLat, toLat, east) => {
			const line = geodesicBetween(fromLat, toLat, east);
			const expected = lineBetween([0, fromLat], [east, toLat]);
			expect(Math.abs((line?.lengthM ?? 0) - expected.lengthM)).toBeLessThan(1e-4);
			if (line && line.lengthM > 1) {
				const turn = line.azimuth - (expected.azimuth * Math.PI) / 180;
				expect(Math.abs(Math.sin(turn)) * line.lengthM).toBeLessThan(1e-3);
			}
		}),
		{ seed: 20270420, numRuns: 500 },
	);
});

test('a point along a line lies on it: the two parts are as long as the whole', () => {
	fc.assert(
		fc.property(
			latitude,
			latitude,
			fc.double({ min: -60, max: 60, noNaN: true }),
			fc.double({ min: 0.1, max: 0.9, noNaN: true }),
			(fromLat, toLat, east, share) => {
				const line = geodesicBetween(fromLat, toLat, east);
				if (!line || line.lengthM < 10) return;
				const middle = pointAlong(fromLat, line.azimuth, line.lengthM * share);
				const before = lineBetween([0, fromLat], [middle.east, middle.lat]).lengthM;
				const after = lineBetween([middle.east, middle.lat], [east, toLat]).lengthM;
				expect(Math.abs(before - line.lengthM * share)).toBeLessThan(1e-3);
				expect(Math.abs(before + after - line.lengthM)).toBeLessThan(1e-3);
			},
		),
		{ seed: 20270421, numRuns: 500 },
	);
});

test('one point is no distance from itself, and opposite points give no line', () => {
	expect(geodesicBetween(52, 52, 0)).toEqual({ lengthM: 0, azimuth: 0 });
	expect(geodesicBetween(0.3, -0.3, 179.7)).toBeNull();
});
