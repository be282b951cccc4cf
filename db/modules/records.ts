import { and, asc, desc, eq, gt, gte, inArray, lte, notExists, type SQL, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import { type ChainName, chainHead, checkLinks, link } from '../chain.ts';
import { audit, jobProduct, movement, sprayRecord } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type RecordStored = typeof sprayRecord.$inferSelect;
export type NewRecord = Omit<RecordStored, 'seq' | 'hash'>;

/** Appends record versions, numbered and linked. */
export async function addRecords(tx: WriteDb, rows: readonly NewRecord[]): Promise<RecordStored[]> {
	const linked = await link(tx, 'records', rows);
	for (const row of linked) await tx.insert(sprayRecord).values(row);
	return linked;
}

export type RecordFilter = {
	readonly from?: string | undefined;
	readonly to?: string | undefined;
	readonly fieldId?: string | undefined;
	readonly jobId?: string | undefined;
	readonly loadLogIds?: readonly string[];
	readonly reversed?: boolean;
};

/** The newest version of each record, newest treatment first. */
export async function listRecords(db: ReadDb, filter: RecordFilter): Promise<RecordStored[]> {
	const parts: SQL[] = [];
	if (filter.from) parts.push(gte(sprayRecord.sprayDate, filter.from));
	if (filter.to) parts.push(lte(sprayRecord.sprayDate, filter.to));
	if (filter.fieldId) parts.push(eq(sprayRecord.fieldId, filter.fieldId));
	if (filter.jobId) parts.push(eq(sprayRecord.jobId, filter.jobId));
	if (filter.loadLogIds) parts.push(inArray(sprayRecord.loadLogId, [...filter.loadLogIds]));
	const rows = await db
		.select()
		.from(sprayRecord)
		.where(and(...parts))
		.orderBy(
			desc(sprayRecord.sprayDate),
			desc(sprayRecord.startedAt),
			asc(sprayRecord.fieldName),
			asc(sprayRecord.seq),
		);
	const newest = new Map<string, RecordStored>();
	for (const row of rows) {
		const known = newest.get(row.recordId);
		if (!known || known.version < row.version) newest.set(row.recordId, row);
	}
	return [...newest.values()].filter((row) => filter.reversed || row.state === 'current');
}

/** One line of the books as the sums need it: what went where, without what else the record says. */
export type UseStored = Pick<
	RecordStored,
	| 'seq'
	| 'recordId'
	| 'jobId'
	| 'sprayDate'
	| 'season'
	| 'fieldId'
	| 'productId'
	| 'treatedM2'
	| 'amount'
	| 'startedAt'
	| 'finishedAt'
> & { readonly plannedDose: number | null };

/** What was brought out in a period, oldest first: the records that stand, in their newest version, with the dose of the job. */
export async function listUses(db: ReadDb, { from, to }: { from: string; to: string }): Promise<UseStored[]> {
	return db
		.select({
			seq: sprayRecord.seq,
			recordId: sprayRecord.recordId,
			jobId: sprayRecord.jobId,
			sprayDate: sprayRecord.sprayDate,
			season: sprayRecord.season,
			fieldId: sprayRecord.fieldId,
			productId: sprayRecord.productId,
			treatedM2: sprayRecord.treatedM2,
			amount: sprayRecord.amount,
			startedAt: sprayRecord.startedAt,
			finishedAt: sprayRecord.finishedAt,
			plannedDose: jobProduct.dose,
		})
		.from(sprayRecord)
		.leftJoin(jobProduct, and(eq(jobProduct.jobId, sprayRecord.jobId), eq(jobProduct.productId, sprayRecord.productId)))
		.where(
			and(
				gte(sprayRecord.sprayDate, from),
				lte(sprayRecord.sprayDate, to),
				eq(sprayRecord.state, 'current'),
				isNewest(db),
			),
		)
		.orderBy(asc(sprayRecord.sprayDate), asc(sprayRecord.startedAt), asc(sprayRecord.seq));
}

function isNewest(db: ReadDb): SQL {
	const newer = alias(sprayRecord, 'newer');
	return notExists(
		db
			.select({ seq: newer.seq })
			.from(newer)
			.where(and(eq(newer.recordId, sprayRecord.recordId), gt(newer.version, sprayRecord.version))),
	);
}

/** Every version of one record, oldest first. */
export async function recordVersions(db: ReadDb, recordId: string): Promise<RecordStored[]> {
	return db.select().from(sprayRecord).where(eq(sprayRecord.recordId, recordId)).orderBy(asc(sprayRecord.version));
}

/** How many record versions and ledger lines there are. */
export async function countRows(db: ReadDb): Promise<{ records: number; movements: number }> {
	const count = sql<number>`count(*)`;
	const [records] = await db.select({ count }).from(sprayRecord);
	const [movements] = await db.select({ count }).from(movement);
	return { records: records?.count ?? 0, movements: movements?.count ?? 0 };
}

const PAGE = 5_000;
type Row = Readonly<Record<string, string | number | null>>;

/** Walks one chain from its start. */
export async function checkChain(db: ReadDb, name: ChainName) {
	const rows = await allRows(db, name);
	return checkLinks(rows, await chainHead(db, name));
}

async function allRows(db: ReadDb, name: ChainName): Promise<Row[]> {
	const rows: Row[] = [];
	for (let after = Number.MIN_SAFE_INTEGER; ; ) {
		const page = await pageOf(db, name, after);
		rows.push(...page);
		const last = page.at(-1);
		if (page.length < PAGE || !last) return rows;
		after = Number(last['seq']);
	}
}

async function pageOf(db: ReadDb, name: ChainName, after: number): Promise<Row[]> {
	if (name === 'audit') return db.select().from(audit).where(gt(audit.seq, after)).orderBy(asc(audit.seq)).limit(PAGE);
	if (name === 'ledger') {
		return db.select().from(movement).where(gt(movement.seq, after)).orderBy(asc(movement.seq)).limit(PAGE);
	}
	return db.select().from(sprayRecord).where(gt(sprayRecord.seq, after)).orderBy(asc(sprayRecord.seq)).limit(PAGE);
}
