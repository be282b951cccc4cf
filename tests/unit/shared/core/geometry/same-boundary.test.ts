import { expect, test } from 'vitest';
import { type Position, sameBoundary } from '../../../../../shared/core/geometry/same-boundary.ts';

const ring: Position[] = [
	[0.1, 52.1],
	[0.104, 52.1003],
	[0.1045, 52.102],
	[0.1002, 52.1031],
	[0.1, 52.1],
];

test('a ring is the same from another point, the other way round, and rounded to the millimetre', () => {
	const open = ring.slice(0, -1);
	const elsewhere = [...open.slice(2), ...open.slice(0, 3)];
	const rounded = elsewhere.map(([lon, lat]): Position => [lon + 4e-9, lat - 4e-9]);
	for (const other of [elsewhere, ring.toReversed(), rounded, rounded.toReversed()])
		expect(sameBoundary([[ring]], [[other]])).toBe(true);
});

test('a moved point, a point more, a hole or a part more is another boundary', () => {
	const moved = ring.map(([lon, lat], at): Position => [at === 2 ? lon + 1e-6 : lon, lat]);
	const more = [...ring.slice(0, 2), [0.1042, 52.1011] as const, ...ring.slice(2)];
	expect(sameBoundary([[ring]], [[moved]])).toBe(false);
	expect(sameBoundary([[ring]], [[more]])).toBe(false);
	expect(sameBoundary([[ring]], [[ring, ring]])).toBe(false);
	expect(sameBoundary([[ring]], [[ring], [ring]])).toBe(false);
});
