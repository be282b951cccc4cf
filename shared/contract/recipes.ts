import { z } from 'zod';
import { applicationKinds } from '../core/loads/application-kind.ts';
import { spaceUnits } from '../core/loads/closed-space.ts';
import { Carrier, SeedUnit, SlurryVolume } from './jobs-kinds.ts';
import { Dosed, SaidDose } from './jobs-plan.ts';
import { command, Id, Key, LocalDate, Nothing, Positive, query, Text, Unit } from './procedure.ts';

const Doses = z.array(
	z.strictObject({
		productId: Id,
		name: z.string(),
		formulation: z.string(),
		unit: Unit,
		dosePerHa: z.number().nullable().describe('at the spray volume of the mix; null: on seed'),
		dose: SaidDose.describe('as it was said'),
	}),
);

const broughtOut = {
	kind: z.enum(applicationKinds),
	sprayVolumeLPerHa: z.number().describe('0: no mix is sprayed'),
	carrier: Carrier.nullable().describe('the liquid fertiliser that carries it'),
	seedUnit: SeedUnit.nullable().describe('what its doses on seed are to'),
	slurry: SlurryVolume.nullable().describe('what goes onto the seed in all, with water'),
	spaceUnit: z.enum(spaceUnits).nullable().describe('what its doses in closed spaces are for'),
};

export const Recipe = z.strictObject({
	id: Id,
	name: z.string(),
	...broughtOut,
	products: Doses,
	version: z.int(),
});
export type Recipe = z.infer<typeof Recipe>;

export const PastMix = z.strictObject({
	jobId: Id,
	name: z.string(),
	on: LocalDate,
	sprayerId: Id,
	...broughtOut,
	products: Doses,
	nozzle: z.string().nullable(),
	pressureBar: z.number().nullable(),
	speedKmh: z.number().nullable(),
	boomHeightM: z.number().nullable(),
});
export type PastMix = z.infer<typeof PastMix>;

export const recipesContract = {
	list: query(
		'Where a plan may start: saved recipes by name, and the mixes of the last jobs',
		Nothing,
		z.strictObject({ recipes: z.array(Recipe), lastJobs: z.array(PastMix) }),
	),
	save: command(
		'Saves a mix under a name; a recipe of that name is replaced',
		z.strictObject({
			key: Key,
			name: Text,
			kind: z.enum(applicationKinds).default('spray in water').describe('how it is brought out'),
			sprayVolumeLPerHa: Positive.optional().describe('asked for where a mix is sprayed'),
			carrier: Carrier.optional().describe('asked for where liquid fertiliser is the carrier'),
			seedUnit: SeedUnit.optional().describe('asked for where seed is treated'),
			slurry: SlurryVolume.optional().describe('where water goes onto the seed with the products'),
			spaceUnit: z.enum(spaceUnits).optional().describe('asked for where a closed space is treated'),
			products: z.array(Dosed).min(1).max(40),
		}),
		Recipe,
	),
	remove: command('Takes a recipe off the list', z.strictObject({ key: Key, id: Id }), z.strictObject({ id: Id })),
};
