import fc from 'fast-check';
import type { MultiPolygon, Polygon } from 'geojson';
import { describe, expect, test } from 'vitest';
import { sentenceOf } from '../../../../../shared/basics/problem.ts';
import { areaToLoadFor } from '../../../../../shared/core/geometry/area-to-load-for.ts';
import { noSprayStrip, obstacleGround, type StripInput } from '../../../../../shared/core/geometry/no-spray-strip.ts';
import { overlapM2 } from '../../../../../shared/core/geometry/overlap.ts';
import { measure } from '../../../../../shared/core/geometry/polygon-area.ts';
import { polygonAt } from './metres.ts';

const square = polygonAt([
	[0, 0],
	[400, 0],
	[400, 300],
	[0, 300],
]);

function strip(input: Partial<StripInput>) {
	const result = noSprayStrip({ boundary: square, label: 'margin', along: [{ edges: [0] }], widthM: 6, ...input });
	if (!result.ok) throw new Error(sentenceOf(result.problem));
	return result.value;
}

function refusal(input: Partial<StripInput>): string {
	const result = noSprayStrip({ boundary: square, label: 'margin', along: [{ edges: [0] }], widthM: 6, ...input });
	return result.ok ? 'measured' : sentenceOf(result.problem);
}

/** Strips have at least one part in these tests. */
function geometryOf({ geometry }: { readonly geometry: Polygon | MultiPolygon | null }): Polygon | MultiPolygon {
	if (!geometry) throw new Error('ground expected');
	return geometry;
}

function groundM2(geometry: Polygon | MultiPolygon): number {
	const measured = measure({ geometry });
	return measured.ok ? measured.value.areaHa * 10_000 : 0;
}

describe('by hand', () => {
	test('6 m along a side of 400 m', () => {
		expect(strip({}).areaM2).toBeCloseTo(2400, 0);
		expect(groundM2(geometryOf(strip({})))).toBeCloseTo(2400, 0);
	});

	test('two sides that meet count their corner once', () => {
		expect(strip({ along: [{ edges: [0, 1] }] }).areaM2).toBeCloseTo(400 * 6 + 300 * 6 - 36, 0);
	});

	test('an edge named twice counts once', () => {
		expect(strip({ along: [{ edges: [0, 0] }, { edges: [0] }] }).areaM2).toBeCloseTo(2400, 0);
	});

	test('beyond the ends of an edge the strip is round: distance to the edge', () => {
		const wedge = polygonAt([
			[0, 0],
			[100, 0],
			[200, 100],
			[200, 200],
			[-100, 200],
			[-100, 100],
		]);
		// 100 m × 10 m, and at each end 45° of a circle of 10 m.
		expect(strip({ boundary: wedge, widthM: 10 }).areaM2).toBeCloseTo(1000 + (Math.PI * 100) / 4, 0);
	});

	test('along a hole the strip lies outside the hole', () => {
		const pond = polygonAt(
			[
				[0, 0],
				[400, 0],
				[400, 300],
				[0, 300],
			],
			[
				[100, 100],
				[200, 100],
				[200, 200],
				[100, 200],
			],
		);
		const around = strip({ boundary: pond, along: [{ ring: 1, edges: [0, 1, 2, 3] }], widthM: 5 });
		expect(around.areaM2).toBeCloseTo(4 * 100 * 5 + Math.PI * 25, 0);
		expect(geometryOf(around).coordinates).toHaveLength(2);
	});

	test('ground left out already is not left out twice', () => {
		const earlier = geometryOf(strip({ along: [{ edges: [1] }] }));
		expect(strip({ without: [earlier] }).areaM2).toBeCloseTo(2400 - 36, 0);
		expect(strip({ without: [square] })).toEqual({ geometry: null, areaM2: 0 });
	});

	test('the second part of a field has its own edges', () => {
		const parts: MultiPolygon = {
			type: 'MultiPolygon',
			coordinates: [
				square.coordinates,
				polygonAt([
					[500, 0],
					[550, 0],
					[550, 50],
					[500, 50],
				]).coordinates,
			],
		};
		expect(strip({ boundary: parts, along: [{ part: 1, edges: [0] }], widthM: 10 }).areaM2).toBeCloseTo(500, 0);
	});
});

