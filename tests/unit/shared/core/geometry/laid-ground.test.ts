import type { Polygon } from 'geojson';
import { expect, test } from 'vitest';
import { layGround, sharedArea } from '../../../../../shared/core/geometry/laid-ground.ts';
import { findOverlaps, overlapM2 } from '../../../../../shared/core/geometry/overlap.ts';
import { seededRandom } from '../../../seeded-random.ts';
import { polygonAt } from './metres.ts';

type Corner = readonly [number, number];

/** Rings seen from one point inside never cross themselves; the hole keeps clear of the outline. */
function star(random: () => number, farM: number, withHole = false): Polygon {
	const [x, y] = [random() * farM, random() * farM];
	const corners = 5 + Math.floor(random() * 30);
	const turn = random() < 0.5 ? 1 : -1;
	const ring = (least: number, most: number) =>
		Array.from({ length: corners }, (_, corner): Corner => {
			const angle = (turn * 2 * Math.PI * corner) / corners;
			const radius = least + random() * (most - least);
			return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
		});
	return withHole ? polygonAt(ring(80, 200), ring(10, 40)) : polygonAt(ring(40, 200));
}

test.each([
	['single rings', false],
	['rings with holes', true],
])('2,000 random pairs, %s: the area that drawing them with the clipping library gives', (_, withHole) => {
	const random = seededRandom(20_270_415);
	let met = 0;
	for (let pair = 0; pair < 2000; pair++) {
		const [one, other] = [star(random, 300, withHole), star(random, 300)];
		const drawn = overlapM2(one, other);
		const [found] = findOverlaps(
			[one, other].map((geometry, index) => ({ id: String(index), geometry, simple: true })),
			{ leastM2: 0.5 },
		);
		// The library rounds to a tenth of a millimetre; the planes have other origins.
		expect(Math.abs((found?.m2 ?? 0) - (drawn.ok ? drawn.value : Number.NaN))).toBeLessThan(0.6);
		if (found) met++;
	}
	expect(met).toBeGreaterThan(1000);
});

test('neighbours that share every point of an edge share no ground', () => {
	const edge = Array.from(
		{ length: 12 },
		(_, step): Corner => [100 + 9 * Math.sin(step), 20 * (step + Math.cos(step) / 3)],
	);
	const ground = (corners: readonly Corner[]) =>
		layGround([{ points: corners.map(([x, y]) => ({ x, y })), isHole: false }]);
	const west = ground([[0, 0], ...edge, [0, 240]]);
	const east = ground([[200, 240], ...edge.toReversed(), [200, 0]]);
	expect(sharedArea(west, east)).toBeLessThan(1e-9);
	const all = ground([
		[-10, -10],
		[300, -10],
		[300, 300],
		[-10, 300],
	]);
	expect(sharedArea(west, west)).toBeGreaterThan(20_000);
	expect(sharedArea(west, west)).toBeCloseTo(sharedArea(all, west), 6);
});

test('fields whose rings are looked at first give the same pairs, figures of eight among them', () => {
	const random = seededRandom(7);
	const fields = Array.from({ length: 300 }, (_, index) => ({ id: String(index), geometry: star(random, 3000) }));
	const eight = polygonAt([
		[1000, 1000],
		[1600, 1600],
		[1600, 1000],
		[1000, 1600],
	]);
	const found = findOverlaps([...fields, { id: 'eight', geometry: eight }]);
	const known = fields.map((field) => ({ ...field, simple: true }));
	expect(findOverlaps([...known, { id: 'eight', geometry: eight }])).toEqual(found);
	const withEight = found.filter(({ other }) => other === 'eight');
	expect(withEight.length).toBeGreaterThan(5);
	for (const { one, m2 } of withEight) {
		expect(overlapM2(fields[Number(one)]?.geometry ?? eight, eight)).toEqual({
			ok: true,
			value: expect.closeTo(m2, 0),
		});
	}
});
