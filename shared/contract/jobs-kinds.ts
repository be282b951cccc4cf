import { z } from 'zod';
import { slurryUnits } from '../core/loads/slurry.ts';
import { LimitFinding } from './limits.ts';
import { command, Id, Key, LocalDate, LongText, Positive, Text } from './procedure.ts';

export const SeedUnit = z.enum(['kg', 'unit']);

/** Liquid fertiliser that fills the tank in place of water. */
export const Carrier = z.strictObject({
	productId: Id.optional().describe('from the store; left out: bulk that is only noted, with name and density'),
	name: z.string().trim().max(120).optional(),
	densityKgPerL: Positive.max(3).optional().describe('left out: the relative density of the product'),
	lPerHa: Positive.optional().describe('left out: all that is not product; else water makes up the spray volume'),
});

/** What goes onto the seed in all: products, and the water that makes it up. */
export const SlurryVolume = z.strictObject({ value: Positive, unit: z.enum(slurryUnits) });

export const Seed = z.strictObject({
	amount: Positive,
	unit: SeedUnit,
	crop: z.string().trim().min(1).max(100).describe('crop of the seed'),
	eppoCode: z.string().trim().max(12).optional(),
	lot: z.string().trim().max(60).optional().describe('number or name of the seed lot'),
	slurry: SlurryVolume.optional().describe('slurry volume, products and water together; left out: no water goes on'),
});
export type Carrier = z.infer<typeof Carrier>;
export type Seed = z.infer<typeof Seed>;

export const PlannedCarrier = z.strictObject({
	productId: Id.nullable(),
	name: z.string(),
	densityKgPerL: z.number(),
	lPerHa: z.number(),
	litres: z.number(),
	kg: z.number(),
	sprayVolumeAsWaterLPerHa: z
		.number()
		.describe('the volume to set nozzles and sprayer by when that is done with water'),
});
export type PlannedCarrier = z.infer<typeof PlannedCarrier>;

/** Treated seed that went into the ground. */
export const Sowing = z.strictObject({
	id: Id,
	fieldId: Id,
	field: z.string(),
	areaHa: z.number(),
	seed: z.number().describe('kg or units, as the job counts its seed'),
	date: LocalDate,
	by: z.string(),
	note: z.string().nullable(),
});
export type Sowing = z.infer<typeof Sowing>;

export const sowingContract = {
	sow: command(
		'Says where treated seed was sown: from then on it counts as treated ground there',
		z.strictObject({
			key: Key,
			jobId: Id,
			date: LocalDate,
			by: Text,
			fields: z
				.array(z.strictObject({ fieldId: Id, areaHa: Positive.optional(), seed: Positive }))
				.min(1)
				.max(100)
				.describe('area left out: the area to load for'),
			note: LongText.optional(),
		}),
		z.strictObject({ sowingIds: z.array(Id), findings: z.array(LimitFinding) }),
	),
	unsow: command(
		'Takes back a sowing that was entered wrongly',
		z.strictObject({ key: Key, jobId: Id, sowingId: Id, why: Text, by: Text }),
		z.strictObject({ id: Id }),
	),
};
