import { expect, test } from 'vitest';
import * as us from '../../../../../shared/core/sprayers/us-customary.ts';

test('there and back gives the same number', () => {
	const there = 12.34;
	expect(
		[
			us.litresPerHectareToGallonsPerAcre(us.gallonsPerAcreToLitresPerHectare(there)),
			us.litresPerMinuteToGallonsPerMinute(us.gallonsPerMinuteToLitresPerMinute(there)),
			us.kilometresPerHourToMilesPerHour(us.milesPerHourToKilometresPerHour(there)),
			us.metresToInches(us.inchesToMetres(there)),
			us.barToPsi(us.psiToBar(there)),
		].map((back) => Number(back.toFixed(9))),
	).toEqual(Array(5).fill(there));
});

/** 88 ft/min is 1 mph (University of Nebraska, pesticide education maths); a US gallon is 3.785411784 L and a psi 6,894.757 Pa by definition. */
test('definitions', () => {
	expect(us.feetPerSecondToKilometresPerHour(88 / 60)).toBeCloseTo(us.KM_PER_MILE, 9);
	expect(us.L_PER_US_GALLON).toBeCloseTo(3.785411784, 12);
	expect(us.BAR_PER_PSI).toBeCloseTo(0.06894757293, 10);
});
