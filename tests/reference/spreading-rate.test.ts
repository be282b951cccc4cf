import { expect, test } from 'vitest';
import { type SpreadingGiven, spreadingRate } from '../../shared/core/sprayers/spreading-rate.ts';

function rate(given: SpreadingGiven) {
	const result = spreadingRate(given);
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}

/**
 * Australian accreditation-course note, https://www.countryco.com.au/chemical-accreditation-course/useful-tools: 24 a
 * minute at 200 m/min (12 km/h) over 12 m are 100 on one hectare. The sum is the same by mass as by volume.
 */
test('what is caught in a minute, over width and speed', () => {
	const { kgPerHa, distanceM } = rate({ caughtKg: 24, widthM: 12, speedKmh: 12, timeS: 60 });
	expect([kgPerHa, distanceM]).toEqual([expect.closeTo(100, 9), expect.closeTo(200, 9)]);
	expect(rate({ caughtKg: 24, widthM: 12, distanceM: 200 }).kgPerHa).toBeCloseTo(100, 9);
});

/** By hand: 12 m × 100 m = 0.12 ha; 0.66 kg on it are 5.5 kg/ha, 10 % above 5; 5 kg/ha would be 0.6 kg. */
test('how far it is from the rate wanted', () => {
	const answer = rate({ caughtKg: 0.66, widthM: 12, distanceM: 100, targetKgPerHa: 5 });
	expect(answer.areaHa).toBeCloseTo(0.12, 12);
	expect(answer.fromTargetPercent).toBeCloseTo(10, 9);
	expect(answer.targetKg).toBeCloseTo(0.6, 12);
});

test('a run of unknown length, and one that contradicts itself, are refused', () => {
	const bare = spreadingRate({ caughtKg: 1, widthM: 12, speedKmh: 8 });
	expect(bare).toMatchObject({ ok: false, problem: { code: 'input.invalid', details: { path: 'distanceM' } } });
	const apart = spreadingRate({ caughtKg: 1, widthM: 12, distanceM: 100, speedKmh: 7.2, timeS: 60 });
	expect(apart).toMatchObject({
		ok: false,
		problem: { code: 'calibration.contradiction', details: { given: 100, follows: 120 } },
	});
	expect(spreadingRate({ caughtKg: 1, widthM: 12, distanceM: 100, speedKmh: 7.2, timeS: 50.5 }).ok).toBe(true);
});
