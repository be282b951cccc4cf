import { expect, test } from 'vitest';
import { gapBetween } from '../../../../../shared/core/geometry/gap-between.ts';
import { polygonAt } from './metres.ts';

/** A rectangle from its west and east, south and north, in metres. */
function rectangle(west: number, east: number, south = 0, north = 200) {
	return polygonAt([
		[west, south],
		[east, south],
		[east, north],
		[west, north],
	]);
}

/** A lane of 6 m × 200 m, its ends drawn in by the segment of a circle of 15 m over a chord of 6 m. */
const LANE_M2 = 6 * 200 - 2 * (15 ** 2 * Math.asin(3 / 15) - 3 * Math.sqrt(15 ** 2 - 3 ** 2));

function gapOf(...fields: Parameters<typeof gapBetween>[0]) {
	const gap = gapBetween(fields);
	if (!gap.ok) throw new Error(JSON.stringify(gap.problem));
	return gap.value;
}

test('fields that touch, overlap or lie a hairline apart have no gap, whatever their order', () => {
	const [west, middle, east] = [rectangle(0, 100), rectangle(100, 200), rectangle(200, 300)];
	for (const fields of [
		[west, middle],
		[west, rectangle(90, 200)],
		[west, rectangle(100.002, 200)],
		[west, east, middle],
		[middle, west, east],
		[rectangle(0, 100), rectangle(100, 200, 200, 300)],
	])
		expect(gapOf(...fields)).toBeNull();
});

test('a lane between two fields is a gap with its width and its area', () => {
	expect(gapOf(rectangle(0, 100), rectangle(106, 200))).toEqual({
		...{ narrowestM: expect.closeTo(6, 3), furthestM: expect.closeTo(6, 3) },
		areaM2: expect.closeTo(LANE_M2, 0),
	});
	// A wedge of 6 m in the south and 16 m in the north, its ends drawn in by some 28 m² together.
	const slanted = polygonAt([
		[106, 0],
		[200, 0],
		[200, 200],
		[116, 200],
	]);
	const wedge = gapOf(rectangle(0, 100), slanted);
	expect(wedge?.narrowestM).toBeCloseTo(6, 3);
	expect(Math.abs((wedge?.areaM2 ?? 0) - 2200)).toBeLessThan(30);
});

test('an inlet of one of the fields is no gap between them', () => {
	const notched = polygonAt([
		[0, 0],
		[100, 0],
		[100, 200],
		[55, 200],
		[55, 100],
		[45, 100],
		[45, 200],
		[0, 200],
	]);
	expect(gapOf(notched, rectangle(106, 200))?.areaM2).toBeCloseTo(LANE_M2, 0);
});

test('fields further apart than a lane have no gap to measure, only a distance; of several the furthest is told too', () => {
	const near = (metres: number) => expect.closeTo(metres, 3);
	expect(gapOf(rectangle(0, 100), rectangle(400, 500))).toEqual({
		...{ narrowestM: near(300), furthestM: near(300), areaM2: null },
	});
	expect(gapOf(rectangle(0, 100), rectangle(106, 200), rectangle(500, 600))).toEqual({
		...{ narrowestM: near(6), furthestM: near(300), areaM2: expect.closeTo(LANE_M2, 0) },
	});
	// Corner to corner over a crossing of lanes.
	expect(gapOf(rectangle(0, 100), rectangle(106, 200, 208, 400))).toEqual({
		...{ narrowestM: near(10), furthestM: near(10), areaM2: null },
	});
});