test.each([
	[{ along: [{ edges: [4] }] }, 'the outer boundary has no edge 4. It has 4, counted from 0.'],
	[{ along: [{ edges: [-1] }] }, 'the outer boundary has no edge -1. It has 4, counted from 0.'],
	[{ along: [{ edges: [0.5] }] }, 'the outer boundary has no edge 0.5. It has 4, counted from 0.'],
	[{ along: [{ ring: 1, edges: [0] }] }, 'The boundary cannot be measured: it has no part 1, hole 1.'],
	[{ along: [] }, 'The no-spray strip margin lies along no edge. Choose at least one.'],
	[{ along: [{ edges: [] }] }, 'The no-spray strip margin lies along no edge. Choose at least one.'],
	[{ widthM: 0 }, 'widthM must be greater than zero.'],
	[{ widthM: Number.NaN }, 'widthM must be greater than zero.'],
	[{ widthM: Number.POSITIVE_INFINITY }, 'widthM must be greater than zero.'],
	[{ boundary: { type: 'Point', coordinates: [1, 2] } }, 'it is a Point'],
	[{ without: [{ type: 'Polygon', coordinates: [] }] }, 'it has no rings'],
] satisfies [Partial<StripInput>, string][])('%j is refused', (input, sentence) => {
	expect(refusal(input)).toContain(sentence);
});

test('a strip lies inside its field, is no larger, and grows with its width', () => {
	const field = fc.array(fc.integer({ min: 60, max: 300 }), { minLength: 3, maxLength: 24 });
	fc.assert(
		fc.property(field, fc.nat(), fc.integer({ min: 1, max: 80 }), (radii, which, widthM) => {
			const boundary = polygonAt(
				radii.map((radius, index): [number, number] => {
					const angle = (2 * Math.PI * index) / radii.length;
					return [radius * Math.cos(angle), radius * Math.sin(angle)];
				}),
			);
			const along = [{ edges: [which % radii.length, (which + 1) % radii.length] }];
			const narrow = strip({ boundary, along, widthM });
			const wide = strip({ boundary, along, widthM: widthM + 1 });
			const inside = overlapM2(geometryOf(narrow), boundary);
			expect(inside.ok && Math.abs(inside.value - narrow.areaM2)).toBeLessThan(0.5);
			expect(narrow.areaM2).toBeLessThanOrEqual(groundM2(boundary) + 0.5);
			expect(wide.areaM2).toBeGreaterThanOrEqual(narrow.areaM2 - 0.5);
		}),
		{ seed: 20270419, numRuns: 100 },
	);
});

test('obstacles count inside the field only, and once', () => {
	const ponds = [
		polygonAt([
			[-20, 100],
			[20, 100],
			[20, 120],
			[-20, 120],
		]),
		polygonAt([
			[10, 100],
			[40, 100],
			[40, 120],
			[10, 120],
		]),
	];
	const taken = obstacleGround(square, ponds);
	expect(taken.ok && taken.value.areaM2).toBeCloseTo(40 * 20, 1);
	expect(obstacleGround(square, [])).toEqual({ ok: true, value: { geometry: null, areaM2: 0 } });
});

describe('the area to load for', () => {
	const strips = [{ label: 'brook', areaM2: 2400 }];

	test('is the measured boundary without strips and obstacles', () => {
		expect(areaToLoadFor({ measuredM2: 120_000, strips, obstacles: [{ label: 'pylon', areaM2: 25 }] })).toEqual({
			ok: true,
			value: { loadForM2: 117_575, leftOutM2: 2425 },
		});
	});

	test('is refused where nothing is left', () => {
		const result = areaToLoadFor({ measuredM2: 2400, strips, obstacles: [] });
		expect(!result.ok && sentenceOf(result.problem)).toBe(
			'Strips and obstacles of 2400 m² leave nothing to spray of the 2400 m² of the field.',
		);
	});
});
