import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rinse } from '../../../../../shared/core/sprayers/rinsing.ts';
import { washedOut } from '../../../../../shared/core/sprayers/washed-out.ts';

test('the residue alone, three rinses: all of it but 1/216 comes out', () => {
	const { mixL, sprayedL, factor } = washedOut({ leftL: 20, residualL: 20, rinsesL: [100, 100, 100] });
	// Each rinse 20 ÷ 120: 6³ = 216 (the formula of `rinse`).
	expect(factor).toBeCloseTo(216, 9);
	expect(mixL).toBeCloseTo(20 - 20 / 216, 9);
	expect(sprayedL).toBe(300);
});

test('mix left above the residue is thinned with it first', () => {
	const { mixL, sprayedL, factor } = washedOut({ leftL: 60, residualL: 20, rinsesL: [180, 100] });
	// 60 ÷ 240 = 1/4 strong, then 20 ÷ 120 of that: 1/24.
	expect(factor).toBeCloseTo(24, 9);
	expect(mixL).toBeCloseTo(60 - 20 / 24, 9);
	expect(sprayedL).toBe(320);
});

test('without water it is sprayed out as it is, down to the residue; nothing left is nothing out', () => {
	expect(washedOut({ leftL: 60, residualL: 20, rinsesL: [] })).toEqual({ mixL: 40, sprayedL: 40, factor: 1 });
	expect(washedOut({ leftL: 10, residualL: 20, rinsesL: [] })).toEqual({ mixL: 0, sprayedL: 0, factor: 1 });
	expect(washedOut({ leftL: 60, residualL: 0, rinsesL: [100] })).toMatchObject({ mixL: 60, sprayedL: 160 });
});

test('product out and product that stays are what was left, and the factor is that of the rinsing', () => {
	const water = fc.array(fc.double({ min: 1, max: 500, noNaN: true }), { maxLength: 6 });
	fc.assert(
		fc.property(
			fc.double({ min: 0.5, max: 200, noNaN: true }),
			fc.double({ min: 0.5, max: 400, noNaN: true }),
			water,
			(residualL, leftL, rinsesL) => {
				const { mixL, factor } = washedOut({ leftL, residualL, rinsesL });
				expect(mixL + Math.min(residualL, leftL) / factor).toBeCloseTo(leftL, 6);
				expect(mixL).toBeGreaterThanOrEqual(-1e-9);
				if (residualL === leftL) expect(factor).toBeCloseTo(rinse({ residualL, rinsesL }).factor, 6);
			},
		),
		{ seed: 20270425 },
	);
});
