import { and, asc, desc, eq, gt, gte, lte } from 'drizzle-orm';
import { cleaning, fillLog, fillStep, incidentEntry } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type FillStepStored = typeof fillStep.$inferSelect;
export type FillLogStored = typeof fillLog.$inferSelect;
export type IncidentStored = typeof incidentEntry.$inferSelect;
export type CleaningStored = typeof cleaning.$inferSelect;

/** Steps of a load in the order they were noted, from after `afterSeq` on. */
export async function fillSteps(db: ReadDb, jobId: string, load: number, afterSeq = 0): Promise<FillStepStored[]> {
	return db
		.select()
		.from(fillStep)
		.where(and(eq(fillStep.jobId, jobId), eq(fillStep.loadNumber, load), gt(fillStep.seq, afterSeq)))
		.orderBy(asc(fillStep.seq));
}

/** Adds a step with the next number of its load. */
export async function addFillStep(tx: WriteDb, row: Omit<FillStepStored, 'seq'>): Promise<void> {
	const [last] = await tx
		.select({ seq: fillStep.seq })
		.from(fillStep)
		.where(and(eq(fillStep.jobId, row.jobId), eq(fillStep.loadNumber, row.loadNumber)))
		.orderBy(desc(fillStep.seq))
		.limit(1);
	await tx.insert(fillStep).values({ ...row, seq: (last?.seq ?? 0) + 1 });
}

/** The fill of a load that was logged last. */
export async function lastFill(db: ReadDb, jobId: string, load: number): Promise<FillLogStored | null> {
	const [row] = await db
		.select()
		.from(fillLog)
		.where(and(eq(fillLog.jobId, jobId), eq(fillLog.loadNumber, load)))
		.orderBy(desc(fillLog.lastSeq))
		.limit(1);
	return row ?? null;
}

export async function addFill(tx: WriteDb, row: FillLogStored): Promise<void> {
	await tx.insert(fillLog).values(row);
}

/** Fills of a sprayer, newest first, at most so many. */
export async function fillsOfSprayer(db: ReadDb, sprayerId: string, most: number): Promise<FillLogStored[]> {
	return db
		.select()
		.from(fillLog)
		.where(eq(fillLog.sprayerId, sprayerId))
		.orderBy(desc(fillLog.startedAt), desc(fillLog.id))
		.limit(most);
}

export async function addIncidentEntry(tx: WriteDb, row: IncidentStored): Promise<void> {
	await tx.insert(incidentEntry).values(row);
}

/** Entries of one incident, oldest first. */
export async function incidentEntries(db: ReadDb, incidentId: string): Promise<IncidentStored[]> {
	return db
		.select()
		.from(incidentEntry)
		.where(eq(incidentEntry.incidentId, incidentId))
		.orderBy(asc(incidentEntry.seq));
}

/** All entries, of one job or one load if said, incident by incident, newest incident first. */
export async function listIncidentEntries(
	db: ReadDb,
	of: {
		readonly jobId?: string | undefined;
		readonly load?: number | undefined;
		readonly from?: number | undefined;
		readonly to?: number | undefined;
	},
): Promise<IncidentStored[]> {
	return db
		.select()
		.from(incidentEntry)
		.where(
			and(
				of.jobId === undefined ? undefined : eq(incidentEntry.jobId, of.jobId),
				of.load === undefined ? undefined : eq(incidentEntry.loadNumber, of.load),
				of.from === undefined ? undefined : gte(incidentEntry.happenedAt, of.from),
				of.to === undefined ? undefined : lte(incidentEntry.happenedAt, of.to),
			),
		)
		.orderBy(desc(incidentEntry.happenedAt), desc(incidentEntry.incidentId), asc(incidentEntry.seq));
}

export async function addCleaning(tx: WriteDb, row: CleaningStored): Promise<void> {
	await tx.insert(cleaning).values(row);
}

/** Cleanings, newest first. */
export async function listCleanings(
	db: ReadDb,
	of: {
		readonly sprayerId?: string | undefined;
		readonly from?: number | undefined;
		readonly to?: number | undefined;
	},
): Promise<CleaningStored[]> {
	return db
		.select()
		.from(cleaning)
		.where(
			and(
				of.sprayerId === undefined ? undefined : eq(cleaning.sprayerId, of.sprayerId),
				of.from === undefined ? undefined : gte(cleaning.at, of.from),
				of.to === undefined ? undefined : lte(cleaning.at, of.to),
			),
		)
		.orderBy(desc(cleaning.at), desc(cleaning.id));
}

/** The last time a sprayer was rinsed out. */
export async function lastRinsedOut(db: ReadDb, sprayerId: string): Promise<CleaningStored | null> {
	const [row] = await db
		.select()
		.from(cleaning)
		.where(and(eq(cleaning.sprayerId, sprayerId), eq(cleaning.kind, 'sprayer rinsed out')))
		.orderBy(desc(cleaning.at), desc(cleaning.id))
		.limit(1);
	return row ?? null;
}
