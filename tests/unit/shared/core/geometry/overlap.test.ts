import type { Polygon } from 'geojson';
import { describe, expect, test } from 'vitest';
import { findOverlaps, isSameBoundary, overlapM2 } from '../../../../../shared/core/geometry/overlap.ts';
import { readShapes } from '../../../../read-shapes.ts';
import { sharedData } from '../../../../shared-data.ts';
import { closedRing, polygonAt } from './metres.ts';

const box = (x: number, y: number, width: number, height: number) =>
	polygonAt([
		[x, y],
		[x + width, y],
		[x + width, y + height],
		[x, y + height],
	]);

describe('ground two fields share', () => {
	test.each([
		['nothing between neighbours that share an edge', box(0, 0, 100, 100), box(100, 0, 100, 100), 0],
		['nothing between fields far apart', box(0, 0, 100, 100), box(4000, 0, 100, 100), 0],
		['a strip of 30 m', box(0, 0, 100, 100), box(70, 0, 100, 100), 3000],
		['all of the smaller one', box(0, 0, 100, 100), box(20, 20, 50, 50), 2500],
		[
			'a hole is not shared',
			polygonAt(
				[
					[0, 0],
					[100, 0],
					[100, 100],
					[0, 100],
				],
				[
					[20, 20],
					[60, 20],
					[60, 60],
					[20, 60],
				],
			),
			box(20, 20, 50, 50),
			900,
		],
	])('%s', (_, one, other, m2) => {
		expect(overlapM2(one, other)).toEqual({ ok: true, value: expect.closeTo(m2, 1) });
		expect(overlapM2(other, one)).toEqual({ ok: true, value: expect.closeTo(m2, 1) });
	});

	test('across 180°, numbered either way', () => {
		const ring = (west: number, east: number): Polygon => ({
			type: 'Polygon',
			coordinates: [
				[
					[west, -16],
					[east, -16],
					[east, -16.001],
					[west, -16.001],
					[west, -16],
				],
			],
		});
		const whole = overlapM2(ring(179.999, 180.001), ring(179.999, -179.999));
		const half = overlapM2(ring(179.999, 180.001), ring(-180, -179.999));
		expect(whole.ok && half.ok && whole.value / half.value).toBeCloseTo(2, 3);
	});

	test('a broken boundary is refused', () => {
		const broken = { type: 'Polygon', coordinates: [[[1, 2]]] };
		expect([overlapM2(broken, box(0, 0, 9, 9)).ok, overlapM2(box(0, 0, 9, 9), broken).ok]).toEqual([false, false]);
	});
});

describe('the same boundary', () => {
	const corners: [number, number][] = [
		[0, 0],
		[100, 0],
		[120, 80],
		[0, 100],
	];
	const hole: [number, number][] = [
		[20, 20],
		[40, 20],
		[40, 40],
	];
	const pond: [number, number][] = [
		[60, 20],
		[80, 20],
		[80, 40],
	];
	const field = polygonAt(corners, hole, pond);

	test.each([
		['another start', polygonAt([...corners.slice(2), ...corners.slice(0, 2)], hole, pond), true],
		['the other direction', polygonAt(corners.toReversed(), hole.toReversed(), pond), true],
		['the holes in another order', polygonAt(corners, pond, hole), true],
		['as a MultiPolygon', { type: 'MultiPolygon', coordinates: [field.coordinates] }, true],
		['a hole left out', polygonAt(corners, hole), false],
		['one point moved by 1 cm', polygonAt([[0, 0.01], ...corners.slice(1)], hole, pond), false],
		['no boundary', { type: 'Point', coordinates: [1, 2] }, false],
	])('%s', (_, other, same) => {
		expect(isSameBoundary(field, other)).toBe(same);
	});
});

describe('a register', () => {
	const fields = [
		{ id: 'home', geometry: box(0, 0, 100, 100) },
		{ id: 'east', geometry: box(100, 0, 100, 100) },
		{
			id: 'copy of home',
			geometry: {
				type: 'Polygon',
				coordinates: [
					closedRing([
						[0, 100],
						[100, 100],
						[100, 0],
						[0, 0],
					]),
				],
			},
		},
		{ id: 'over east', geometry: box(170, 0, 100, 100) },
		{ id: 'beside by 0.5 m', geometry: box(0, 99.5, 100, 100) },
		{ id: 'broken', geometry: { type: 'Polygon', coordinates: [] } },
	];

	test('gives each pair once, in the order of the list, small overlaps left aside', () => {
		expect(findOverlaps(fields)).toEqual([
			{ one: 'home', other: 'copy of home', m2: expect.closeTo(10_000, 1), same: true },
			{ one: 'east', other: 'over east', m2: expect.closeTo(3000, 1), same: false },
		]);
		expect(findOverlaps(fields, { leastM2: 40 }).map(({ one, other }) => [one, other])).toEqual([
			['home', 'copy of home'],
			['home', 'beside by 0.5 m'],
			['east', 'over east'],
			['copy of home', 'beside by 0.5 m'],
		]);
	});

	test('compares only what is asked', () => {
		expect(findOverlaps(fields, { among: new Set(['over east']) }).map(({ one, other }) => [one, other])).toEqual([
			['east', 'over east'],
		]);
	});

	test('gives what comparing every pair gives', () => {
		const many = Array.from({ length: 120 }, (_, index) => ({
			id: `field ${index}`,
			geometry: box((index * 7919) % 2000, (index * 104_729) % 1500, 80 + (index % 7) * 20, 60 + (index % 5) * 30),
		}));
		const pairs = many.flatMap((one, index) =>
			many.slice(index + 1).flatMap((other) => {
				const m2 = overlapM2(one.geometry, other.geometry);
				return m2.ok && m2.value >= 100 ? [[one.id, other.id, Math.round(m2.value)]] : [];
			}),
		);
		expect(pairs.length).toBeGreaterThan(50);
		expect(findOverlaps(many).map(({ one, other, m2 }) => [one, other, Math.round(m2)])).toEqual(pairs);
	});

	const duplicates = sharedData('hostile/d17-duplicates-and-overlaps/fields.shp');
	test.skipIf(duplicates === null)(
		'duplicates and overlaps of a file (skipped without the boundary files)',
		async () => {
			const shapes = await readShapes(duplicates ?? '');
			const found = findOverlaps(shapes.flatMap((geometry, index) => (geometry ? [{ id: `${index}`, geometry }] : [])));
			expect(found.map(({ one, other, same }) => ({ one, other, same }))).toEqual([
				{ one: '0', other: '1', same: true },
				{ one: '0', other: '5', same: false },
				{ one: '1', other: '5', same: false },
				{ one: '2', other: '3', same: true },
				{ one: '4', other: '5', same: false },
			]);
		},
	);
});
