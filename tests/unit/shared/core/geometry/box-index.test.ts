import { expect, test } from 'vitest';
import { type Box, boxIndex } from '../../../../../shared/core/geometry/box-index.ts';
import { shortWay } from '../../../../../shared/core/geometry/unrolled-ring.ts';
import { seededRandom } from '../../../seeded-random.ts';

test('no box that meets another is missed, none is told twice: small, wide, at the poles and across 180°', () => {
	const random = seededRandom(3);
	const boxes = Array.from({ length: 600 }, (_, index): Box => {
		const size = index % 40 === 0 ? 3 : 0.004 + random() * 0.02;
		const south = index % 3 === 0 ? 89.96 - random() * 0.1 : random() * 0.1;
		return {
			south,
			north: Math.min(90, south + size),
			middle: 179.95 + random() * 0.1 - (index % 5 === 0 ? 360 : 0),
			halfWidth: size / 2,
		};
	});
	const index = boxIndex<number>();
	let meetings = 0;
	for (const [number, box] of boxes.entries()) {
		const told = [...index.meet(box)];
		expect(new Set(told).size).toBe(told.length);
		const met = boxes.slice(0, number).flatMap((other, place) => (meets(box, other) ? [place] : []));
		meetings += met.length;
		expect(met.filter((place) => !told.includes(place))).toEqual([]);
		index.add(box, number);
	}
	expect(meetings).toBeGreaterThan(1_000);
});

test('a box is not held against those far away', () => {
	const index = boxIndex<string>();
	const at = (middle: number): Box => ({ south: 50, north: 50.002, middle, halfWidth: 0.001 });
	index.add(at(10), 'near');
	index.add(at(10.1), 'far');
	expect([...index.meet(at(10.0005))]).toEqual(['near']);
});

function meets(one: Box, other: Box): boolean {
	if (one.south > other.north || other.south > one.north) return false;
	return Math.abs(shortWay(one.middle - other.middle)) <= one.halfWidth + other.halfWidth;
}
