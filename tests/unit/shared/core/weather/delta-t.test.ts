import { expect, test } from 'vitest';
import { DeltaTInput } from '../../../../../shared/contract/weather.ts';
import { bandOf } from '../../../../../shared/core/weather/delta-t.ts';

test('bands and their edges', () => {
	const band = (values: number[]) => values.map((value) => bandOf(value));
	expect({
		unsuitable: band([-1, 0, 1.49, 10.51, 20]),
		marginal: band([1.5, 2, 2.5, 7.5, 8, 9, 10, 10.5]),
		suitable: band([2.51, 5, 7.49]),
	}).toEqual({
		unsuitable: Array(5).fill('unsuitable'),
		marginal: Array(8).fill('marginal'),
		suitable: Array(3).fill('suitable'),
	});
});

test('outside the range of the formula the input is refused', () => {
	const readings: [number, number][] = [
		[20, 4],
		[20, 100],
		[-21, 50],
		[51, 50],
		[-20, 5],
		[50, 99],
	];
	const accepted = readings.map(
		([temperatureC, humidityPercent]) => DeltaTInput.safeParse({ temperatureC, humidityPercent }).success,
	);
	expect(accepted).toEqual([false, false, false, false, true, true]);
});
