import { asc, desc, eq, isNull } from 'drizzle-orm';
import { stockTake, stockTakeEnd, stockTakeEntry, stockTakeVerdict } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type TakeStored = typeof stockTake.$inferSelect;
export type TakeEntryStored = typeof stockTakeEntry.$inferSelect;
export type TakeVerdictStored = typeof stockTakeVerdict.$inferSelect;
export type TakeEndStored = typeof stockTakeEnd.$inferSelect;
export type Take = { readonly take: TakeStored; readonly end: TakeEndStored | null };

export async function addTake(tx: WriteDb, row: TakeStored): Promise<void> {
	await tx.insert(stockTake).values(row);
}

export async function addTakeEntry(tx: WriteDb, row: TakeEntryStored): Promise<void> {
	await tx.insert(stockTakeEntry).values(row);
}

export async function addVerdict(tx: WriteDb, row: TakeVerdictStored): Promise<void> {
	await tx.insert(stockTakeVerdict).values(row);
}

export async function endTake(tx: WriteDb, row: TakeEndStored): Promise<void> {
	await tx.insert(stockTakeEnd).values(row);
}

/** Stock takes, newest first, each with how it ended. */
export async function listTakes(db: ReadDb): Promise<Take[]> {
	return db
		.select({ take: stockTake, end: stockTakeEnd })
		.from(stockTake)
		.leftJoin(stockTakeEnd, eq(stockTakeEnd.takeId, stockTake.id))
		.orderBy(desc(stockTake.openedAt), desc(stockTake.id));
}

export async function findTake(db: ReadDb, id: string): Promise<Take | null> {
	const [row] = await db
		.select({ take: stockTake, end: stockTakeEnd })
		.from(stockTake)
		.leftJoin(stockTakeEnd, eq(stockTakeEnd.takeId, stockTake.id))
		.where(eq(stockTake.id, id));
	return row ?? null;
}

/** The stock take of a store that has not ended yet. */
export async function openTake(db: ReadDb, storeId: string | null): Promise<Take | null> {
	return (await listTakes(db)).find(({ take, end }) => end === null && take.storeId === storeId) ?? null;
}

/** Everything entered in a stock take, oldest first. */
export async function takeEntries(db: ReadDb, takeId: string): Promise<TakeEntryStored[]> {
	return db
		.select()
		.from(stockTakeEntry)
		.where(eq(stockTakeEntry.takeId, takeId))
		.orderBy(asc(stockTakeEntry.enteredAt), asc(stockTakeEntry.id));
}

/** The newest verdict on each product of a stock take. */
export async function takeVerdicts(db: ReadDb, takeId: string): Promise<Map<string, TakeVerdictStored>> {
	const rows = await db
		.select()
		.from(stockTakeVerdict)
		.where(eq(stockTakeVerdict.takeId, takeId))
		.orderBy(asc(stockTakeVerdict.saidAt), asc(stockTakeVerdict.id));
	return new Map(rows.map((row) => [row.productId, row]));
}

/** Where each product stood when it was last counted in a store: the order of its shelves. */
export async function lastPlaces(db: ReadDb, storeId: string | null): Promise<Map<string, string>> {
	const rows = await db
		.select({ productId: stockTakeEntry.productId, place: stockTakeEntry.place })
		.from(stockTakeEntry)
		.innerJoin(stockTake, eq(stockTake.id, stockTakeEntry.takeId))
		.where(storeId === null ? isNull(stockTake.storeId) : eq(stockTake.storeId, storeId))
		.orderBy(asc(stockTakeEntry.enteredAt), asc(stockTakeEntry.id));
	return new Map(rows.filter(({ place }) => place !== '').map(({ productId, place }) => [productId, place]));
}
