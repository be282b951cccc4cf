import { describe, expect, test } from 'vitest';
import { type CalibrationGiven, calibrate } from '../../shared/core/sprayers/calibration.ts';
import {
	barToPsi,
	gallonsPerAcreToLitresPerHectare,
	gallonsPerMinuteToLitresPerMinute,
	inchesToMetres,
	L_PER_US_FLUID_OUNCE,
	litresPerHectareToGallonsPerAcre,
	litresPerMinuteToGallonsPerMinute,
	M_PER_FOOT,
	milesPerHourToKilometresPerHour,
	psiToBar,
} from '../../shared/core/sprayers/us-customary.ts';
import { M2_PER_ACRE, M2_PER_HECTARE } from '../../shared/units/area.ts';

function calibrated(given: CalibrationGiven) {
	const result = calibrate(given);
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}

const ACRES_PER_HECTARE = M2_PER_HECTARE / M2_PER_ACRE;

/** Alberta Agriculture, Agdex 606-1, p. 11: 110-02 nozzle at 275 kPa, 9 km/h, 50 cm: 40 L/acre from 0.75 L/min. */
test('nozzle output and spray volume, metric', () => {
	const { sprayVolumeLPerHa = 0 } = calibrated({ spacingM: 0.5, speedKmh: 9, nozzleLPerMin: 0.75 });
	expect(sprayVolumeLPerHa).toBeCloseTo(100, 9);
	expect(Math.round(sprayVolumeLPerHa / ACRES_PER_HECTARE)).toBe(40);
});

/** As above: 0.71–0.79 L/min is acceptable (0.7125 and 0.7875 before rounding), 5 % about 0.75. */
test('the 5 % band about the mean', () => {
	const catches = [0.7, 0.7125, 0.75, 0.75, 0.7875, 0.8];
	const nozzles = calibrated({ spacingM: 0.5, catchesLPerMin: catches }).nozzles ?? [];
	expect(nozzles.map(({ verdict }) => verdict)).toEqual(['warn', 'ok', 'ok', 'ok', 'ok', 'warn']);
});

/** As above: 800 m in 6:48, 6:00, 5:20, 4:48, 4:22, 4:00 is 7, 8, 9, 10, 11, 12 km/h. */
test('ground speed from time', () => {
	const speeds = [408, 360, 320, 288, 262, 240].map(
		(timeS) => calibrated({ spacingM: 0.5, distanceM: 800, timeS }).speedKmh,
	);
	expect(speeds.map((speed = 0) => Math.round(speed))).toEqual([7, 8, 9, 10, 11, 12]);
});

/** Australian accreditation-course note: 24 L/min from the whole boom, 200 m/min, 12 m swath: 100 L/ha. */
test('whole boom: the swath stands for the spacing', () => {
	const { speedKmh, sprayVolumeLPerHa } = calibrated({ spacingM: 12, distanceM: 200, timeS: 60, nozzleLPerMin: 24 });
	expect([speedKmh, sprayVolumeLPerHa]).toEqual([12, 100]);
});

