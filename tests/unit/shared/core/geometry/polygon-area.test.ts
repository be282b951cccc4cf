import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sentenceOf } from '../../../../../shared/basics/problem.ts';
import type { UncheckedGeometry } from '../../../../../shared/core/geometry/boundary.ts';
import { measure } from '../../../../../shared/core/geometry/polygon-area.ts';

const square = [
	[11, 52],
	[11.01, 52],
	[11.01, 52.006],
	[11, 52.006],
	[11, 52],
];
const holes = [
	[
		[11.002, 52.001],
		[11.004, 52.001],
		[11.004, 52.002],
		[11.002, 52.001],
	],
	[
		[11.006, 52.003],
		[11.008, 52.003],
		[11.008, 52.004],
		[11.006, 52.003],
	],
];

function measured(geometry: UncheckedGeometry) {
	const result = measure({ geometry });
	if (!result.ok) throw new Error(sentenceOf(result.problem));
	return result.value;
}

function refusal(geometry: UncheckedGeometry): string {
	const result = measure({ geometry });
	return result.ok ? `measured ${result.value.areaHa} ha` : sentenceOf(result.problem);
}

function polygon(...rings: readonly (readonly (readonly number[])[])[]): UncheckedGeometry {
	return { type: 'Polygon', coordinates: rings };
}

describe('what does not change the figure', () => {
	const plain = measured(polygon(square, ...holes));

	function expectSame(geometry: UncheckedGeometry): void {
		const again = measured(geometry);
		expect(again.vertexCount).toBe(plain.vertexCount);
		for (const name of ['areaHa', 'perimeterM', 'areaSigmaHa'] as const) {
			expect(Math.abs(again[name] / plain[name] - 1)).toBeLessThan(1e-9);
		}
	}

	test('the point a ring starts at', () => {
		for (let start = 1; start < 4; start++) {
			const open = square.slice(0, -1);
			const turned = [...open.slice(start), ...open.slice(0, start)];
			expectSame(polygon([...turned, turned[0] ?? []], ...holes));
		}
	});

	test('the direction a ring is drawn in', () => {
		expectSame(polygon(square.toReversed(), ...holes));
		expectSame(polygon(square, ...holes.map((hole) => hole.toReversed())));
	});

	test('the order of the holes', () => expectSame(polygon(square, ...holes.toReversed())));

	test('a missing closing point', () => expectSame(polygon(square.slice(0, -1), ...holes)));

	test('a height beside each position', () =>
		expectSame(
			polygon(
				square.map((at) => [...at, 87.3]),
				...holes,
			),
		));

	test('being the one part of a MultiPolygon', () =>
		expectSame({ type: 'MultiPolygon', coordinates: [[square, ...holes]] }));

	test('whole turns of longitude', () => {
		expectSame(polygon(...[square, ...holes].map((ring) => ring.map(([lon = 0, lat = 0]) => [lon + 360, lat]))));
	});

	test('start and direction of any star-shaped ring', () => {
		const radii = fc.array(fc.double({ min: 0.001, max: 0.02, noNaN: true }), { minLength: 3, maxLength: 40 });
		fc.assert(
			fc.property(radii, fc.nat(), (lengths, turn) => {
				const ring = lengths.map((radius, index) => {
					const angle = (2 * Math.PI * index) / lengths.length;
					return [14 + radius * Math.cos(angle), 49 + radius * Math.sin(angle)];
				});
				const start = turn % ring.length;
				const other = [...ring.slice(start), ...ring.slice(0, start)].toReversed();
				const one = measured(polygon([...ring, ring[0] ?? []]));
				const two = measured(polygon([...other, other[0] ?? []]));
				expect(Math.abs(two.areaHa / one.areaHa - 1)).toBeLessThan(1e-8);
				expect(Math.abs(two.perimeterM / one.perimeterM - 1)).toBeLessThan(1e-9);
				expect(Math.abs(two.areaSigmaHa / one.areaSigmaHa - 1)).toBeLessThan(1e-6);
			}),
			{ seed: 20270417, numRuns: 200 },
		);
	});
});

test('holes take area away, add perimeter and count their points', () => {
	const whole = measured(polygon(square));
	const holed = measured(polygon(square, ...holes));
	const parts = holes.map((hole) => measured(polygon(hole)));
	const holesHa = parts.reduce((sum, part) => sum + part.areaHa, 0);
	const holesM = parts.reduce((sum, part) => sum + part.perimeterM, 0);
	expect(holed.areaHa).toBeCloseTo(whole.areaHa - holesHa, 8);
	expect(holed.perimeterM).toBeCloseTo(whole.perimeterM + holesM, 6);
	expect([whole.vertexCount, holed.vertexCount]).toEqual([4, 10]);
});

test('parts add up', () => {
	const east = square.map(([lon = 0, lat = 0]) => [lon + 0.5, lat]);
	const one = measured(polygon(square));
	const two = measured({ type: 'MultiPolygon', coordinates: [[square], [east]] });
	expect(two.areaHa).toBeCloseTo(2 * one.areaHa, 7);
	expect([two.vertexCount, two.perimeterM]).toEqual([8, expect.closeTo(2 * one.perimeterM, 5)]);
});

