import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Kilograms, Metres, Seconds } from '../../units/quantity.ts';
import type { KilometresPerHour } from './us-customary.ts';

export type SpreadingGiven = {
	/** What was caught or ran out while the machine went the distance, or as long as that takes. */
	readonly caughtKg: Kilograms;
	/** The width one pass covers. */
	readonly widthM: Metres;
	readonly distanceM?: Metres | undefined;
	readonly speedKmh?: KilometresPerHour | undefined;
	readonly timeS?: Seconds | undefined;
	readonly targetKgPerHa?: number | undefined;
};

export type SpreadingRate = {
	readonly kgPerHa: number;
	readonly areaHa: number;
	readonly distanceM: number;
	readonly fromTargetPercent?: number;
	/** What the same run should have given. */
	readonly targetKg?: number;
};

const M2_PER_HECTARE = 10_000;
const KMH_PER_M_PER_S = 3.6;
/** A distance measured and one from speed and time may differ by the rounding of a stopwatch. Common practice. */
const AGREEMENT = 0.02;

/**
 * The rate of a spreader or an applicator from what it gave on a run, or standing for as long as the run takes.
 *
 *   rate [kg/ha] = caught [kg] × 10,000 ÷ (width [m] × distance [m]),   distance [m] = speed [km/h] ÷ 3.6 × time [s]
 *
 * Takes the distance, or speed and time; gives also how far that is from the rate wanted, and what the run should give.
 * Refuses `calibration.contradiction` where a distance given differs by more than 2 % from speed × time, and a run of
 * which neither is known.
 * Source: the sum for a whole boom, 600 × L/min ÷ (km/h × m), in tests/reference/calibration.test.ts, with kilograms;
 * tests/reference/spreading-rate.test.ts.
 */
export function spreadingRate(given: SpreadingGiven): Result<SpreadingRate> {
	const { caughtKg, widthM, speedKmh, timeS, targetKgPerHa } = given;
	const timedM = speedKmh === undefined || timeS === undefined ? undefined : (speedKmh / KMH_PER_M_PER_S) * timeS;
	const distanceM = given.distanceM ?? timedM;
	if (distanceM === undefined) {
		return refuse('input.invalid', { path: 'distanceM', why: 'say the distance of the run, or its speed and time' });
	}
	if (timedM !== undefined && Math.abs(distanceM / timedM - 1) > AGREEMENT) {
		return refuse('calibration.contradiction', { figure: 'distanceM', given: distanceM, follows: timedM });
	}
	const areaHa = (widthM * distanceM) / M2_PER_HECTARE;
	const kgPerHa = caughtKg / areaHa;
	if (targetKgPerHa === undefined) return ok({ kgPerHa, areaHa, distanceM });
	const fromTargetPercent = (kgPerHa / targetKgPerHa - 1) * 100;
	return ok({ kgPerHa, areaHa, distanceM, fromTargetPercent, targetKg: targetKgPerHa * areaHa });
}
