import { z } from 'zod';
import { Unit } from './procedure.ts';

/** What to expect in the tank when the last load is sprayed, beyond what stays in sump and lines; below zero: short. */
export const EndOfJob = z.strictObject({
	expectedL: z.number().describe('0 for a job made up as planned; by the meter where loads are logged'),
	lowL: z.number(),
	highL: z.number(),
	shortHa: z.number().describe('hectares still to go at the low end'),
	sigma: z.strictObject({ areaL: z.number(), meterL: z.number(), stepL: z.number() }).describe('standard errors'),
	unsprayableL: z.number(),
	smallerLast: z
		.strictObject({ load: z.int(), totalL: z.number(), smallerL: z.number() })
		.nullable()
		.describe('the last load still to be made up, made so much smaller that nothing should be left'),
	topUp: z
		.strictObject({
			areaHa: z.number(),
			mixL: z.number(),
			waterL: z.number(),
			products: z.array(z.strictObject({ name: z.string(), unit: Unit, amount: z.number() })),
		})
		.nullable()
		.describe('a load at the same dose for the hectares that may be short'),
	washings: z
		.strictObject({
			leftL: z.number(),
			onSprayedHa: z.number().nullable().describe('least sprayed ground that takes them within every label'),
			limitedBy: z.string().nullable(),
			keptBackHa: z.number().describe('ground to keep unsprayed for them instead'),
			unknown: z.array(z.string()).describe('products whose maximum dose is not on the books'),
		})
		.describe('what the mix left needs when it is washed out onto allowed ground'),
});
export type EndOfJob = z.infer<typeof EndOfJob>;
