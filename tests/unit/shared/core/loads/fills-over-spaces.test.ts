import { expect, test } from 'vitest';
import { fillsOverSpaces } from '../../../../../shared/core/loads/fills-over-spaces.ts';

test('fills run on through the spaces, and each space says with what it is done', () => {
	// 100 L over 1,500 m², 300 m² and 200 m²: 75, 15 and 10 L, in six fills of 15 L and one of 10 L.
	const fills = [
		{ count: 6, mixL: 15 },
		{ count: 1, mixL: 10 },
	];
	expect(fillsOverSpaces(fills, [1500, 300, 200])).toEqual([
		{ begun: null, doneWith: 5, leftL: 0 },
		{ begun: null, doneWith: 6, leftL: 0 },
		{ begun: null, doneWith: 7, leftL: 0 },
	]);
	// 60, 6, 30 and 4 L: the fifth fill ends nowhere in the bin, and 180 m² into the third space.
	const told = fillsOverSpaces(fills, [1200, 120, 600, 80]);
	expect(told.map(({ doneWith, leftL }) => [doneWith, Math.round(leftL)])).toEqual([
		[4, 0],
		[5, 9],
		[7, 4],
		[7, 0],
	]);
	expect(told.map(({ begun }) => begun && [begun.fill, Math.round(begun.endsAfter)])).toEqual([
		null,
		null,
		[5, 180],
		null,
	]);
});

test('without fills, or without anything to treat, nothing is said', () => {
	expect(fillsOverSpaces([], [100])).toEqual([]);
	expect(fillsOverSpaces([{ count: 1, mixL: 5 }], [])).toEqual([]);
});

test('whatever the sizes, what is left adds up with what went in', () => {
	let seed = 7;
	const random = () => {
		seed = (seed * 16_807) % 2_147_483_647;
		return seed / 2_147_483_647;
	};
	for (let round = 0; round < 300; round++) {
		const amounts = Array.from({ length: 1 + Math.floor(random() * 6) }, () => 1 + random() * 500);
		const fills = [
			{ count: 1 + Math.floor(random() * 8), mixL: 5 + random() * 10 },
			{ count: 1, mixL: 1 + random() * 5 },
		];
		const each = fills.flatMap(({ count, mixL }) => Array.from({ length: count }, () => mixL));
		const mixL = each.reduce((sum, fill) => sum + fill, 0);
		const total = amounts.reduce((sum, amount) => sum + amount, 0);
		let treated = 0;
		for (const [index, { doneWith, leftL }] of fillsOverSpaces(fills, amounts).entries()) {
			treated += amounts[index] ?? 0;
			const filled = each.slice(0, doneWith).reduce((sum, fill) => sum + fill, 0);
			expect(filled - leftL).toBeCloseTo((mixL * treated) / total, 6);
			expect(leftL).toBeLessThan((each[doneWith - 1] ?? 0) + 1e-6);
		}
	}
});
