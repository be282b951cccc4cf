import { expect, test } from 'vitest';
import { deltaT } from '../../shared/core/weather/delta-t.ts';

/** R. Stull, *J. Applied Meteorology and Climatology* 50 (2011) 2267–2269, worked value: 20 °C and 50 % give a wet bulb of 13.7 °C. */
test('the worked value of the paper', () => {
	expect(deltaT({ temperatureC: 20, humidityPercent: 50 }).wetBulbC).toBeCloseTo(13.7, 1);
});

/** 30 °C and 50 %: the formula gives 22.30 (a page that prints 21.92 is in error; the psychrometer equation gives 22.07). */
test('30 °C, 50 %', () => {
	expect(deltaT({ temperatureC: 30, humidityPercent: 50 }).wetBulbC).toBeCloseTo(22.3, 2);
});

/** US Army TM 5-3610-285-14: dry 68 °F, wet 62 °F is 71 % humidity, so delta T is 3.33 °C; Stull stays within its 0.65 °C. */
test('a published wet-bulb table', () => {
	expect(Math.abs(deltaT({ temperatureC: 20, humidityPercent: 71 }).deltaT - 6 / 1.8)).toBeLessThan(0.65);
});

/** By the same formula, computed apart and rounded to one decimal: rows 10 to 40 °C, columns 20 to 90 %. */
test('the table by temperature and humidity', () => {
	const rows = [10, 15, 20, 25, 30, 35, 40].map((temperatureC) =>
		[20, 30, 40, 50, 60, 70, 80, 90].map((humidityPercent) =>
			Number(deltaT({ temperatureC, humidityPercent }).deltaT.toFixed(1)),
		),
	);
	expect(rows).toEqual([
		[7.7, 6.7, 5.8, 4.9, 4.0, 3.0, 2.1, 1.1],
		[9.3, 8.0, 6.7, 5.6, 4.5, 3.4, 2.3, 1.2],
		[10.9, 9.2, 7.7, 6.3, 5.0, 3.7, 2.5, 1.2],
		[12.5, 10.4, 8.6, 7.0, 5.5, 4.1, 2.7, 1.3],
		[14.1, 11.6, 9.6, 7.7, 6.0, 4.4, 2.9, 1.4],
		[15.7, 12.9, 10.5, 8.4, 6.5, 4.7, 3.1, 1.5],
		[17.3, 14.1, 11.4, 9.1, 7.0, 5.1, 3.3, 1.5],
	]);
});
