import { and, asc, eq } from 'drizzle-orm';
import { field, job, seedSowing } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type SowingStored = typeof seedSowing.$inferSelect;

export async function addSowing(tx: WriteDb, row: SowingStored): Promise<void> {
	await tx.insert(seedSowing).values(row);
}

/** Sowings that stand, oldest first: neither taken back nor the mirror that took one back. */
export async function listSowings(
	db: ReadDb,
	{ jobId, fieldId }: { readonly jobId?: string; readonly fieldId?: string } = {},
): Promise<(SowingStored & { readonly field: string })[]> {
	const rows = await db
		.select({ sowing: seedSowing, field: field.name })
		.from(seedSowing)
		.innerJoin(field, eq(seedSowing.fieldId, field.id))
		.innerJoin(job, eq(seedSowing.jobId, job.id))
		.where(
			and(
				jobId === undefined ? undefined : eq(seedSowing.jobId, jobId),
				fieldId === undefined ? undefined : eq(seedSowing.fieldId, fieldId),
			),
		)
		.orderBy(asc(seedSowing.sownOn), asc(seedSowing.postedAt), asc(seedSowing.id));
	const takenBack = new Set(rows.map(({ sowing }) => sowing.reverses));
	return rows
		.filter(({ sowing }) => sowing.reverses === null && !takenBack.has(sowing.id))
		.map(({ sowing, field }) => ({ ...sowing, field }));
}
