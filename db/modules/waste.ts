import { asc, desc, sql } from 'drizzle-orm';
import { containerRinse, emptiesCount, sealBag, wasteCollection, wasteCollectionLine } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type RinseStored = typeof containerRinse.$inferSelect;
export type CollectionStored = typeof wasteCollection.$inferSelect;
export type CollectionLineStored = typeof wasteCollectionLine.$inferSelect;

export async function addRinse(tx: WriteDb, row: RinseStored): Promise<void> {
	await tx.insert(containerRinse).values(row);
}

/** The newest word on how each load's containers were rinsed. */
export async function rinses(db: ReadDb): Promise<Map<string, RinseStored>> {
	const rows = await db.select().from(containerRinse).orderBy(asc(containerRinse.notedAt), asc(containerRinse.id));
	return new Map(rows.map((row) => [row.loadLogId, row]));
}

export async function addBag(tx: WriteDb, row: typeof sealBag.$inferSelect): Promise<void> {
	await tx.insert(sealBag).values(row);
}

/** Bags of caps and foils closed so far. */
export async function bagsClosed(db: ReadDb): Promise<number> {
	const [row] = await db.select({ many: sql<number>`count(*)` }).from(sealBag);
	return row?.many ?? 0;
}

/** When the newest bag was closed; null before the first. */
export async function lastBag(db: ReadDb): Promise<typeof sealBag.$inferSelect | null> {
	const [row] = await db.select().from(sealBag).orderBy(desc(sealBag.closedOn), desc(sealBag.postedAt)).limit(1);
	return row ?? null;
}

export async function addCollection(
	tx: WriteDb,
	row: CollectionStored,
	lines: readonly CollectionLineStored[],
): Promise<void> {
	await tx.insert(wasteCollection).values(row);
	for (const line of lines) await tx.insert(wasteCollectionLine).values(line);
}

/** Collections and what took them back, newest first. */
export async function listCollections(db: ReadDb): Promise<CollectionStored[]> {
	return db
		.select()
		.from(wasteCollection)
		.orderBy(desc(wasteCollection.collectedOn), desc(wasteCollection.postedAt), desc(wasteCollection.id));
}

export async function collectionLines(db: ReadDb): Promise<CollectionLineStored[]> {
	return db
		.select()
		.from(wasteCollectionLine)
		.orderBy(asc(wasteCollectionLine.collectionId), asc(wasteCollectionLine.position));
}

export type EmptiesCountStored = typeof emptiesCount.$inferSelect;

export async function addEmptiesCount(tx: WriteDb, row: EmptiesCountStored): Promise<void> {
	await tx.insert(emptiesCount).values(row);
}

/** Hand counts of empties, oldest posting first. */
export async function emptiesCounts(db: ReadDb): Promise<EmptiesCountStored[]> {
	return db.select().from(emptiesCount).orderBy(asc(emptiesCount.postedAt), asc(emptiesCount.id));
}
