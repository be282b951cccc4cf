import { count, desc, eq, sql } from 'drizzle-orm';
import { listed } from '../plain-rows.ts';
import { job, jobRecommendation, recommendation, recommendationWithdrawal } from '../tables.ts';
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

/** A recommendation with one job of a period that was planned from it; without one where it was only given then. */
export type RecommendationFollowed = Pick<
	RecommendationStored,
	'adviser' | 'certificateNo' | 'reference' | 'givenOn' | 'validUntil' | 'details'
> & {
	readonly withdrawnWhy: string | null;
	readonly jobId: string | null;
	readonly job: string | null;
	readonly sprayDate: string | null;
	readonly deviations: string | null;
};

/** The recommendations given or followed in a period, in the order they were given. */
export async function recommendationsOfPeriod(
	db: ReadDb,
	{ from, to }: { readonly from: string; readonly to: string },
): Promise<RecommendationFollowed[]> {
	const { id, adviser, certificateNo, reference, givenOn, validUntil, details } = recommendation;
	const { recommendationId, jobId, deviations } = jobRecommendation;
	const within = sql`${job.withdrawnWhy} IS NULL AND ${job.sprayDate} BETWEEN ${from} AND ${to}`;
	const said = sql`${id} AS id, ${adviser} AS adviser, ${certificateNo} AS certificateNo, ${reference} AS reference,
		${givenOn} AS givenOn, ${validUntil} AS validUntil, ${details} AS details, ${recommendationWithdrawal.why} AS withdrawnWhy`;
	const withdrawn = sql`LEFT JOIN ${recommendationWithdrawal} ON ${recommendationWithdrawal.recommendationId} = ${id}`;
	return db.all<RecommendationFollowed>(sql`
		SELECT ${said}, ${jobId} AS jobId, ${job.name} AS job, ${job.sprayDate} AS sprayDate, ${deviations} AS deviations
		FROM ${job} JOIN ${jobRecommendation} ON ${jobId} = ${job.id} JOIN ${recommendation} ON ${id} = ${recommendationId} ${withdrawn}
		WHERE ${within}
		UNION ALL SELECT ${said}, NULL, NULL, NULL, NULL FROM ${recommendation} ${withdrawn}
		WHERE ${givenOn} BETWEEN ${from} AND ${to} AND NOT EXISTS (SELECT 1 FROM ${jobRecommendation}
			JOIN ${job} ON ${job.id} = ${jobId} WHERE ${recommendationId} = ${id} AND ${within})
		ORDER BY givenOn, id, sprayDate, job`);
}

export async function recommendationOfJob(db: ReadDb, jobId: string): Promise<JobRecommendationStored | null> {
	const [row] = await db.select().from(jobRecommendation).where(eq(jobRecommendation.jobId, jobId));
	return row ?? null;
}

export type JobAdvice = RecommendationWithEnd & {
	/** Where the plan departed when it was made, as JSON. */
	readonly deviations: string;
};

/** What the jobs were planned from, by job. */
export async function recommendationsOfJobs(db: ReadDb, jobIds: Iterable<string>): Promise<Map<string, JobAdvice>> {
	const { jobId, deviations, recommendationId } = jobRecommendation;
	const rows = await db
		.select({ jobId, row: recommendation, withdrawal: recommendationWithdrawal, deviations })
		.from(jobRecommendation)
		.innerJoin(recommendation, eq(recommendation.id, recommendationId))
		.leftJoin(recommendationWithdrawal, eq(recommendationWithdrawal.recommendationId, recommendationId))
		.where(sql`${jobId} IN ${listed(jobIds)}`);
	return new Map(rows.map(({ jobId: id, ...advice }) => [id, advice]));
}
