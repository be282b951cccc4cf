import { and, asc, desc, eq, getTableColumns, gt, gte, lte, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import { plainRows } from '../plain-rows.ts';
import { cleaning, fillLog, fillStep, incidentEntry, job, loadLog } from '../tables.ts';
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

/** What each incident comes to by its newest entry, of one job or one load if said; newest incident first. */
export async function newestIncidentEntries(
	db: ReadDb,
	of: {
		readonly jobId?: string | undefined;
		readonly load?: number | undefined;
		readonly from?: number | undefined;
		readonly to?: number | undefined;
	},
): Promise<IncidentStored[]> {
	const { incidentId, seq, happenedAt, jobId, loadNumber } = incidentEntry;
	const later = alias(incidentEntry, 'later');
	const asked = and(
		of.jobId === undefined ? undefined : eq(jobId, of.jobId),
		of.load === undefined ? undefined : eq(loadNumber, of.load),
		of.from === undefined ? undefined : gte(happenedAt, of.from),
		of.to === undefined ? undefined : lte(happenedAt, of.to),
		sql`NOT EXISTS (SELECT 1 FROM ${incidentEntry} AS ${sql.identifier('later')} WHERE ${later.incidentId} = ${incidentId} AND ${later.seq} > ${seq})`,
	);
	return plainRows<IncidentStored>(
		db,
		getTableColumns(incidentEntry),
		sql`FROM ${incidentEntry} WHERE ${asked} ORDER BY ${happenedAt} DESC, ${incidentId} DESC`,
	);
}

export async function addCleaning(tx: WriteDb, row: CleaningStored): Promise<void> {
	await tx.insert(cleaning).values(row);
}

export type CleanedWithin = {
	readonly sprayerId?: string | undefined;
	readonly from?: number | undefined;
	readonly to?: number | undefined;
};

/** A cleaning with the job it came after: its own, else that of the load its sprayer had begun last before it. */
export type CleaningAfter = CleaningStored & {
	readonly afterJobId: string | null;
	readonly afterJob: string | null;
	/** When that load was begun; null where the cleaning names its job itself. */
	readonly begunAt: number | null;
};

/** Cleanings, newest first. */
export async function listCleanings(db: ReadDb, of: CleanedWithin): Promise<CleaningAfter[]> {
	const later = alias(loadLog, 'later');
	const { id, jobId, startedAt, state } = loadLog;
	const begun = alias(loadLog, 'begun');
	const after = alias(job, 'after_job');
	const last = sql`SELECT ${id} FROM ${loadLog} JOIN ${job} ON ${job.id} = ${jobId}
		WHERE ${startedAt} <= ${cleaning.at} AND ${job.sprayerId} = ${cleaning.sprayerId} AND ${job.withdrawnWhy} IS NULL
			AND ${state} <> 'reversal'
			AND NOT EXISTS (SELECT 1 FROM ${loadLog} AS ${sql.identifier('later')} WHERE ${later.reverses} = ${id})
		ORDER BY ${startedAt} DESC LIMIT 1`;
	return plainRows<CleaningAfter>(
		db,
		{ ...getTableColumns(cleaning), afterJobId: after.id, afterJob: after.name, begunAt: begun.startedAt },
		sql`FROM ${cleaning} LEFT JOIN ${loadLog} AS ${sql.identifier('begun')}
			ON ${cleaning.jobId} IS NULL AND ${begun.id} = (${last})
			LEFT JOIN ${job} AS ${sql.identifier('after_job')} ON ${after.id} = coalesce(${cleaning.jobId}, ${begun.jobId})
			WHERE ${cleanedWithin(of)} ORDER BY ${cleaning.at} DESC, ${cleaning.id} DESC`,
	);
}

function cleanedWithin({ sprayerId, from, to }: CleanedWithin) {
	return and(
		sql`TRUE`,
		sprayerId === undefined ? undefined : eq(cleaning.sprayerId, sprayerId),
		from === undefined ? undefined : gte(cleaning.at, from),
		to === undefined ? undefined : lte(cleaning.at, to),
	);
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