describe('US customary', () => {
	/** Albany County (Wyoming) Weed & Pest: 480 fl oz/min (3.75 gpm), swath 222 in, 5 mph: 20 gallons per acre. */
	test('volume per area', () => {
		const { sprayVolumeLPerHa = 0 } = calibrated({
			spacingM: inchesToMetres(222),
			speedKmh: milesPerHourToKilometresPerHour(5),
			nozzleLPerMin: gallonsPerMinuteToLitresPerMinute(3.75),
		});
		expect(litresPerHectareToGallonsPerAcre(sprayVolumeLPerHa)).toBeCloseTo(20.07, 2);
	});

	/** gpm = GPA × mph × in ÷ 5940, Univ. Missouri G1270a; the set-up of SDSU *Sprayer Calibration Equations*: 15 GPA, 10 mph, 20 in. */
	test('nozzle output by the 5940 formula', () => {
		const { nozzleLPerMin = 0 } = calibrated({
			spacingM: inchesToMetres(20),
			speedKmh: milesPerHourToKilometresPerHour(10),
			sprayVolumeLPerHa: gallonsPerAcreToLitresPerHectare(15),
		});
		expect(litresPerMinuteToGallonsPerMinute(nozzleLPerMin)).toBeCloseTo((15 * 10 * 20) / 5940, 4);
	});

	/** LSU AgCenter, *Ounces Equal Gallons*: 40-in rows, 102 ft in 17 s, 14 fl oz caught over that course: 14 gallons per acre. */
	test('the 1/128 acre catch', () => {
		const { sprayVolumeLPerHa = 0 } = calibrated({
			spacingM: inchesToMetres(40),
			distanceM: 102 * M_PER_FOOT,
			timeS: 17,
			nozzleLPerMin: ((14 * L_PER_US_FLUID_OUNCE) / 17) * 60,
		});
		expect(litresPerHectareToGallonsPerAcre(sprayVolumeLPerHa)).toBeCloseTo(14, 1);
	});

	/** As above, course lengths by spacing (30 down to 10 in): caught ounces equal gallons per acre on each of them. */
	test('course lengths of the 1/128 acre catch', () => {
		const spacings = [30, 28, 26, 24, 22, 20, 18, 16, 14, 12, 10];
		const courses = [136, 146, 157, 170, 185, 204, 227, 255, 291, 340, 408];
		const gallons = spacings.map((inches, index) => {
			const distanceM = (courses[index] ?? 0) * M_PER_FOOT;
			const nozzleLPerMin = ((10 * L_PER_US_FLUID_OUNCE) / 20) * 60;
			const answer = calibrated({ spacingM: inchesToMetres(inches), distanceM, timeS: 20, nozzleLPerMin });
			return litresPerHectareToGallonsPerAcre(answer.sprayVolumeLPerHa ?? 0);
		});
		for (const gallonsPerAcre of gallons) expect(Math.abs(gallonsPerAcre / 10 - 1)).toBeLessThan(0.004);
	});

	/** Iowa State University, Crop News 844: from 12 to 15 mph (+25 %) takes 40 psi to about 63 psi (+56 %). */
	test('pressure needed for more speed', () => {
		const spacingM = inchesToMetres(20);
		const sprayVolumeLPerHa = gallonsPerAcreToLitresPerHectare(15);
		const slow = calibrated({ spacingM, sprayVolumeLPerHa, speedKmh: milesPerHourToKilometresPerHour(12) });
		const { pressureNeededBar = 0 } = calibrated({
			spacingM,
			sprayVolumeLPerHa,
			speedKmh: milesPerHourToKilometresPerHour(15),
			nominalLPerMin: slow.nozzleLPerMin,
			pressureBar: psiToBar(40),
		});
		expect(barToPsi(pressureNeededBar)).toBeCloseTo(62.5, 9);
	});
});

/** ISO 10625 sizes (nominal at 3 bar from memory): 2-bar and 4-bar figures by the square root of pressure, two digits. */
test('flow follows the square root of pressure', () => {
	const nominal = [0.4, 0.6, 0.8, 1, 1.2, 1.6, 2, 2.4, 3.2, 4, 6, 8];
	const at = (bar: number) =>
		nominal.map((nozzleLPerMin) =>
			Number(
				calibrated({
					spacingM: 0.5,
					nozzleLPerMin,
					pressureBar: 3,
					targetPressureBar: bar,
				}).flowAtTargetLPerMin?.toFixed(2),
			),
		);
	expect(at(2)).toEqual([0.33, 0.49, 0.65, 0.82, 0.98, 1.31, 1.63, 1.96, 2.61, 3.27, 4.9, 6.53]);
	expect(at(4)).toEqual([0.46, 0.69, 0.92, 1.15, 1.39, 1.85, 2.31, 2.77, 3.7, 4.62, 6.93, 9.24]);
});
