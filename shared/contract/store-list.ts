import { z } from 'zod';
import { planPartKinds } from '../core/store/store-plan.ts';
import { command, Id, Key, LocalDate, Nothing, NotNegative, Positive, query, Text } from './procedure.ts';

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

/** One store of the farm: a building, or a part of one, with its own shelves, bund and plan. */
export const Store = z.strictObject({
	storeId: Id,
	name: z.string(),
	first: z.boolean().describe('the store everything is booked in where none is named'),
	place: z.string(),
	contacts: z.string(),
	bundL: z.number().nullable(),
	sensitive: z.boolean(),
	plan: StorePlan.nullable(),
	closed: z.boolean().describe('no longer in use; nothing stands in it'),
	version: z.int().describe('0: nothing was entered yet'),
});
export type Store = z.infer<typeof Store>;

export const StoreSaid = Id.optional().describe('left out: the first store');
export const InStore = z.strictObject({ storeId: Id, store: z.string(), amount: z.number() });
export type InStore = z.infer<typeof InStore>;

const name = z.string().trim().min(1).max(60);
const building = {
	place: z.string().trim().max(300),
	contacts: z.string().trim().max(600),
	bundL: NotNegative.nullable(),
	sensitive: z.boolean(),
	plan: StorePlan.nullable().optional().describe('left out: stays as it is'),
};

export const storeListContract = {
	stores: query('The stores of the farm, the first on top', Nothing, z.array(Store)),
	addStore: command(
		'Adds another store; what is on the books stays in the first',
		z.strictObject({
			key: Key,
			name,
			place: building.place.default(''),
			contacts: building.contacts.default(''),
			bundL: building.bundL.default(null),
			sensitive: building.sensitive.default(false),
		}),
		Store,
	),
	saveSite: command(
		'Enters what a store is called, where it stands, whom to ring, and what its bund holds',
		z.strictObject({
			key: Key,
			storeId: StoreSaid,
			version: z.int().nonnegative(),
			name: name.optional().describe('left out: stays as it is'),
			...building,
			closed: z.boolean().optional().describe('true: no longer in use, where nothing stands in it'),
		}),
		Store,
	),
	move: command(
		'Moves whole containers and opened ones from one store of the farm to another',
		z.strictObject({
			key: Key,
			fromStoreId: Id,
			toStoreId: Id,
			packs: z
				.array(z.strictObject({ lotId: Id, count: z.int().positive().max(100_000) }))
				.max(200)
				.default([]),
			opened: z.array(Id).max(200).default([]).describe('opened containers, each with all that is left in it'),
			date: LocalDate.optional(),
			why: Text.default('moved'),
			by: Text,
		}),
		z.strictObject({ movementIds: z.array(Id) }),
	),
};
