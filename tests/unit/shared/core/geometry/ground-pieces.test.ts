import { expect, test } from 'vitest';
import { groundOnce, groundPieces } from '../../../../../shared/core/geometry/ground-pieces.ts';
import { polygonAt } from './metres.ts';

const box = (x: number, y: number, width: number, height: number) =>
	polygonAt([
		[x, y],
		[x + width, y],
		[x + width, y + height],
		[x, y + height],
	]);

/* 400 m by 200 m: 8 ha, split into a western and an eastern half, and later into a southern and a northern one. */
const fields = [
	{ id: 'whole', geometry: box(0, 0, 400, 200) },
	{ id: 'west', geometry: box(0, 0, 200, 200) },
	{ id: 'east', geometry: box(200, 0, 200, 200) },
	{ id: 'south', geometry: box(0, 0, 400, 100) },
	{ id: 'neighbour', geometry: box(400, 0, 200, 200) },
	{ id: 'laps over the neighbour', geometry: box(550, 0, 100, 200) },
];
const pieces = groundPieces(fields);
const once = (...passes: [string, number][]) =>
	groundOnce(
		passes.map(([fieldId, areaM2]) => ({ fieldId, areaM2 })),
		pieces,
	);

test.each<[string, [string, number][], number]>([
	[
		'the whole, then a half of it',
		[
			['whole', 80_000],
			['west', 40_000],
		],
		80_000,
	],
	[
		'a half, then the whole',
		[
			['west', 40_000],
			['whole', 80_000],
		],
		80_000,
	],
	[
		'both halves',
		[
			['west', 40_000],
			['east', 40_000],
		],
		80_000,
	],
	[
		'halves that cross each other',
		[
			['west', 40_000],
			['south', 40_000],
		],
		60_000,
	],
	[
		'a part of the whole, then a half',
		[
			['whole', 20_000],
			['west', 40_000],
		],
		50_000,
	],
	[
		'neighbours that only touch',
		[
			['east', 40_000],
			['neighbour', 40_000],
		],
		80_000,
	],
	[
		'part fields that lap over each other by a hectare',
		[
			['neighbour', 40_000],
			['laps over the neighbour', 20_000],
		],
		50_000,
	],
	[
		'a field without a boundary',
		[
			['unknown', 7_000],
			['unknown', 5_000],
		],
		7_000,
	],
])('%s', (_, passes, m2) => {
	expect(Math.abs(once(...passes) - m2)).toBeLessThan(m2 * 1e-5);
});

test('the shares of a field add up to one; one that shares nothing is left out', () => {
	const sums = [...pieces].map(([id, of]) => [id, of.reduce((sum, { share }) => sum + share, 0)]);
	expect([sums.every(([, sum]) => Math.abs(Number(sum) - 1) < 1e-9), sums.map(([id]) => id).toSorted()]).toEqual([
		true,
		['east', 'laps over the neighbour', 'neighbour', 'south', 'west', 'whole'],
	]);
	expect(groundPieces([{ id: 'alone', geometry: box(0, 0, 9, 9) }]).size).toBe(0);
});
