import { count, desc, eq } from 'drizzle-orm';
import { jobRecommendation, recommendation, recommendationWithdrawal } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type RecommendationStored = typeof recommendation.$inferSelect;
export type WithdrawalStored = typeof recommendationWithdrawal.$inferSelect;
export type JobRecommendationStored = typeof jobRecommendation.$inferSelect;

export type RecommendationWithEnd = {
	readonly row: RecommendationStored;
	readonly withdrawal: WithdrawalStored | null;
};

export async function addRecommendation(tx: WriteDb, row: RecommendationStored): Promise<void> {
	await tx.insert(recommendation).values(row);
}

export async function addWithdrawal(tx: WriteDb, row: WithdrawalStored): Promise<void> {
	await tx.insert(recommendationWithdrawal).values(row);
}

export async function addJobRecommendation(tx: WriteDb, row: JobRecommendationStored): Promise<void> {
	await tx.insert(jobRecommendation).values(row);
}

/** Every recommendation, the one given last first. */
export async function listRecommendations(db: ReadDb): Promise<RecommendationWithEnd[]> {
	return db
		.select({ row: recommendation, withdrawal: recommendationWithdrawal })
		.from(recommendation)
		.leftJoin(recommendationWithdrawal, eq(recommendationWithdrawal.recommendationId, recommendation.id))
		.orderBy(desc(recommendation.givenOn), desc(recommendation.id));
}

export async function findRecommendation(db: ReadDb, id: string): Promise<RecommendationWithEnd | null> {
	const [found] = await db
		.select({ row: recommendation, withdrawal: recommendationWithdrawal })
		.from(recommendation)
		.leftJoin(recommendationWithdrawal, eq(recommendationWithdrawal.recommendationId, recommendation.id))
		.where(eq(recommendation.id, id));
	return found ?? null;
}

/** How many jobs were planned from each. */
export async function jobsFrom(db: ReadDb): Promise<Map<string, number>> {
	const rows = await db
		.select({ id: jobRecommendation.recommendationId, jobs: count() })
		.from(jobRecommendation)
		.groupBy(jobRecommendation.recommendationId);
	return new Map(rows.map(({ id, jobs }) => [id, jobs]));
}

/** What jobs were planned from, by job. */
export async function jobRecommendations(db: ReadDb): Promise<Map<string, JobRecommendationStored>> {
	return new Map((await db.select().from(jobRecommendation)).map((row) => [row.jobId, row]));
}

export async function recommendationOfJob(db: ReadDb, jobId: string): Promise<JobRecommendationStored | null> {
	const [row] = await db.select().from(jobRecommendation).where(eq(jobRecommendation.jobId, jobId));
	return row ?? null;
}
