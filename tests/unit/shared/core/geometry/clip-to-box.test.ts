import { Clipper, FillRule } from 'clipper2-ts';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { boxOfPaths, clipToBox, sharedBox } from '../../../../../shared/core/geometry/clip-to-box.ts';

const coordinate = fc.integer({ min: -1_000_000, max: 1_000_000 });
const path = fc
	.array(fc.record({ x: coordinate, y: coordinate }), { minLength: 3, maxLength: 12 })
	.map((points) => points.map((point) => ({ ...point, z: 0 })));
const outline = (paths: { x: number; y: number; z: number }[][]) => Clipper.union(paths, FillRule.NonZero);

test('two regions share the same ground within their common box as whole, to the rounding of its cuts', () => {
	fc.assert(
		fc.property(path, path, (one, other) => {
			const [first, second] = [outline([one]), outline([other])];
			const common = sharedBox(boxOfPaths(first), boxOfPaths(second));
			if (!(common.east > common.west && common.north > common.south)) return;
			const whole = Clipper.areaPaths(Clipper.intersect(first, second, FillRule.NonZero));
			const within = Clipper.intersect(clipToBox(first, common), clipToBox(second, common), FillRule.NonZero);
			expect(Math.abs(Clipper.areaPaths(within) - whole)).toBeLessThan(5e7);
		}),
		{ seed: 20261125, numRuns: 500 },
	);
});

test('a square over a corner of the box leaves its quarter, counted from that corner', () => {
	const square = [
		[50, 50],
		[150, 50],
		[150, 150],
		[50, 150],
	].map(([x = 0, y = 0]) => ({ x, y, z: 0 }));
	const clipped = clipToBox([square], { west: 100, south: 100, east: 400, north: 400 });
	expect([boxOfPaths(clipped), Math.abs(Clipper.areaPaths(clipped))]).toEqual([
		{ west: 0, south: 0, east: 50, north: 50 },
		2500,
	]);
});

test('a path beside the box leaves nothing', () => {
	const square = [
		{ x: 0, y: 0, z: 0 },
		{ x: 9, y: 0, z: 0 },
		{ x: 9, y: 9, z: 0 },
	];
	expect(clipToBox([square], { west: 20, south: 0, east: 30, north: 9 })).toEqual([]);
});
