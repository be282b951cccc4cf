import { expect, test } from 'vitest';
import { capsAndFoils, closureWords, drawnClosed } from '../../../../../shared/core/products/closure.ts';

const can = (size: number, foil: boolean, closedTransfer: boolean) => ({ size, foil, closedTransfer });

test('a container is drawn by closed transfer where the farm does so and its neck takes the coupling', () => {
	const closures = [can(1, true, false), can(10, false, true)];
	const drawn = (closedTransfer: boolean, sizes: readonly number[], entered = closures) =>
		sizes.map((size) => drawnClosed({ closedTransfer, closures: entered }, size));
	expect(drawn(false, [1, 10])).toEqual([false, false]);
	expect(drawn(true, [1, 10])).toEqual([false, true]);
	// What is left of an opened pack, or a measured part, goes by the largest.
	expect(drawn(true, [3.7])).toEqual([true]);
	expect(drawn(true, [3.7], [can(5, true, false)])).toEqual([false]);
	expect(drawn(true, [5], [])).toEqual([true]);
});

test('caps and foils are counted, containers nobody looked at stay apart', () => {
	expect(
		capsAndFoils([
			{ closure: can(5, true, false), pieces: 8 },
			{ closure: can(10, false, true), pieces: 3 },
			{ closure: undefined, pieces: 2 },
			// A load that was taken back.
			{ closure: can(5, true, false), pieces: -1 },
		]),
	).toEqual({ caps: 10, foils: 7, notEntered: 2 });
	expect(capsAndFoils([])).toEqual({ caps: 0, foils: 0, notEntered: 0 });
});

test('a closure in words', () => {
	expect([closureWords({ ...can(5, true, true), capMm: 63 }), closureWords(can(5, false, false))]).toEqual([
		'63 mm cap, foil, closed transfer',
		'cap',
	]);
});
