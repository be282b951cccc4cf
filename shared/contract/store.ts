import { z } from 'zod';
import { movementKinds } from '../core/store/movement-kinds.ts';
import { command, Id, Instant, Key, LocalDate, NotNegative, Positive, query, Text, Unit } from './procedure.ts';
import { InStore, StoreSaid } from './store-list.ts';

export const MovementKind = z.enum(movementKinds);

export const StockLine = z.strictObject({
	productId: Id,
	name: z.string(),
	formulation: z.string(),
	unit: Unit,
	amount: z.number(),
	packs: z.array(z.strictObject({ size: z.number(), count: z.int() })),
	opened: z.array(z.strictObject({ size: z.number(), left: z.number() })),
	containers: z
		.array(
			z.strictObject({
				containerId: Id,
				size: z.number(),
				left: z.number(),
				batch: z.string().nullable(),
				openedOn: LocalDate,
			}),
		)
		.describe('the opened ones, each as the thing it is'),
	lots: z.array(
		z.strictObject({
			lotId: Id,
			size: z.number(),
			batch: z.string().nullable(),
			expires: LocalDate.nullable(),
			count: z.int(),
		}),
	),
	batches: z
		.array(z.strictObject({ batch: z.string(), amount: z.number() }))
		.describe('what stands there of each batch, opened or not'),
	openDiscrepancy: z.number().describe('drawn beyond the book, until a stock take closes it'),
	onLoan: z.number().describe('lent to other farms; below zero: borrowed'),
	stores: z.array(InStore).describe('where it stands, store by store'),
	elsewhere: z.number().describe('in places that are no store on the books, as far as transfers say'),
	lastCountOn: LocalDate.nullable(),
});
export type StockLine = z.infer<typeof StockLine>;

export const Movement = z.strictObject({
	id: Id,
	seq: z.int(),
	productId: Id,
	product: z.string(),
	unit: Unit,
	kind: MovementKind,
	amount: z.number(),
	balance: z.number(),
	packSize: z.number().nullable(),
	batch: z.string().nullable(),
	storeId: Id,
	occurredAt: z.string(),
	postedAt: z.string(),
	who: z.string(),
	why: z.string().nullable(),
	document: z.string().nullable(),
	jobId: Id.nullable(),
	load: z.int().nullable(),
	reverses: Id.nullable(),
});
export type Movement = z.infer<typeof Movement>;

export const CountResult = z.strictObject({
	bookAmount: z.number(),
	difference: z.number(),
	unit: Unit,
	likelySize: z.number(),
});

export const storeContract = {
	receive: command(
		'Books a delivery of whole packs',
		z.strictObject({
			key: Key,
			productId: Id,
			storeId: StoreSaid,
			packSize: Positive,
			packs: z.int().positive().max(100_000),
			date: LocalDate.optional(),
			batch: z.string().trim().max(60).optional(),
			expires: LocalDate.optional(),
			note: z.string().trim().max(120).optional().describe('delivery note number'),
			price: NotNegative.optional().describe('for the whole line'),
			by: z.string().trim().max(100).optional(),
		}),
		z.strictObject({ movementIds: z.array(Id) }),
	),
	receiveDelivery: command(
		'Books all lines of a delivery note at once',
		z.strictObject({
			key: Key,
			storeId: StoreSaid,
			date: LocalDate.optional(),
			note: z.string().trim().max(120).optional().describe('delivery note number'),
			otherDelivery: z.boolean().default(false).describe('the note number is used before, but it is another delivery'),
			by: z.string().trim().max(100).optional(),
			lines: z
				.array(
					z.strictObject({
						productId: Id,
						packSize: Positive,
						packs: z.int().positive().max(100_000),
						batch: z.string().trim().max(60).optional(),
						expires: LocalDate.optional(),
						price: NotNegative.optional().describe('for the whole line'),
					}),
				)
				.min(1)
				.max(100),
		}),
		z.strictObject({ movementIds: z.array(Id) }),
	),
	onHand: query(
		'What the book says is in the store',
		z.strictObject({ storeId: Id.optional().describe('only this store; left out: all of them together') }),
		z.array(StockLine),
	),
	count: command(
		'Enters a stock take of one product and posts the difference',
		z.strictObject({
			key: Key,
			productId: Id,
			storeId: StoreSaid,
			counted: NotNegative,
			why: Text,
			by: Text,
			date: LocalDate.optional(),
			at: Instant.optional().describe('freeze time of the count; left out: the end of `date`, else now'),
		}),
		CountResult,
	),
	counts: query(
		'Stock takes entered so far, newest first',
		z.strictObject({ productId: Id.optional(), from: LocalDate.optional(), to: LocalDate.optional() }),
		z.array(
			z.strictObject({
				id: Id,
				productId: Id,
				product: z.string(),
				unit: Unit,
				storeId: Id,
				on: LocalDate,
				counted: z.number(),
				bookAmount: z.number(),
				difference: z.number(),
				likelySize: z.number(),
				why: z.string(),
				by: z.string(),
			}),
		),
	),
	movements: query(
		'The ledger, newest first',
		z.strictObject({
			productId: Id.optional(),
			storeId: Id.optional(),
			from: LocalDate.optional(),
			to: LocalDate.optional(),
			limit: z.int().positive().max(100_000).default(500),
		}),
		z.array(Movement),
	),
	post: command(
		'Books what leaves or enters the store otherwise: disposal, return, spill, transfer, loan',
		z.strictObject({
			key: Key,
			productId: Id,
			storeId: StoreSaid,
			kind: z.enum(['disposal', 'return', 'spill', 'transfer', 'loan']),
			amount: z
				.number()
				.refine((amount) => amount !== 0, 'must not be zero')
				.describe('positive leaves the store, negative comes back'),
			date: LocalDate.optional(),
			why: Text,
			by: Text,
			document: z.string().trim().max(120).optional(),
		}),
		z.strictObject({ movementIds: z.array(Id) }),
	),
	reverse: command(
		'Reverses a delivery or other posting; a load is reversed through its job',
		z.strictObject({ key: Key, movementId: Id, why: Text, by: Text }),
		z.strictObject({ movementIds: z.array(Id) }),
	),
};
