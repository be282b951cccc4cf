import { and, asc, eq, isNull } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import { operator } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type OperatorStored = typeof operator.$inferSelect;

/** Who sprays, by name. */
export async function listOperators(db: ReadDb): Promise<OperatorStored[]> {
	return db.select().from(operator).where(isNull(operator.removedAt)).orderBy(asc(operator.name), asc(operator.id));
}

/** The operator of that name, whatever its case. */
export async function operatorNamed(db: ReadDb, name: string): Promise<OperatorStored | null> {
	const wanted = name.trim().toLowerCase();
	return (await listOperators(db)).find((each) => each.name.toLowerCase() === wanted) ?? null;
}

export async function addOperator(tx: WriteDb, row: OperatorStored): Promise<void> {
	await tx.insert(operator).values(row);
}

/** Saves an operator against the version it was read at. */
export async function saveOperator(tx: WriteDb, row: OperatorStored): Promise<void> {
	const { id, version, ...rest } = row;
	const done = await tx
		.update(operator)
		.set({ ...rest, version: version + 1 })
		.where(and(eq(operator.id, id), eq(operator.version, version)));
	invariant(done.changes === 1, 'the operator was saved once');
}
