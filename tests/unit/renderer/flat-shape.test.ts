import type { Polygon } from 'geojson';
import proj4 from 'proj4';
import { expect, test } from 'vitest';
import { covers, flatShape, flatX, flatY, namePlace, thinned } from '../../../renderer/map/flat-shape.ts';

/** Longitudes that fall on 0 to 1 by eighths; latitudes near nought, where the flat map is all but even. */
const at = (x: number, y: number) => [(x - 0.5) * 360, proj4('EPSG:3857', 'EPSG:4326', [0, (0.5 - y) * EARTH])[1] ?? 0];
/** Width of the flat map in metres: 2 π × 6,378,137 m (EPSG:3857). */
const EARTH = 2 * Math.PI * 6_378_137;

test('lays the ground out as EPSG:3857 does', () => {
	for (const [lon, lat] of [
		[0, 0],
		[10.5, 51.25],
		[-122, 38],
		[179.9, -70],
	] as const) {
		const [x = 0, y = 0] = proj4('EPSG:4326', 'EPSG:3857', [lon, lat]);
		expect(flatX(lon)).toBeCloseTo(x / EARTH + 0.5, 12);
		expect(flatY(lat)).toBeCloseTo(0.5 - y / EARTH, 12);
	}
});

/** A field from 0.25 to 0.75 with a pond from 0.375 to 0.5 in it; each ring in the order given. */
function withPond(turned: boolean): Polygon {
	const outer = [at(0.25, 0.25), at(0.75, 0.25), at(0.75, 0.75), at(0.25, 0.75), at(0.25, 0.25)];
	const pond = [at(0.375, 0.375), at(0.5, 0.375), at(0.5, 0.625), at(0.375, 0.625), at(0.375, 0.375)];
	return { type: 'Polygon', coordinates: turned ? [outer.toReversed(), pond] : [outer, pond.toReversed()] };
}

test('turns every outer ring one way and every hole the other', () => {
	const areas = [false, true].map((turned) =>
		flatShape(withPond(turned)).rings.map((ring) => {
			const points = Array.from({ length: ring.length / 2 }, (_, i) => [ring[2 * i] ?? 0, ring[2 * i + 1] ?? 0]);
			const twice = points.reduce((sum, [x0 = 0, y0 = 0], i) => {
				const [x1 = 0, y1 = 0] = points[(i + 1) % points.length] ?? [];
				return sum + x0 * y1 - x1 * y0;
			}, 0);
			return Number((twice / 2).toFixed(9));
		}),
	);
	expect(areas).toEqual([
		[0.25, -0.03125],
		[0.25, -0.03125],
	]);
});

test('covers the ground but not the pond in it', () => {
	const shape = flatShape(withPond(false));
	const places = [
		[0.3, 0.3],
		[0.4, 0.5],
		[0.6, 0.5],
		[0.8, 0.5],
		[0.2, 0.2],
	] as const;
	expect(places.map(([x, y]) => covers(shape, x, y))).toEqual([true, false, true, false, false]);
});

test('puts the name on the widest ground at half height', () => {
	const { x, y, width } = namePlace(flatShape(withPond(true)));
	expect([x, y, width].map((value) => Number(value.toFixed(9)))).toEqual([0.625, 0.5, 0.25]);
});

test('leaves out points that fall on the pixel before', () => {
	const ring = Float64Array.of(0, 0, 0.0001, 0, 0.5, 0, 0.5, 0.0001, 0.5, 0.5);
	expect([...thinned(ring, 1000, 1)]).toEqual([0, 0, 500, 0, 500, 500]);
	expect([...thinned(ring, 100_000, 1)]).toEqual([0, 0, 10, 0, 50_000, 0, 50_000, 10, 50_000, 50_000]);
});

test('knows the size of its ground, without the pond', () => {
	expect(flatShape(withPond(true)).size).toBeCloseTo(Math.sqrt(0.25 - 0.03125), 9);
});
