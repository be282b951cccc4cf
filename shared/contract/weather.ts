import { z } from 'zod';
import { DELTA_T_VALID } from '../core/weather/delta-t.ts';
import { pure } from './procedure.ts';

const { temperatureC, humidityPercent } = DELTA_T_VALID;

export const DeltaTInput = z.strictObject({
	temperatureC: z.number().min(temperatureC.from).max(temperatureC.to),
	humidityPercent: z.number().min(humidityPercent.from).max(humidityPercent.to),
});

export const DeltaTOutput = z.strictObject({
	wetBulbC: z.number(),
	deltaT: z.number(),
	band: z.enum(['suitable', 'marginal', 'unsuitable']),
});

export type DeltaTInput = z.infer<typeof DeltaTInput>;

export const weatherContract = {
	deltaT: pure(
		'Wet bulb and delta T from temperature and humidity: a guideline beside wind and inversion',
		DeltaTInput,
		DeltaTOutput,
	),
};
