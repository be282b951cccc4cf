import { describe, expect, test } from 'vitest';
import { calibrate } from '../../../../../shared/core/sprayers/calibration.ts';
import { checkNozzles } from '../../../../../shared/core/sprayers/nozzle-check.ts';

const spacingM = 0.5;

describe('what follows from what is given', () => {
	test('nothing follows from the spacing alone', () => {
		expect(calibrate({ spacingM })).toEqual({ ok: true, value: {} });
	});

	test('spray volume and speed give the nozzle output', () => {
		expect(calibrate({ spacingM, speedKmh: 12, sprayVolumeLPerHa: 150 })).toEqual({
			ok: true,
			value: { speedKmh: 12, sprayVolumeLPerHa: 150, nozzleLPerMin: 1.5 },
		});
	});

	test('spray volume and nozzle output give the speed', () => {
		expect(calibrate({ spacingM, nozzleLPerMin: 1.5, sprayVolumeLPerHa: 150 })).toEqual({
			ok: true,
			value: { speedKmh: 12, sprayVolumeLPerHa: 150, nozzleLPerMin: 1.5 },
		});
	});

	test('a distance without a time gives no speed', () => {
		expect(calibrate({ spacingM, distanceM: 100 })).toEqual({ ok: true, value: {} });
	});

	test('catches give the spray volume they put on beside the one asked for', () => {
		const result = calibrate({ spacingM, speedKmh: 12, sprayVolumeLPerHa: 150, catchesLPerMin: [1.4, 1.4] });
		expect(result.ok && { ...result.value, nozzles: null }).toEqual({
			speedKmh: 12,
			nozzleLPerMin: 1.5,
			sprayVolumeLPerHa: 150,
			measuredSprayVolumeLPerHa: 140,
			nozzles: null,
		});
	});
});

describe('figures that contradict each other', () => {
	test('a speed that differs from distance and time by more than 2 %', () => {
		expect(calibrate({ spacingM, speedKmh: 10, distanceM: 100, timeS: 30 })).toEqual({
			ok: false,
			problem: { code: 'calibration.contradiction', details: { figure: 'speedKmh', given: 10, follows: 12 } },
		});
	});

	test('within the rounding of a stopwatch the speed given stands', () => {
		const result = calibrate({ spacingM, speedKmh: 7, distanceM: 800, timeS: 408 });
		expect(result.ok && result.value.speedKmh).toBe(7);
	});

	test('a nozzle output that differs from spray volume and speed', () => {
		expect(calibrate({ spacingM, speedKmh: 12, sprayVolumeLPerHa: 150, nozzleLPerMin: 1.2 })).toEqual({
			ok: false,
			problem: { code: 'calibration.contradiction', details: { figure: 'nozzleLPerMin', given: 1.2, follows: 1.5 } },
		});
	});

	test('catches of nothing at all', () => {
		expect(calibrate({ spacingM, catchesLPerMin: [0, 0] })).toEqual({
			ok: false,
			problem: { code: 'calibration.noFlow', details: { catches: 2 } },
		});
	});
});

describe('nozzle check', () => {
	test('exactly 5 % from the mean and exactly 10 % from nominal still pass', () => {
		expect(checkNozzles([1.05, 0.95, 1, 1], null).map(({ verdict }) => verdict)).toEqual(['ok', 'ok', 'ok', 'ok']);
		expect(checkNozzles([1.1, 1.1], 1).map(({ verdict }) => verdict)).toEqual(['ok', 'ok']);
	});

	test('past them they do not', () => {
		expect(checkNozzles([1.06, 0.94, 1, 1], null).map(({ verdict }) => verdict)).toEqual(['warn', 'warn', 'ok', 'ok']);
		expect(checkNozzles([1.11, 1.11], 1).map(({ verdict }) => verdict)).toEqual(['fail', 'fail']);
	});

	test('a blocked nozzle', () => {
		expect(checkNozzles([0, 1], 1)[0]).toEqual({
			lPerMin: 0,
			fromMeanPercent: -100,
			fromNominalPercent: -100,
			verdict: 'fail',
		});
	});
});
