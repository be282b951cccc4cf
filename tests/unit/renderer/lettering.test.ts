import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fitText, spread, textWidth } from '../../../renderer/pictures/lettering.ts';

test('labels that fit never overlap and never leave the picture', () => {
	const block = fc.record({ wanted: fc.integer({ min: -50, max: 550 }), size: fc.integer({ min: 1, max: 40 }) });
	fc.assert(
		fc.property(fc.array(block, { maxLength: 12 }), (blocks) => {
			const inOrder = [...blocks].sort((a, b) => a.wanted - b.wanted);
			const starts = spread(inOrder, 0, 500);
			let free = 0;
			for (const [index, start] of starts.entries()) {
				expect(start).toBeGreaterThanOrEqual(free);
				free = start + (inOrder[index]?.size ?? 0);
			}
			expect(free).toBeLessThanOrEqual(500);
		}),
		{ seed: 20270415 },
	);
});

test('a label with room stays where it belongs', () => {
	const blocks = [
		{ wanted: 10, size: 20 },
		{ wanted: 200, size: 20 },
	];
	expect(spread(blocks, 0, 500)).toEqual([10, 200]);
});

test('a cut text fits and says that it was cut', () => {
	const cut = fitText('Ammonium sulphate conditioner', 14, 120);
	expect([textWidth(cut, 14) <= 120, cut.endsWith('…')]).toEqual([true, true]);
});
