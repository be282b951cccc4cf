import { z } from 'zod';
import { command, Id, Key, LocalDate, Nothing, Positive, query, Text, Unit } from './procedure.ts';

export const WasteKindName = z.enum([
	'rinsed containers',
	'unrinsed containers',
	'caps and foils',
	'absorbents and clothing',
	'product',
]);
export const RinseWay = z.enum(['by hand three times', 'pressure', 'integrated', 'not rinsed']);
export type RinseWay = z.infer<typeof RinseWay>;

const Line = z.strictObject({
	kind: WasteKindName,
	size: Positive.optional().describe('containers: their size'),
	unit: Unit.optional().describe('containers: the unit of the size'),
	productId: Id.optional().describe('containers: whose they were, where that was noted'),
	pieces: z.int().positive().max(100_000).describe('containers or bags; kg for absorbents and product'),
});

const Account = z.strictObject({
	productId: Id,
	product: z.string(),
	size: z.number(),
	unit: Unit,
	delivered: z.int(),
	found: z.int(),
	full: z.int(),
	opened: z.int(),
	emptied: z.int(),
	notRinsed: z.int().describe('of those waiting, not rinsed as far as was noted'),
	waiting: z.int().describe('emptied and not collected under this product'),
	collected: z.int().describe('collected under this product'),
	passedOn: z.int(),
	missed: z.int(),
	missing: z.int(),
});
export type ContainerAccount = z.infer<typeof Account>;

export const Collection = z.strictObject({
	id: Id,
	on: LocalDate,
	carrier: z.string(),
	registrationNo: z.string(),
	noteNo: z.string(),
	keepUntil: LocalDate,
	by: z.string(),
	takenBack: z.string().nullable().describe('why it was taken back'),
	lines: z.array(
		z.strictObject({
			kind: WasteKindName,
			code: z.string(),
			hazardous: z.boolean(),
			size: z.number().nullable(),
			unit: Unit.nullable(),
			productId: Id.nullable(),
			product: z.string().nullable().describe('null: told by size only'),
			pieces: z.int(),
		}),
	),
});
export type Collection = z.infer<typeof Collection>;

export const Empties = z.strictObject({
	sizes: z
		.array(
			z.strictObject({
				size: z.number(),
				unit: Unit,
				delivered: z.int(),
				found: z.int(),
				full: z.int(),
				opened: z.int(),
				emptied: z.int(),
				notRinsed: z.int().describe('of those waiting, not rinsed as far as was noted'),
				waiting: z.int(),
				collected: z.int(),
				passedOn: z.int(),
				missing: z.int().describe('gone without a note; below zero: more than ever came in'),
				notTold: z
					.strictObject({ waiting: z.int(), collected: z.int(), missing: z.int() })
					.describe('not told by product: collections and hand counts by size only; products + this = the size'),
				counted: z
					.strictObject({ on: LocalDate, pieces: z.int(), book: z.int(), by: z.string() })
					.nullable()
					.describe('the newest hand count of the empties, beside what the book said then'),
			}),
		)
		.describe('delivered + found = full + opened + waiting + collected + passed on + missing'),
	products: z.array(Account).describe('the same account for each product and size'),
	loads: z.array(
		z.strictObject({
			loadLogId: Id,
			jobId: Id,
			job: z.string(),
			load: z.int(),
			on: z.string(),
			containers: z.array(z.strictObject({ size: z.number(), unit: Unit, pieces: z.int() })),
			rinsed: RinseWay.nullable(),
			rinsedBy: z.string().nullable(),
		}),
	),
	bags: z.strictObject({
		closed: z.int(),
		collected: z.int(),
		waiting: z.int(),
		since: LocalDate.nullable().describe('the newest bag was closed then'),
		loose: z
			.strictObject({
				caps: z.int(),
				foils: z.int(),
				notEntered: z.int().describe('containers whose closure is not on the books'),
			})
			.describe('of containers emptied after that day'),
	}),
	collections: z.array(Collection),
});
export type Empties = z.infer<typeof Empties>;

export const wasteContract = {
	empties: query('What became of every container, and what waits for the waste contractor', Nothing, Empties),
	countEmpties: command(
		'Enters how many empty containers really wait; the account goes on from there and keeps the gap as missing',
		z.strictObject({
			key: Key,
			date: LocalDate.optional(),
			lines: z
				.array(z.strictObject({ size: Positive, unit: Unit, pieces: z.int().nonnegative().max(100_000) }))
				.min(1)
				.max(60),
			why: z.string().trim().max(200).optional(),
			by: Text,
		}),
		z.strictObject({
			lines: z.array(z.strictObject({ size: z.number(), unit: Unit, pieces: z.int(), book: z.int() })),
		}),
	),
	noteRinse: command(
		'Notes how the containers of some logged loads were rinsed',
		z.strictObject({ key: Key, loadLogIds: z.array(Id).min(1).max(2000), how: RinseWay, by: Text }),
		z.strictObject({ noted: z.int() }),
	),
	closeBag: command(
		'Books a closed double bag of caps and foils',
		z.strictObject({ key: Key, date: LocalDate.optional(), by: Text }),
		z.strictObject({ id: Id }),
	),
	collect: command(
		'Books what a licensed contractor collected, and says how long its note is kept',
		z.strictObject({
			key: Key,
			date: LocalDate.optional(),
			carrier: Text,
			registrationNo: z.string().trim().min(1).max(60),
			noteNo: z.string().trim().min(1).max(60),
			lines: z.array(Line).min(1).max(60),
			allowMore: z.boolean().default(false).describe('more were there than the book has'),
			by: Text,
		}),
		z.strictObject({ id: Id, keepUntil: LocalDate }),
	),
	takeBack: command(
		'Takes back a collection that was entered wrongly',
		z.strictObject({ key: Key, collectionId: Id, why: Text, by: Text }),
		z.strictObject({ id: Id }),
	),
};
