import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
	boundaryOf,
	type Draft,
	type DraftStep,
	type LonLat,
	nextDraft,
	roundAt,
	snapped,
	startDraft,
} from '../../../renderer/map/outline.ts';
import { measure } from '../../../shared/core/geometry/polygon-area.ts';

const ring: LonLat[] = [
	[0, 52],
	[0, 52.01],
	[0.01, 52.01],
	[0.01, 52],
];
const square = { type: 'Polygon' as const, coordinates: [[...ring, [0, 52]]] };

const after = (draft: Draft, ...steps: DraftStep[]) => steps.reduce(nextDraft, draft);

test('a boundary that is only looked at comes back as it was', () => {
	expect(boundaryOf(startDraft(square).outline)).toEqual(square);
});

test('draws a ring point by point and closes it from three points on', () => {
	const two = after(startDraft(null), { do: 'add', point: [0, 52] }, { do: 'add', point: [0, 52.01] });
	const closed = after(two, { do: 'close' }, { do: 'add', point: [0.01, 52.01] }, { do: 'close' });
	expect([boundaryOf(two.outline), boundaryOf(closed.outline)]).toEqual([
		null,
		{
			type: 'Polygon',
			coordinates: [
				[
					[0, 52],
					[0, 52.01],
					[0.01, 52.01],
					[0, 52],
				],
			],
		},
	]);
});

test('moves, inserts and removes points; undo gives each step back', () => {
	const at = { part: 0, ring: 0, point: 3 };
	const start = startDraft(square);
	const moved = after(start, { do: 'move', at, to: [0.02, 52] });
	const inserted = after(moved, { do: 'insert', after: at, point: [0.005, 51.99] });
	const removed = after(inserted, { do: 'remove', at: { ...at, point: 0 } });
	expect([moved, inserted, removed].map(({ outline }) => outline[0]?.[0]?.map(([lon]) => lon))).toEqual([
		[0, 0, 0.01, 0.02],
		[0, 0, 0.01, 0.02, 0.005],
		[0, 0.01, 0.02, 0.005],
	]);
	expect(after(removed, { do: 'undo' }, { do: 'undo' }, { do: 'undo' }, { do: 'undo' })).toEqual(start);
});

test('a triangle keeps its three points; a second part goes as a whole', () => {
	const at = { part: 0, ring: 0, point: 0 };
	const triangle = after(startDraft(square), { do: 'remove', at });
	const two = after(
		triangle,
		{ do: 'draw part' },
		...ring.slice(0, 3).map((point): DraftStep => ({ do: 'add', point })),
		{ do: 'close' },
	);
	const one = after(two, { do: 'remove', at: { ...at, part: 1 } });
	expect([after(triangle, { do: 'remove', at }) === triangle, two.outline.length, one.outline]).toEqual([
		true,
		2,
		triangle.outline,
	]);
});

test('any run of steps can be taken back to the start', () => {
	const point = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 50, max: 51, noNaN: true }));
	const at = fc.record({ part: fc.nat(2), ring: fc.nat(1), point: fc.nat(6) });
	const step: fc.Arbitrary<DraftStep> = fc.oneof(
		point.map((each): DraftStep => ({ do: 'add', point: each })),
		fc.constantFrom<DraftStep>({ do: 'close' }, { do: 'draw part' }),
		fc.tuple(at, point).map(([where, to]): DraftStep => ({ do: 'move', at: where, to })),
		fc.tuple(at, point).map(([where, each]): DraftStep => ({ do: 'insert', after: where, point: each })),
		at.map((where): DraftStep => ({ do: 'remove', at: where })),
	);
	fc.assert(
		fc.property(fc.array(step, { maxLength: 20 }), fc.boolean(), (steps, drawn) => {
			const start = startDraft(drawn ? square : null);
			const end = after(start, ...steps);
			expect(end.outline.every((rings) => rings.every((points) => points.length >= 3))).toBe(true);
			expect(after(end, ...end.past.map((): DraftStep => ({ do: 'undo' })))).toEqual(start);
		}),
		{ seed: 11, numRuns: 300 },
	);
});

const neighbour = {
	points: ring,
	pixels: [
		{ x: 0, y: 100 },
		{ x: 0, y: 0 },
		{ x: 100, y: 0 },
		{ x: 100, y: 100 },
	],
};

test.each([
	['a corner wins over its edges', { x: 4, y: 3 }, [0, 52.01]],
	['an edge takes the nearest place on it', { x: 50, y: -6 }, [0.005, 52.01]],
	['the closing edge counts too', { x: 25, y: 104 }, [0.0025, 52]],
	['nothing near, nothing taken', { x: 50, y: 50 }, null],
] as const)('%s', (_, pixel, found) => {
	const at = snapped(pixel, [neighbour], 10);
	expect(at?.map((degrees) => Number(degrees.toFixed(9))) ?? null).toEqual(found);
});

test('a round obstacle has the ground of a circle of its width', () => {
	for (const [lat, widthM] of [
		[0, 6],
		[52, 30],
		[-64, 120],
	] as const) {
		const boundary = boundaryOf([[roundAt([10, lat], widthM)]]);
		const measured = measure({ geometry: boundary ?? square });
		const circle = (Math.PI * widthM ** 2) / 4;
		expect(measured.ok && measured.value.areaHa * 10_000).toBeGreaterThan(circle * 0.99);
		expect(measured.ok && measured.value.areaHa * 10_000).toBeLessThan(circle * 1.01);
	}
});

test('a ring set whole leaves the hand free for the next, and is taken back like any step', () => {
	const points = roundAt([0.005, 52.005], 6);
	const two = after(startDraft(null), { do: 'ring', points }, { do: 'ring', points: roundAt([0.006, 52.005], 6) });
	expect([two.outline.length, two.open, after(two, { do: 'undo' }).outline]).toEqual([2, [], [[points]]]);
});
