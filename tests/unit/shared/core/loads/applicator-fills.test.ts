import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { applicatorFills } from '../../../../../shared/core/loads/applicator-fills.ts';

const mix = { mixL: 100, waterL: 99.5, products: [{ amount: 0.5, litresPerUnit: 1 }], capacityL: 15 };

describe('a mix in fills of a small tank', () => {
	test('100 L out of a tank of 15 L: six full ones alike, then 10 L', () => {
		expect(applicatorFills(mix)).toEqual([
			{ count: 6, mixL: 15, waterL: 14.925, amounts: [0.075] },
			{ count: 1, mixL: 10, waterL: 9.95, amounts: [0.05] },
		]);
	});
	test('where it comes out even the last one takes what rounding left', () => {
		expect(applicatorFills({ ...mix, mixL: 45, waterL: 44.9, products: [{ amount: 0.1, litresPerUnit: 1 }] })).toEqual([
			{ count: 2, mixL: 15, waterL: 14.9667, amounts: [0.0333] },
			{ count: 1, mixL: 15, waterL: 14.9666, amounts: [0.0334] },
		]);
	});
	test('a tank that holds it all, or none, needs no fills', () => {
		expect(applicatorFills({ ...mix, capacityL: 100 })).toEqual([]);
		expect(applicatorFills({ ...mix, capacityL: 0 })).toEqual([]);
	});
	test('fills add up to the mix, its water and its products; none is above the tank', () => {
		fc.assert(
			fc.property(
				fc.integer({ min: 1, max: 400 }),
				fc.integer({ min: 2, max: 30 }),
				fc.array(fc.record({ share: fc.integer({ min: 1, max: 300 }), perUnit: fc.constantFrom(1, 0.7, 0.8) }), {
					minLength: 1,
					maxLength: 4,
				}),
				(mixL, capacityL, parts) => {
					const products = parts.map(({ share, perUnit }) => ({
						amount: Math.round(((mixL * share) / 4000) * 100) / 100,
						litresPerUnit: perUnit,
					}));
					const taken = products.reduce((sum, { amount, litresPerUnit }) => sum + amount * litresPerUnit, 0);
					const fills = applicatorFills({ mixL, waterL: mixL - taken, products, capacityL });
					if (fills.length === 0) {
						expect(mixL).toBeLessThanOrEqual(capacityL);
						return;
					}
					const sum = (of: (fill: (typeof fills)[number]) => number) =>
						fills.reduce((total, fill) => total + fill.count * of(fill), 0);
					expect(sum(({ mixL: one }) => one)).toBeCloseTo(mixL, 5);
					// Water and products of a fill are told to a millionth; the last one holds what that leaves of all of them.
					const roundedL = 1e-6 * (1 + products.length) * fills.reduce((total, { count }) => total + count, 0);
					expect(Math.abs(sum(({ waterL }) => waterL) - (mixL - taken))).toBeLessThan(roundedL);
					for (const [index, { amount }] of products.entries()) {
						expect(sum(({ amounts }) => amounts[index] ?? 0)).toBeCloseTo(amount, 5);
					}
					for (const { mixL: one, waterL, amounts } of fills) {
						expect(one).toBeLessThanOrEqual(capacityL);
						const inIt = amounts.reduce(
							(total, each, index) => total + each * (products[index]?.litresPerUnit ?? 0),
							0,
						);
						expect(Math.abs(waterL + inIt - one)).toBeLessThan(roundedL);
					}
				},
			),
			{
				examples: [
					[
						306,
						2,
						[
							{ share: 1, perUnit: 0.8 },
							{ share: 1, perUnit: 1 },
						],
					],
				],
			},
		);
	});
});
