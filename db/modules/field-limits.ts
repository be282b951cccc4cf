import { and, asc, eq, isNull, sql } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import { insertRows } from '../insert-rows.ts';
import { listed } from '../plain-rows.ts';
import { fieldLimit } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type FieldLimitStored = typeof fieldLimit.$inferSelect;

/** The limits in force, of some fields or of all, in the order they were set. */
export async function listFieldLimits(db: ReadDb, fieldIds?: readonly string[]): Promise<FieldLimitStored[]> {
	return db
		.select()
		.from(fieldLimit)
		.where(and(isNull(fieldLimit.endedAt), fieldIds && sql`${fieldLimit.fieldId} IN ${listed(fieldIds)}`))
		.orderBy(asc(fieldLimit.createdAt), asc(fieldLimit.id));
}

export async function addFieldLimits(tx: WriteDb, rows: readonly FieldLimitStored[]): Promise<void> {
	await insertRows(tx, fieldLimit, rows);
}

export async function endFieldLimit(tx: WriteDb, id: string, now: number): Promise<void> {
	const done = await tx.update(fieldLimit).set({ endedAt: now }).where(eq(fieldLimit.id, id));
	invariant(done.changes === 1, 'the limit ended once');
}
