import { z } from 'zod';
import { Id, LocalDate, Nothing, query, Unit } from './procedure.ts';
import { InStore, Store, StoreSaid } from './store-list.ts';

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
			stores: z.array(InStore),
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
			storeId: Id.describe('the store its jobs draw from'),
			store: z.string(),
			inStore: z.number(),
			planned: z.number(),
			short: z.number(),
			elsewhere: z.array(InStore).describe('other stores of the farm that hold some'),
			jobs: z.array(z.strictObject({ jobId: Id, job: z.string(), date: LocalDate, amount: z.number() })),
		}),
	),
	stores: z
		.array(
			Store.extend({
				bund: z.strictObject({
					storedL: z.number().describe('now; a kilogram counts as a litre'),
					mostL: z.number().describe('in the last twelve months'),
					neededL: z.number().describe('110 % of the most, 185 % in a sensitive area'),
					holds: z.boolean().nullable().describe('null: nobody entered what the bund holds'),
				}),
			}),
		)
		.describe('the first on top, without those that are closed'),
});
export type StoreWatch = z.infer<typeof StoreWatch>;

const Printed = z.strictObject({ path: z.string(), pages: z.int() });
const path = z.string().min(1).optional().describe('left out: into the exports folder of the books');

export const storeWatchContract = {
	watch: query('What expires, what cannot cover the planned jobs, and whether the bunds hold', Nothing, StoreWatch),
	printCountSheet: query(
		'Prints the sheet for a stock take in shelf order, blind or with the figures of the book',
		z.strictObject({ book: z.boolean().default(false), storeId: StoreSaid, path }),
		Printed,
	),
	printEmergencyList: query(
		'Prints the list of what is in each store, a page each, to be kept away from it',
		z.strictObject({ storeId: Id.optional().describe('only this store; left out: all of them'), path }),
		Printed,
	),
};
