import { and, asc, eq, isNull } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import { closedSpace, job, jobSpace } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type SpaceStored = typeof closedSpace.$inferSelect;
export type JobSpaceStored = typeof jobSpace.$inferSelect;

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

/** Puts the closed spaces of a job in the place of those it had, in their order. */
export async function setSpacesOfJob(tx: WriteDb, jobId: string, rows: readonly JobSpaceStored[]): Promise<void> {
	await tx.delete(jobSpace).where(eq(jobSpace.jobId, jobId));
	for (const row of rows) await tx.insert(jobSpace).values(row);
}

/** The closed spaces of every job that treats some: by job, and there by the name its records have. */
export async function jobsIndoors(db: ReadDb): Promise<Map<string, Map<string, { id: string; name: string }>>> {
	const rows = await db
		.select({ jobId: jobSpace.jobId, recorded: jobSpace.name, id: closedSpace.id, name: closedSpace.name })
		.from(jobSpace)
		.innerJoin(closedSpace, eq(jobSpace.spaceId, closedSpace.id));
	const byJob = Map.groupBy(rows, ({ jobId }) => jobId);
	return new Map(
		[...byJob].map(([jobId, spaces]) => [
			jobId,
			new Map(spaces.map(({ recorded, id, name }) => [recorded, { id, name }])),
		]),
	);
}

/** Jobs in one closed space that were not withdrawn. */
export async function jobsInSpace(db: ReadDb, spaceId: string) {
	const rows = await db
		.select({ job })
		.from(job)
		.innerJoin(jobSpace, eq(jobSpace.jobId, job.id))
		.where(and(eq(jobSpace.spaceId, spaceId), isNull(job.withdrawnWhy)));
	return rows.map((row) => row.job);
}
