import { z } from 'zod';
import { planPartKinds } from '../core/store/store-plan.ts';
import { command, Id, Key, LocalDate, Nothing, NotNegative, Positive, query, Unit } from './procedure.ts';

const Part = z.strictObject({
	kind: z.enum(planPartKinds),
	label: z.string().trim().max(40),
	xM: NotNegative.max(200),
	yM: NotNegative.max(200),
	widthM: Positive.max(200),
	depthM: Positive.max(200),
});

export const StorePlan = z
	.strictObject({ widthM: Positive.max(200), depthM: Positive.max(200), parts: z.array(Part).max(60) })
	.describe('metres from the upper left corner; shelves are walked along in their order');

const Site = z.strictObject({
	place: z.string(),
	contacts: z.string(),
	bundL: z.number().nullable(),
	sensitive: z.boolean(),
	plan: StorePlan.nullable(),
	version: z.int().describe('0: nothing was entered yet'),
});
export type StoreSite = z.infer<typeof Site>;

export const StoreWatch = z.strictObject({
	until: LocalDate,
	batches: z.array(
		z.strictObject({
			productId: Id,
			product: z.string(),
			unit: Unit,
			batch: z.string().nullable(),
			expires: LocalDate,
			past: z.boolean(),
			amount: z.number(),
		}),
	),
	authorisations: z.array(
		z.strictObject({
			productId: Id,
			product: z.string(),
			unit: Unit,
			what: z.enum(['authorisation ends', 'use up by']),
			on: LocalDate,
			past: z.boolean(),
			amount: z.number(),
		}),
	),
	short: z.array(
		z.strictObject({
			productId: Id,
			product: z.string(),
			unit: Unit,
			inStore: z.number(),
			planned: z.number(),
			short: z.number(),
			jobs: z.array(z.strictObject({ jobId: Id, job: z.string(), date: LocalDate, amount: z.number() })),
		}),
	),
	bund: z.strictObject({
		storedL: z.number().describe('now; a kilogram counts as a litre'),
		mostL: z.number().describe('in the last twelve months'),
		neededL: z.number().describe('110 % of the most, 185 % in a sensitive area'),
		holds: z.boolean().nullable().describe('null: nobody entered what the bund holds'),
	}),
	site: Site,
});
export type StoreWatch = z.infer<typeof StoreWatch>;

const Printed = z.strictObject({ path: z.string(), pages: z.int() });
const path = z.string().min(1).optional().describe('left out: into the exports folder of the books');

export const storeWatchContract = {
	watch: query('What expires, what cannot cover the planned jobs, and whether the bund holds', Nothing, StoreWatch),
	saveSite: command(
		'Enters where the store stands, whom to ring, and what its bund holds',
		z.strictObject({
			key: Key,
			version: z.int().nonnegative(),
			place: z.string().trim().max(300),
			contacts: z.string().trim().max(600),
			bundL: NotNegative.nullable(),
			sensitive: z.boolean(),
			plan: StorePlan.nullable().optional().describe('left out: stays as it is'),
		}),
		Site,
	),
	printCountSheet: query(
		'Prints the sheet for a stock take in shelf order, blind or with the figures of the book',
		z.strictObject({ book: z.boolean().default(false), path }),
		Printed,
	),
	printEmergencyList: query(
		'Prints the list of what is in the store, to be kept away from it',
		z.strictObject({ path }),
		Printed,
	),
};
