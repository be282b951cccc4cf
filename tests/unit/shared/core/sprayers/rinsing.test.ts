import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rinse, rinsesForFactor, waterPerRinseForFactor } from '../../../../../shared/core/sprayers/rinsing.ts';

const litres = fc.double({ min: 0.01, max: 1000, noNaN: true });

describe('rinsing', () => {
	test('no rinse leaves everything', () => {
		expect(rinse({ residualL: 5, rinsesL: [] })).toEqual({ remainingFraction: 1, factor: 1 });
	});

	test('a target is answered in rinses and in water', () => {
		expect(rinse({ residualL: 1, rinsesL: [8, 10], targetFactor: 10_000 })).toEqual({
			remainingFraction: 1 / 99,
			factor: 99,
			rinsesForTarget: 4,
			waterPerRinseForTargetL: 99,
		});
	});

	test('an exact power takes no rinse too many', () => {
		expect([1000, 1001].map((factor) => rinsesForFactor({ residualL: 1, waterL: 9, factor }))).toEqual([3, 4]);
	});

	test('of one amount of water, no split does better than equal rinses', () => {
		const rinses = fc.array(litres, { minLength: 1, maxLength: 6 });
		fc.assert(
			fc.property(litres, rinses, (residualL, rinsesL) => {
				const meanL = rinsesL.reduce((sum, waterL) => sum + waterL, 0) / rinsesL.length;
				const equal = rinse({ residualL, rinsesL: rinsesL.map(() => meanL) });
				expect(rinse({ residualL, rinsesL }).factor).toBeLessThanOrEqual(equal.factor * (1 + 1e-9));
			}),
			{ seed: 20 },
		);
	});

	test('the water found for a target reaches it', () => {
		const targets = fc.record({
			residualL: litres,
			rinses: fc.integer({ min: 1, max: 6 }),
			factor: fc.integer({ min: 2, max: 100_000 }),
		});
		fc.assert(
			fc.property(targets, ({ residualL, rinses, factor }) => {
				const waterL = waterPerRinseForFactor({ residualL, rinses, factor });
				expect(rinse({ residualL, rinsesL: Array(rinses).fill(waterL) }).factor / factor).toBeCloseTo(1, 6);
				expect(rinsesForFactor({ residualL, waterL, factor })).toBe(rinses);
			}),
			{ seed: 21 },
		);
	});
});
