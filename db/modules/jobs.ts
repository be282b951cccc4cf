import { and, asc, desc, eq, getTableColumns, isNull, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import { invariant } from '../../shared/basics/result.ts';
import { listed, plainRows } from '../plain-rows.ts';
import { field, job, jobField, jobProduct, loadLog, product, sprayer } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type JobStored = typeof job.$inferSelect;
export type JobFieldStored = typeof jobField.$inferSelect;
export type JobProductStored = typeof jobProduct.$inferSelect;
export type LoadLogStored = typeof loadLog.$inferSelect;

export async function addJob(
	tx: WriteDb,
	row: JobStored,
	fields: readonly JobFieldStored[],
	products: readonly JobProductStored[],
): Promise<void> {
	await tx.insert(job).values(row);
	for (const line of fields) await tx.insert(jobField).values(line);
	for (const line of products) await tx.insert(jobProduct).values(line);
}

/** Saves a job against the version it was read at. */
export async function saveJob(tx: WriteDb, row: JobStored): Promise<void> {
	const { id, version, ...rest } = row;
	const done = await tx
		.update(job)
		.set({ ...rest, version: version + 1 })
		.where(and(eq(job.id, id), eq(job.version, version)));
	invariant(done.changes === 1, 'the job was saved once');
}

/** Puts other ground and, where given, other products in the place of those a job was planned with. */
export async function replaceLines(
	tx: WriteDb,
	jobId: string,
	fields: readonly JobFieldStored[],
	products?: readonly JobProductStored[],
): Promise<void> {
	await tx.delete(jobField).where(eq(jobField.jobId, jobId));
	for (const line of fields) await tx.insert(jobField).values(line);
	if (!products) return;
	await tx.delete(jobProduct).where(eq(jobProduct.jobId, jobId));
	for (const line of products) await tx.insert(jobProduct).values(line);
}

export async function findJob(db: ReadDb, id: string) {
	const [row] = await db
		.select({ job, sprayer: sprayer.name })
		.from(job)
		.innerJoin(sprayer, eq(job.sprayerId, sprayer.id))
		.where(eq(job.id, id));
	return row ?? null;
}

export async function findJobByCode(db: ReadDb, code: string): Promise<string | null> {
	const [row] = await db.select({ id: job.id }).from(job).where(eq(job.code, code));
	return row?.id ?? null;
}

/** Jobs that were not withdrawn, newest first. */
export async function listJobs(db: ReadDb) {
	return db
		.select({ job, sprayer: sprayer.name })
		.from(job)
		.innerJoin(sprayer, eq(job.sprayerId, sprayer.id))
		.where(isNull(job.withdrawnWhy))
		.orderBy(desc(job.sprayDate), desc(job.id));
}

/** Some jobs, by id. */
export async function jobsById(db: ReadDb, ids: Iterable<string>) {
	const columns = { ...getTableColumns(job), sprayer: sprayer.name };
	const rows = await plainRows<JobStored & { readonly sprayer: string }>(
		db,
		columns,
		sql`FROM ${job} JOIN ${sprayer} ON ${sprayer.id} = ${job.sprayerId} WHERE ${job.id} IN ${listed(ids)}`,
	);
	return new Map(rows.map((row) => [row.id, row]));
}

/** The names of some jobs. */
export async function namesOfJobs(db: ReadDb, ids: Iterable<string>): Promise<Map<string, string>> {
	const { id, name } = job;
	const rows = await plainRows<{ readonly id: string; readonly name: string }>(
		db,
		{ id, name },
		sql`FROM ${job} WHERE ${id} IN ${listed(ids)}`,
	);
	return new Map(rows.map((row) => [row.id, row.name]));
}

/** Fields of some jobs, in the order they are sprayed. */
export async function jobFields(db: ReadDb, jobIds: readonly string[]) {
	return db
		.select({ line: jobField, name: field.name, mappedM2: field.mappedM2, boundaryId: field.boundaryId })
		.from(jobField)
		.innerJoin(field, eq(jobField.fieldId, field.id))
		.where(sql`${jobField.jobId} IN ${listed(jobIds)}`)
		.orderBy(asc(jobField.jobId), asc(jobField.position));
}

/** Products of some jobs, in the order they were planned. */
export async function jobProducts(db: ReadDb, jobIds: readonly string[]) {
	return db
		.select({ line: jobProduct, name: product.name, formulation: product.formulation, unit: product.unit })
		.from(jobProduct)
		.innerJoin(product, eq(jobProduct.productId, product.id))
		.where(sql`${jobProduct.jobId} IN ${listed(jobIds)}`)
		.orderBy(asc(jobProduct.jobId), asc(jobProduct.position));
}

/** The names of the products of some jobs, by job, in the order they were planned. */
export async function productNamesOfJobs(db: ReadDb, jobIds: Iterable<string>): Promise<Map<string, string[]>> {
	const { jobId, productId, position } = jobProduct;
	const rows = await plainRows<{ readonly jobId: string; readonly name: string }>(
		db,
		{ jobId, name: product.name },
		sql`FROM ${jobProduct} JOIN ${product} ON ${product.id} = ${productId} WHERE ${jobId} IN ${listed(jobIds)} ORDER BY ${jobId}, ${position}`,
	);
	const names = new Map<string, string[]>();
	for (const row of rows) {
		const known = names.get(row.jobId);
		if (known) known.push(row.name);
		else names.set(row.jobId, [row.name]);
	}
	return names;
}

export async function addLoadLog(tx: WriteDb, row: LoadLogStored): Promise<void> {
	await tx.insert(loadLog).values(row);
}

/** Logs of some jobs, oldest first; reversals are rows of their own. */
export async function loadLogs(db: ReadDb, jobIds?: readonly string[]): Promise<LoadLogStored[]> {
	return db
		.select()
		.from(loadLog)
		.where(jobIds ? sql`${loadLog.jobId} IN ${listed(jobIds)}` : undefined)
		.orderBy(
			asc(loadLog.jobId),
			asc(loadLog.loadNumber),
			asc(loadLog.startedAt),
			asc(loadLog.postedAt),
			asc(loadLog.id),
		);
}

/** Logs of a time that stand. */
export async function standingLogs(db: ReadDb, { from, to }: { from: number; to: number }): Promise<LoadLogStored[]> {
	const later = alias(loadLog, 'later');
	const { jobId, loadNumber, startedAt, postedAt, id, state } = loadLog;
	return plainRows<LoadLogStored>(
		db,
		getTableColumns(loadLog),
		sql`FROM ${loadLog} WHERE ${startedAt} BETWEEN ${from} AND ${to} AND ${state} <> 'reversal' AND NOT EXISTS (SELECT 1 FROM ${loadLog} AS ${sql.identifier('later')} WHERE ${later.reverses} = ${id}) ORDER BY ${jobId}, ${loadNumber}, ${startedAt}, ${postedAt}, ${id}`,
	);
}

/** Logs that stand: neither reversals nor reversed. */
export function standing(logs: readonly LoadLogStored[]): LoadLogStored[] {
	const reversed = new Set(logs.map((log) => log.reverses));
	return logs.filter((log) => log.state !== 'reversal' && !reversed.has(log.id));
}
