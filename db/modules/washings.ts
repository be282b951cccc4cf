import { and, asc, eq, gte, lte } from 'drizzle-orm';
import { washings } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type WashingsStored = typeof washings.$inferSelect;

export async function addWashings(tx: WriteDb, row: WashingsStored): Promise<void> {
	await tx.insert(washings).values(row);
}

/** Washings, oldest first; what took one back is a row of its own. */
export async function listWashings(
	db: ReadDb,
	filter: { readonly jobId?: string; readonly from?: number; readonly to?: number } = {},
): Promise<WashingsStored[]> {
	const { jobId, startedAt, postedAt, id } = washings;
	return db
		.select()
		.from(washings)
		.where(
			and(
				filter.jobId === undefined ? undefined : eq(jobId, filter.jobId),
				filter.from === undefined ? undefined : gte(startedAt, filter.from),
				filter.to === undefined ? undefined : lte(startedAt, filter.to),
			),
		)
		.orderBy(asc(startedAt), asc(postedAt), asc(id));
}

/** Those that stand: neither taken back nor the mirror that took one back. */
export function standingWashings(rows: readonly WashingsStored[]): WashingsStored[] {
	const takenBack = new Set(rows.map(({ reverses }) => reverses));
	return rows.filter(({ id, reverses }) => reverses === null && !takenBack.has(id));
}
