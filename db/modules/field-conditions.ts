import { and, asc, eq, isNull, sql } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import { insertRows } from '../insert-rows.ts';
import { listed } from '../plain-rows.ts';
import { fieldCondition } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type FieldConditionStored = typeof fieldCondition.$inferSelect;

/** The answers in force, of some fields or of all, in the order they were given. */
export async function listFieldConditions(db: ReadDb, fieldIds?: readonly string[]): Promise<FieldConditionStored[]> {
	return db
		.select()
		.from(fieldCondition)
		.where(and(isNull(fieldCondition.endedAt), fieldIds && sql`${fieldCondition.fieldId} IN ${listed(fieldIds)}`))
		.orderBy(asc(fieldCondition.createdAt), asc(fieldCondition.id));
}

export async function addFieldConditions(tx: WriteDb, rows: readonly FieldConditionStored[]): Promise<void> {
	await insertRows(tx, fieldCondition, rows);
}

export async function endFieldCondition(tx: WriteDb, id: string, now: number): Promise<void> {
	const done = await tx.update(fieldCondition).set({ endedAt: now }).where(eq(fieldCondition.id, id));
	invariant(done.changes === 1, 'the answer ended once');
}
