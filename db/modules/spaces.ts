import { and, asc, eq, isNull } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import { closedSpace, job } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type SpaceStored = typeof closedSpace.$inferSelect;

export async function addSpace(tx: WriteDb, row: SpaceStored): Promise<void> {
	await tx.insert(closedSpace).values(row);
}

/** Saves a closed space against the version it was read at. */
export async function saveSpace(tx: WriteDb, row: SpaceStored): Promise<void> {
	const { id, version, ...rest } = row;
	const done = await tx
		.update(closedSpace)
		.set({ ...rest, version: version + 1 })
		.where(and(eq(closedSpace.id, id), eq(closedSpace.version, version)));
	invariant(done.changes === 1, 'the closed space was saved once');
}

/** Closed spaces that were not removed, by name. */
export async function listSpaces(db: ReadDb): Promise<SpaceStored[]> {
	return db.select().from(closedSpace).where(isNull(closedSpace.removedAt)).orderBy(asc(closedSpace.name));
}

export async function findSpace(db: ReadDb, id: string): Promise<SpaceStored | null> {
	const [row] = await db.select().from(closedSpace).where(eq(closedSpace.id, id));
	return row ?? null;
}

/** The closed space of every job that treats one, by job. */
export async function jobsIndoors(db: ReadDb) {
	const rows = await db
		.select({ jobId: job.id, id: closedSpace.id, name: closedSpace.name })
		.from(job)
		.innerJoin(closedSpace, eq(job.spaceId, closedSpace.id));
	return new Map(rows.map(({ jobId, ...space }) => [jobId, space]));
}

/** Jobs in one closed space that were not withdrawn. */
export async function jobsInSpace(db: ReadDb, spaceId: string) {
	return db
		.select()
		.from(job)
		.where(and(eq(job.spaceId, spaceId), isNull(job.withdrawnWhy)));
}
