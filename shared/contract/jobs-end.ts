import { z } from 'zod';
import { Id, Unit } from './procedure.ts';

/** What washings need on one field to keep every dose limit on the books. */
export const WashingsRoom = z.strictObject({
	leastHa: z.number().nullable().describe('least ground that takes them; null: no ground there does'),
	limitedBy: z.strictObject({ product: z.string(), kind: z.string() }).nullable(),
	unknown: z.array(z.string()).describe('products whose maximum dose is not on the books'),
	notForCrop: z.array(z.string()).describe('products whose label does not allow the crop there'),
});
export type WashingsRoom = z.infer<typeof WashingsRoom>;

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
			carrier: z
				.strictObject({ name: z.string(), litres: z.number() })
				.optional()
				.describe('liquid fertiliser that is only noted; one from the store stands with the products'),
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
			fields: z
				.array(WashingsRoom.extend({ fieldId: Id, field: z.string(), sprayedHa: z.number() }))
				.optional()
				.describe('field by field, with what was sprayed there before and is planned'),
		})
		.describe('what the mix left needs when it is washed out onto allowed ground'),
});
export type EndOfJob = z.infer<typeof EndOfJob>;
