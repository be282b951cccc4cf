import { expect, test } from 'vitest';
import { reconcile } from '../../../../../shared/core/geometry/area-reconciliation.ts';
import {
	gridScalePpm,
	mappedAreasAreOf,
	planeArea,
	stepOfFigures,
} from '../../../../../shared/core/geometry/planar-scale.ts';

test('the plane area of a field far from its grid origin, with a hole, in feet', () => {
	const [x, y] = [6_500_000.25, 2_100_000.5];
	const ring = [
		[x, y],
		[x + 1000, y],
		[x + 1000, y + 500],
		[x, y + 500],
		[x, y],
	];
	const hole = [
		[x + 100, y + 100],
		[x + 100, y + 200],
		[x + 300, y + 200],
		[x + 300, y + 100],
		[x + 100, y + 100],
	];
	const foot = 1200 / 3937;
	expect(planeArea([[ring, hole]], foot)).toBeCloseTo((480_000 * foot ** 2) / 10_000, 9);
	expect(planeArea([[ring.toReversed().slice(1)], [hole]], 1)).toBeCloseTo(52, 9);
});

test('the scale of a file is the median of its fields', () => {
	const fields = [-700, -710, -720, -5000, -705].map((ppm) => ({ planeHa: 4 * (1 + ppm * 1e-6), groundHa: 4 }));
	expect(gridScalePpm(fields)).toBeCloseTo(-710, 6);
	expect(gridScalePpm(fields.slice(0, 2))).toBeCloseTo(-705, 6);
	expect(gridScalePpm([{ planeHa: 1, groundHa: 0 }])).toBeNull();
});

test('mapped areas are of the plane, of the ground, or it is not clear', () => {
	const fields = [12.3, 4.04, 33.3, 0.4, 7.7].map((groundHa) => ({ groundHa, planeHa: groundHa * (1 - 720e-6) }));
	const rounded = (areaHa: number) => Math.round(areaHa * 1000) / 1000;
	const ofPlane = fields.map((field) => ({ ...field, mappedHa: rounded(field.planeHa) }));
	const ofGround = fields.map((field) => ({ ...field, mappedHa: rounded(field.groundHa) }));
	const declared = fields.map((field) => ({ ...field, mappedHa: rounded(field.groundHa * 1.01) }));
	expect([ofPlane, ofGround, declared, []].map((file) => mappedAreasAreOf(file, 0.001))).toEqual([
		'plane',
		'ground',
		'unclear',
		'unclear',
	]);
	const [first] = ofPlane;
	if (!first) throw new Error('five fields');
	const ppm = gridScalePpm(fields) ?? 0;
	const result = reconcile({
		measuredHa: first.groundHa,
		mappedHa: first.mappedHa,
		perimeterM: 1500,
		gridScalePpm: ppm,
	});
	expect(Math.abs(result.unexplainedHa)).toBeLessThan(0.0005 + 1e-9);
});

test.each([
	[[3.17, 12.4, 0.85], 0.01],
	[[3386, 21_744], 1],
	[[0.44999998807907104, 0.3700000047683716, 2.4800000190734863], 0.01],
	[[0.0003, 12.4455], 0.0001],
	[[0, 0], 1],
	[[1.2247214212577322, 3.381716140466297], null],
	[[], null],
])('the step of %j is %d', (figures, step) => {
	expect(stepOfFigures(figures)).toBe(step);
});
