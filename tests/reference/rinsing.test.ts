import { describe, expect, test } from 'vitest';
import { rinse, rinsesForFactor, waterPerRinseForFactor } from '../../shared/core/sprayers/rinsing.ts';

/** Sequential dilution with full mixing: remaining = ∏ residue ÷ (residue + water). No handbook case with numbers is known. */
describe('sequential dilution', () => {
	const cases = [
		{ residualL: 20, rinsesL: [300], factor: 16 },
		{ residualL: 20, rinsesL: [150, 150], factor: 72.25 },
		{ residualL: 20, rinsesL: [100, 100, 100], factor: 216 },
		{ residualL: 30, rinsesL: [400], factor: 14.333333333 },
		{ residualL: 0.1, rinsesL: [7.5], factor: 76 },
		{ residualL: 0.1, rinsesL: [2.5, 2.5, 2.5], factor: 17_576 },
	];
	test.each(cases)('$residualL L left, rinsed with $rinsesL L', ({ residualL, rinsesL, factor }) => {
		const { remainingFraction, factor: found } = rinse({ residualL, rinsesL });
		expect(found).toBeCloseTo(factor, 6);
		expect(remainingFraction * factor).toBeCloseTo(1, 6);
	});
});

/**
 * Dicamba shows on soya at about 1/20,000 of the label rate (T. Wolf, *How Clean is Clean?*): with 20 L left in the
 * sprayer, four rinses of 218 L or three of 523 L.
 */
describe('rinses for a target', () => {
	test('water of each rinse', () => {
		const water = [4, 3].map((rinses) => Math.round(waterPerRinseForFactor({ residualL: 20, rinses, factor: 20_000 })));
		expect(water).toEqual([218, 523]);
	});
	test('number of rinses', () => {
		const rinses = [218, 523].map((waterL) => rinsesForFactor({ residualL: 20, waterL, factor: 20_000 }));
		expect(rinses).toEqual([4, 3]);
	});
});
