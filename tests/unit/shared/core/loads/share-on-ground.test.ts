import { expect, test } from 'vitest';
import { amountOnGround, shareOnGround } from '../../../../../shared/core/loads/share-on-ground.ts';

test('the first load brings what sump and lines hold, the next ones put all of theirs on the ground', () => {
	// 18.75 ha × 150 L/ha + 25 L in the first tank; the second is made up for its own ground.
	expect(shareOnGround({ areaHa: 18.75, newMixL: 2837.5 }, 150)).toBeCloseTo(2812.5 / 2837.5, 12);
	expect(shareOnGround({ areaHa: 18.75, newMixL: 2812.5 }, 150)).toBe(1);
	// 100 L of the same mix from before are sprayed with it.
	expect(shareOnGround({ areaHa: 10, newMixL: 1425 }, 150)).toBeCloseTo(1500 / 1425, 12);
	expect(shareOnGround({ areaHa: 10, newMixL: 0 }, 150)).toBe(1);
	expect(shareOnGround({ areaHa: 10, newMixL: 500 }, 0)).toBe(1);
});

test('washings take out what stayed first, and only then what was on the ground', () => {
	const kept = { stayed: 0.1, logged: 15.1 };
	expect(amountOnGround(15.1, kept)).toBeCloseTo(15, 12);
	expect(amountOnGround(15.05, kept)).toBeCloseTo(15, 12);
	expect(amountOnGround(14.5, kept)).toBeCloseTo(14.5, 12);
	expect(amountOnGround(10, { stayed: -0.5, logged: 10 })).toBeCloseTo(10.5, 12);
});
