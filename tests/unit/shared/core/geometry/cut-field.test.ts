import fc from 'fast-check';
import { expect, test } from 'vitest';
import { cutField, groundWithin, joinFields } from '../../../../../shared/core/geometry/cut-field.ts';
import { measure } from '../../../../../shared/core/geometry/polygon-area.ts';

/* An invented field of some 200 m by 310 m with a pond in its middle. */
const [west, south, east, north] = [0.1, 52.1, 0.103, 52.1028];
const box = (w: number, s: number, e: number, n: number) => [
	[w, s],
	[w, n],
	[e, n],
	[e, s],
	[w, s],
];
const field = {
	type: 'Polygon' as const,
	coordinates: [box(west, south, east, north), box(0.1012, 52.1012, 0.1018, 52.1016)],
};

function measured(geometry: Parameters<typeof measure>[0]['geometry']) {
	const figures = measure({ geometry });
	if (!figures.ok) throw new Error(JSON.stringify(figures.problem));
	return figures.value;
}

function m2(geometry: Parameters<typeof measure>[0]['geometry']): number {
	return measured(geometry).areaHa * 10_000;
}

test('any straight cut right across leaves parts that add up to the field but for the width of the cut', () => {
	const share = fc.double({ min: 0.02, max: 0.98, noNaN: true });
	fc.assert(
		fc.property(share, share, (low, high) => {
			const line = [
				[west + low * (east - west), south - 0.0005],
				[west + high * (east - west), north + 0.0005],
			];
			const cut = cutField(field, line);
			if (!cut.ok) throw new Error(JSON.stringify(cut.problem));
			const areas = cut.value.map(m2);
			const lost = m2(field) - areas.reduce((sum, area) => sum + area, 0);
			expect(areas).toEqual(areas.toSorted((one, other) => other - one));
			// A millimetre along some 330 m, and the tenth of a millimetre that corners are rounded to.
			expect(lost).toBeGreaterThan(0);
			expect(lost).toBeLessThan(0.6);
		}),
		{ seed: 3, numRuns: 60 },
	);
});

test('the joined parts are the field again: one part, as far round, no line left where it was cut', () => {
	const share = fc.double({ min: 0.02, max: 0.98, noNaN: true });
	fc.assert(
		fc.property(share, share, (low, high) => {
			const cut = cutField(field, [
				[west + low * (east - west), south - 0.0005],
				[west + high * (east - west), north + 0.0005],
			]);
			const whole = cut.ok ? joinFields(cut.value) : cut;
			if (!whole.ok) throw new Error(JSON.stringify(whole.problem));
			const [before, after] = [measured(field), measured(whole.value)];
			expect(whole.value.type).toBe('Polygon');
			expect(Math.abs(after.areaHa - before.areaHa) * 10_000).toBeLessThan(0.1);
			expect(Math.abs(after.perimeterM - before.perimeterM)).toBeLessThan(0.05);
			// Two points, where the cut came in and went out, may stay on the sides.
			expect(after.vertexCount).toBeLessThanOrEqual(before.vertexCount + 8);
		}),
		{ seed: 5, numRuns: 60 },
	);
});

test('a gap that was meant stays, and fields apart stay as they were drawn', () => {
	const [one, other] = [box(0.1, 52.1, 0.101, 52.101), box(0.1010003, 52.1, 0.102, 52.101)];
	const apart = joinFields([one, other].map((ring) => ({ type: 'Polygon' as const, coordinates: [ring] })));
	expect(apart.ok && apart.value.type).toBe('MultiPolygon');
});

test.each([
	[
		'a line that ends in the field',
		[
			[0.1015, 52.099],
			[0.1005, 52.102],
		],
	],
	[
		'a line beside the field',
		[
			[0.09, 52.099],
			[0.09, 52.104],
		],
	],
	['a single point', [[0.1015, 52.101]]],
])('%s cuts nothing', (_, line) => {
	const cut = cutField(field, line);
	expect(cut.ok ? null : cut.problem.code).toBe('fields.notCut');
});

test('of a strip that runs past the boundary only what lies inside counts', () => {
	const strip = { type: 'Polygon' as const, coordinates: [box(west - 0.001, south, east + 0.001, south + 0.0001)] };
	const inside = groundWithin(field, strip);
	const full = m2({ type: 'Polygon', coordinates: [box(west, south, east, south + 0.0001)] });
	expect(inside.ok && Math.abs(inside.value.areaM2 / full - 1) < 1e-4).toBe(true);
});
