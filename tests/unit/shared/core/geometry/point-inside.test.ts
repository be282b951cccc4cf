import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Part, Ring } from '../../../../../shared/core/geometry/boundary.ts';
import { pointInside } from '../../../../../shared/core/geometry/point-inside.ts';

describe('a place on the ground', () => {
	test('of a field that bends, of one with a hole in the middle, of one across 180°', () => {
		const bent: Ring = [
			[0, 0],
			[3, 0],
			[3, 1],
			[1, 1],
			[1, 4],
			[0, 4],
		];
		const square: Ring = [
			[0, 0],
			[4, 0],
			[4, 4],
			[0, 4],
		];
		const pond: Ring = [
			[1.5, 0.5],
			[1.5, 3.5],
			[3.9, 3.5],
			[3.9, 0.5],
		];
		const across: Ring = [
			[179.5, 10],
			[-179.9, 10],
			[-179.9, 11],
			[179.5, 11],
		];
		expect([pointInside([[bent]]), pointInside([[square, pond]]), pointInside([[across]])]).toEqual([
			[0.5, 2],
			[0.75, 2],
			[expect.closeTo(179.8, 9), 10.5],
		]);
	});

	test('lies inside whatever the outline: seen from it, the ring goes round once', () => {
		const star = fc.array(fc.double({ min: 0.2, max: 1, noNaN: true }), { minLength: 3, maxLength: 30 });
		fc.assert(
			fc.property(star, (radii) => {
				const ring = radii.map((radius, index) => {
					const angle = (2 * Math.PI * index) / radii.length;
					return [10 + radius * Math.cos(angle), 50 + radius * Math.sin(angle)];
				});
				const place = pointInside([[ring]] satisfies Part[]);
				expect(Math.abs(turns(ring, place ?? [0, 0]))).toBeCloseTo(1, 9);
			}),
			{ seed: 23, numRuns: 300 },
		);
	});

	test('nothing where there is no ground', () => {
		expect([pointInside([]), pointInside([[[]]])]).toEqual([null, null]);
	});
});

/** How often a ring goes round a place, from the angles its edges are seen under. */
function turns(ring: Ring, [lon = 0, lat = 0]: readonly number[]): number {
	let sum = 0;
	for (const [index, [lonA = 0, latA = 0]] of ring.entries()) {
		const [lonB = 0, latB = 0] = ring[(index + 1) % ring.length] ?? [];
		const angle = Math.atan2(latB - lat, lonB - lon) - Math.atan2(latA - lat, lonA - lon);
		sum += Math.atan2(Math.sin(angle), Math.cos(angle));
	}
	return sum / (2 * Math.PI);
}
