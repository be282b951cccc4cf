import { asc, eq } from 'drizzle-orm';
import { store } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type StoreStored = typeof store.$inferSelect;

/** Stores that were entered, oldest first. The first has the id of its farm, and need not be there yet. */
export async function storedStores(db: ReadDb): Promise<StoreStored[]> {
	return db.select().from(store).orderBy(asc(store.id));
}

export async function saveStore(tx: WriteDb, row: StoreStored, isNew: boolean): Promise<void> {
	if (isNew) await tx.insert(store).values(row);
	else await tx.update(store).set(row).where(eq(store.id, row.id));
}
