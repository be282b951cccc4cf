import { z } from 'zod';
import { command, Id, Instant, Key, LocalDate, NotNegative, Positive, query, Text, Unit } from './procedure.ts';
import { Movement } from './store.ts';
import { StoreSaid } from './store-list.ts';

const FullPacks = z.strictObject({ size: Positive, count: z.int().nonnegative().max(100_000) });
const Part = z.discriminatedUnion('how', [
	z.strictObject({ how: z.literal('level'), size: Positive, amount: NotNegative }),
	z.strictObject({
		how: z.literal('weighed'),
		size: Positive,
		grossKg: NotNegative,
		tareKg: NotNegative,
		scaleStepKg: Positive.default(0.1),
	}),
]);
export type CountPart = z.input<typeof Part>;

const Entry = z.strictObject({
	by: z.string(),
	at: z.string(),
	place: z.string(),
	full: z.array(FullPacks),
	parts: z.array(Part),
	amount: z.number(),
	stands: z.boolean().describe('false: counted again at the same place'),
});

export const TakeLine = z.strictObject({
	productId: Id,
	name: z.string(),
	formulation: z.string(),
	unit: Unit,
	packSizes: z.array(z.number()),
	relativeDensity: z.number().nullable(),
	place: z.string().describe('where it stood when it was last counted'),
	lastCountOn: LocalDate.nullable(),
	entries: z.array(Entry),
	counted: z.number().nullable(),
	book: z.number().nullable().describe('at the freeze time; null while a blind count hides it'),
	difference: z.number().nullable(),
	likelySize: z.number().nullable(),
	beyond: z.boolean().describe('more apart than measuring alone explains'),
	verdict: z.enum(['accepted', 'open']).nullable(),
	why: z.string().nullable(),
	posted: z.boolean(),
});
export type TakeLine = z.infer<typeof TakeLine>;

export const StockTake = z.strictObject({
	id: Id,
	storeId: Id,
	store: z.string(),
	freezeAt: z.string(),
	blind: z.boolean(),
	openedBy: z.string(),
	openedAt: z.string(),
	outcome: z.enum(['approved', 'dropped']).nullable(),
	endedBy: z.string().nullable(),
	endedAt: z.string().nullable(),
});
export type StockTake = z.infer<typeof StockTake>;

export const stockTakeContract = {
	openStockTake: command(
		'Opens a stock take: many products at one freeze time',
		z.strictObject({
			key: Key,
			storeId: StoreSaid,
			everyStore: z.boolean().default(false).describe('one in each store in use that is not being counted already'),
			freezeAt: Instant.optional().describe('left out: now'),
			blind: z.boolean().default(true).describe('the book stays hidden until the counts are compared with it'),
			by: Text,
		}),
		z.strictObject({ id: Id }),
	),
	enterCount: command(
		'Enters what one person found of a product at one place; the newest entry of a place stands',
		z.strictObject({
			key: Key,
			takeId: Id,
			productId: Id,
			by: Text,
			place: z.string().trim().max(60).default(''),
			full: z.array(FullPacks).max(40).default([]),
			parts: z.array(Part).max(60).default([]),
		}),
		z.strictObject({ counted: z.number(), sigma: z.number(), unit: Unit }),
	),
	stockTake: query(
		'A stock take with every product: what was counted, by whom, and against the book',
		z.strictObject({
			takeId: Id.optional().describe('left out: the open one, else the newest'),
			storeId: Id.optional().describe('of this store; left out: of any'),
			compare: z.boolean().default(false).describe('shows the book of what was counted, in a blind take too'),
		}),
		z.strictObject({ take: StockTake.nullable(), lines: z.array(TakeLine) }),
	),
	stockTakes: query(
		'Stock takes so far, newest first',
		z.strictObject({}),
		z.array(StockTake.extend({ products: z.int(), leftOpen: z.int() })),
	),
	lookInto: query(
		'What may lie behind the difference of one product: movements, loads, products it may be mistaken for',
		z.strictObject({ takeId: Id, productId: Id }),
		z.strictObject({
			since: LocalDate.nullable(),
			movements: z.array(Movement),
			loads: z.array(
				z.strictObject({ jobId: Id, job: z.string(), load: z.int(), on: z.string(), amount: z.number(), unit: Unit }),
			),
			mistakenFor: z.array(
				z.strictObject({
					productId: Id,
					name: z.string(),
					unit: Unit,
					difference: z.number().nullable(),
					reasons: z.array(z.string()),
				}),
			),
		}),
	),
	settleDifference: command(
		'Accepts a difference with a reason, or leaves it open to look into; after approval accepting it posts it',
		z.strictObject({
			key: Key,
			takeId: Id,
			productId: Id,
			verdict: z.enum(['accepted', 'open']),
			why: Text,
			by: Text,
		}),
		z.strictObject({ posted: z.boolean() }),
	),
	approveStockTake: command(
		'Posts every difference but those left open, in one transaction, signed by name',
		z.strictObject({ key: Key, takeId: Id, by: Text }),
		z.strictObject({
			posted: z.array(z.strictObject({ productId: Id, difference: z.number() })),
			leftOpen: z.int(),
			notCounted: z.array(z.string()),
		}),
	),
	dropStockTake: command(
		'Ends a stock take without posting anything; what was entered stays readable',
		z.strictObject({ key: Key, takeId: Id, why: Text, by: Text }),
		z.strictObject({ id: Id }),
	),
};
