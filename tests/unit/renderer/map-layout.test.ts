import { expect, test } from 'vitest';
import { MOST_NUMBERED, mapLayout, type PaperField } from '../../../renderer/paper/map-layout.ts';
import { geodesicBetween } from '../../../shared/core/geometry/geodesic.ts';

function field(name: string, west: number, south: number, east: number, north: number): PaperField {
	const ring = [
		[west, south],
		[east, south],
		[east, north],
		[west, north],
		[west, south],
	];
	return { name, second: '9.80 ha', geometry: { type: 'Polygon', coordinates: [ring] } };
}

const points = (path: string) =>
	[...path.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]): [number, number] => [Number(x), Number(y)]);

test('ground is drawn at the scale it says, at any latitude', () => {
	for (const south of [0.1, 52.1, -43, 64]) {
		const layout = mapLayout([field('Long Piece', 10, south, 10.02, south + 0.004)]);
		const [[left = 0] = [], [right = 0] = []] = points(layout.outlines[0] ?? '');
		const groundM = geodesicBetween(south + 0.002, south + 0.002, 0.02)?.lengthM ?? 0;
		const paperM = (Math.abs(right - left) * layout.scale) / 1000;
		// A sphere stands for the ellipsoid: 0.7 % at most, half a millimetre on the sheet.
		expect(Math.abs(paperM / groundM - 1)).toBeLessThan(0.007);
		expect(layout.bar.mm * layout.scale).toBeCloseTo(layout.bar.metres * 1000, 6);
	}
});

test('the sheet is turned the way the ground lies, and all of it is on it', () => {
	const [broad, upright] = [
		mapLayout([field('a', 10, 52, 10.05, 52.01)]),
		mapLayout([field('a', 10, 52, 10.01, 52.03)]),
	];
	expect([broad.broad, upright.broad]).toEqual([true, false]);
	for (const { outlines, width, height } of [broad, upright]) {
		for (const [x, y] of points(outlines[0] ?? '')) {
			expect(x >= 0 && x <= width && y >= 0 && y <= height).toBe(true);
		}
	}
});

test('a name stands on its field with its area, then alone, then as a number', () => {
	const layout = mapLayout([
		field('Home Ground', 10, 52, 10.02, 52.012),
		field('Mill Piece', 10.02, 52, 10.025, 52.0004),
		field('Corner', 10.03, 52, 10.0302, 52.0002),
	]);
	expect(layout.names.map((name) => name?.lines)).toEqual([['Home Ground', '9.80 ha'], ['Mill Piece'], ['1']]);
	expect(layout.numbered).toEqual([2]);
});

test('numbers that would cover the map are left out', () => {
	const tiny = Array.from({ length: MOST_NUMBERED + 1 }, (_, index) =>
		field(`Field ${index}`, 10 + index * 0.001, 52, 10.0001 + index * 0.001, 52.0001),
	);
	const layout = mapLayout([...tiny, field('Home Ground', 10, 52.01, 10.1, 52.03)]);
	expect(layout.names.filter((name) => name !== null).map((name) => name.lines[0])).toEqual(['Home Ground']);
	expect(layout.numbered).toHaveLength(MOST_NUMBERED + 1);
});