describe('the standard error', () => {
	/** 100 m by 100 m on the equator, where a degree of latitude is 110,574.4 m and of longitude 111,319.5 m. */
	const hectare = polygon([
		[20, 0],
		[20 + 100 / 111_319.49, 0],
		[20 + 100 / 111_319.49, 100 / 110_574.39],
		[20, 100 / 110_574.39],
		[20, 0],
	]);

	test('by hand: eight points 50 m apart on a square hectare', () => {
		// Corner points have neighbours 70.71 m apart, points between 100 m: Σ = 4 × 5,000 + 4 × 10,000 = 60,000 m².
		// Random: ½ × 0.5 × √60,000 = 61.24 m². Bias: 0.3 × 400 = 120 m². Together √(61.24² + 120²) = 134.72 m².
		expect(measured(hectare).areaSigmaHa).toBeCloseTo(0.013472, 6);
	});

	test('random and bias part alone', () => {
		const random = measure({ geometry: hectare, positionSigmaM: 0.5, edgeBiasM: 0 });
		const bias = measure({ geometry: hectare, positionSigmaM: 0, edgeBiasM: 0.3 });
		expect(random.ok && random.value.areaSigmaHa).toBeCloseTo(0.006124, 6);
		expect(bias.ok && bias.value.areaSigmaHa).toBeCloseTo(0.012, 6);
	});

	test('more points along the same boundary make it no better', () => {
		const dense = Array.from({ length: 400 }, (_, metre) => {
			const [edge, along] = [Math.floor(metre / 100), (metre % 100) / 100];
			const [x, y] = [
				[along, 0],
				[1, along],
				[1 - along, 1],
				[0, 1 - along],
			][edge] as [number, number];
			return [20 + (x * 100) / 111_319.49, (y * 100) / 110_574.39];
		});
		const result = measured(polygon([...dense, dense[0] ?? []]));
		expect(result.areaSigmaHa).toBeCloseTo(measured(hectare).areaSigmaHa, 7);
	});
});

test.each([
	[{ type: 'Point', coordinates: [1, 2] }, 'it is a Point; a boundary is a Polygon or a MultiPolygon'],
	[{ type: 'Feature' }, 'it is a Feature; a boundary is a Polygon or a MultiPolygon'],
	[{ type: 'Polygon' }, 'it has no rings'],
	[{ type: 'Polygon', coordinates: [] }, 'it has no rings'],
	[{ type: 'MultiPolygon', coordinates: [] }, 'it has no parts'],
	[{ type: 'MultiPolygon', coordinates: [[square], []] }, 'part 2 has no rings'],
	[polygon([]), 'the outer boundary has 0 positions'],
	[
		polygon([
			[1, 2],
			[1, 3],
			[1, 2],
		]),
		'the outer boundary has 3 positions',
	],
	[polygon(square, [[11, 52]]), 'hole 1 has 1 position;'],
	[{ type: 'MultiPolygon', coordinates: [[square], [square, [[11, 52]]]] }, 'part 2, hole 1 has 1 position;'],
	[
		polygon([
			[1, 2],
			[Number.NaN, 2],
			[2, 3],
			[1, 2],
		]),
		'the outer boundary, point 2: the longitude is NaN, not a number',
	],
	[
		polygon([
			[1, 2],
			[2, Number.POSITIVE_INFINITY],
			[2, 3],
			[1, 2],
		]),
		'point 2: the latitude is Infinity, not a number',
	],
	[
		polygon([
			[1, 2],
			[2, 95],
			[2, 3],
			[1, 2],
		]),
		'point 2: the latitude 95 is beyond 90°',
	],
	[
		polygon([
			[1, 2],
			[541, 2],
			[2, 3],
			[1, 2],
		]),
		'point 2: the longitude 541 is beyond 540°',
	],
	[
		polygon([
			[1, 2],
			[1e200, 2],
			[2, 3],
			[1, 2],
		]),
		'point 2: the longitude 1e+200 is beyond 540°',
	],
	[polygon([[1, 2], [2], [2, 3], [1, 2]]), 'point 2: a position is a longitude and a latitude'],
	[
		{
			type: 'Polygon',
			coordinates: [
				[
					['1', '2'],
					[2, 2],
					[2, 3],
					[1, 2],
				],
			],
		},
		'point 1: the longitude is string, not a number',
	],
	[
		polygon([
			[1, 2],
			[1, 2],
			[1, 2],
			[1, 2],
		]),
		'it encloses no ground',
	],
	[
		polygon([
			[1, 2],
			[2, 3],
			[3, 4],
			[2, 3],
			[1, 2],
		]),
		'it encloses no ground',
	],
	[polygon(square, square), 'it encloses no ground'],
	[
		polygon([
			[0, 80],
			[90, 80],
			[180, 80],
			[270, 80],
			[360, 80],
		]),
		'the outer boundary goes round a pole',
	],
	[
		polygon([
			[0, 0],
			[179.9, 0],
			[90, 10],
			[0, 0],
		]),
		'edge from point 1: it spans more than a quarter of the Earth',
	],
])('%j is refused by name', (geometry, why) => {
	expect(refusal(geometry as UncheckedGeometry)).toContain(why);
});

test('a refusal says which part, ring and point', () => {
	const result = measure({
		geometry: polygon(square, [
			[1, 2],
			[2, 95],
			[2, 3],
			[1, 2],
		]),
	});
	expect(result).toEqual({
		ok: false,
		problem: {
			code: 'geometry.invalid',
			details: {
				why: 'hole 1, point 2: the latitude 95 is beyond 90°; are these degrees, longitude first?',
				part: 0,
				ring: 1,
				vertex: 1,
			},
		},
	});
});
