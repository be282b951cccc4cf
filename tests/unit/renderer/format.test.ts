import { expect, test } from 'vitest';
import { addedUpApart } from '../../../renderer/format.ts';

test('a total that its column does not add up to as written is told, any other is not', () => {
	// 9.29 + 18.31 is 27.60 as written, 27.602 in full; 1.004 + 1.004 is 2.00 as written, 2.01 in full.
	expect(addedUpApart([9.293, 18.309])).toBe(false);
	expect(addedUpApart([1.004, 1.004])).toBe(true);
	expect(addedUpApart([0.005, null, undefined])).toBe(false);
	expect(addedUpApart([])).toBe(false);
});
