import { z } from 'zod';
import { DELTA_T_VALID } from '../core/weather/delta-t.ts';
import { NotNegative, Positive, pure } from './procedure.ts';

const { temperatureC, humidityPercent } = DELTA_T_VALID;

/** The weather as it was seen while spraying. */
export const Weather = z.strictObject({
	temperatureC: z.number().min(-40).max(60).optional(),
	humidityPercent: z.number().min(0).max(100).optional(),
	windSpeedKmh: NotNegative.max(300).optional(),
	windDirection: z.string().trim().max(20).optional(),
	windHeightM: Positive.max(20).optional().describe('height the wind was measured at'),
});

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

/** What was in flower where it was sprayed. */
export const InFlower = z
	.string()
	.trim()
	.max(60)
	.describe('what was in flower; “nothing” where nothing was; left out: not answered');
