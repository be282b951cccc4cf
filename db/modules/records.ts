import { and, asc, eq, getTableColumns, gt, gte, lte, type SQL, type SQLWrapper, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import { type ChainName, chainHead, checkLinks, link } from '../chain.ts';
import { listed, plainRows } from '../plain-rows.ts';
import { audit, job, jobProduct, jobRecommendation, movement, recommendation, sprayRecord } from '../tables.ts';
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
	/** The number of any version of the record, as it stands on paper. */
	readonly entry?: number | undefined;
	readonly loadLogIds?: readonly string[];
	readonly productIds?: readonly string[];
	readonly fieldIds?: readonly string[] | undefined;
	readonly reversed?: boolean;
	/** Left out: the newest treatment first, fields by name. To sort a season of whole lines takes time: some need none. */
	readonly order?: 'oldest first' | 'as they come';
};

const newer = alias(sprayRecord, 'newer');
const printed = alias(sprayRecord, 'printed');
/** No later version of the same record. */
const isNewest = sql`NOT EXISTS (SELECT 1 FROM ${sprayRecord} AS ${sql.identifier('newer')} WHERE ${newer.recordId} = ${sprayRecord.recordId} AND ${newer.version} > ${sprayRecord.version})`;

/** The newest version of each record. */
export async function listRecords(db: ReadDb, filter: RecordFilter): Promise<RecordStored[]> {
	return recordCells(db, recordColumns, filter);
}

const cells: Readonly<Record<keyof RecordStored, SQLWrapper>> = getTableColumns(sprayRecord);
const recordColumns = Object.keys(cells) as (keyof RecordStored)[];

/** The same, only the columns asked for. */
export async function recordCells<Name extends keyof RecordStored>(
	db: ReadDb,
	names: readonly Name[],
	filter: RecordFilter,
): Promise<Pick<RecordStored, Name>[]> {
	const { sprayDate, startedAt, fieldName, seq } = sprayRecord;
	const orders = {
		'oldest first': sql` ORDER BY ${sprayDate}, ${startedAt}, ${seq}`,
		'as they come': sql``,
		'newest first': sql` ORDER BY ${sprayDate} DESC, ${startedAt} DESC, ${fieldName}, ${seq}`,
	};
	const columns = Object.fromEntries(names.map((name) => [name, cells[name]])) as Record<Name, SQLWrapper>;
	return plainRows<Pick<RecordStored, Name>>(
		db,
		columns,
		sql`FROM ${sprayRecord} WHERE ${standing(filter)}${orders[filter.order ?? 'newest first']}`,
	);
}

function standing(filter: RecordFilter): SQL | undefined {
	const parts: SQL[] = [isNewest];
	if (!filter.reversed) parts.push(eq(sprayRecord.state, 'current'));
	if (filter.from) parts.push(gte(sprayRecord.sprayDate, filter.from));
	if (filter.to) parts.push(lte(sprayRecord.sprayDate, filter.to));
	if (filter.fieldId) parts.push(eq(sprayRecord.fieldId, filter.fieldId));
	if (filter.jobId) parts.push(eq(sprayRecord.jobId, filter.jobId));
	if (filter.entry !== undefined) {
		parts.push(
			sql`${sprayRecord.recordId} = (SELECT record_id FROM ${sprayRecord} AS ${sql.identifier('printed')} WHERE ${printed.seq} = ${filter.entry})`,
		);
	}
	if (filter.loadLogIds) {
		parts.push(sql`${sprayRecord.loadLogId} IN ${listed(filter.loadLogIds)}`);
	}
	if (filter.productIds) {
		parts.push(sql`${sprayRecord.productId} IN ${listed(filter.productIds)}`);
	}
	if (filter.fieldIds) {
		parts.push(sql`${sprayRecord.fieldId} IN ${listed(filter.fieldIds)}`);
	}
	return and(...parts);
}

/** How many records of a period were taken back. */
export async function countTakenBack(db: ReadDb, { from, to }: { from: string; to: string }): Promise<number> {
	const found = await db.get<{ count: number }>(
		sql`SELECT count(*) AS count FROM ${sprayRecord} WHERE ${standing({ from, to, reversed: true })} AND ${sprayRecord.state} = 'reversed'`,
	);
	return found?.count ?? 0;
}

/**
 * Of the amount of a record what lies on its ground: `amountOnGround` (`shared/core/loads/share-on-ground.ts`) for sums over
 * whole seasons. Few records tell what stayed, so the text is looked into only where the word stands in it.
 */
const amountOnGround = sql<number>`CASE WHEN instr(${sprayRecord.details}, '"stayed":') = 0 THEN ${sprayRecord.amount}
	ELSE (SELECT ${sprayRecord.amount} - iif(tank.stayed <= 0, tank.stayed,
			min(tank.stayed, max(0, tank.stayed - tank.logged + ${sprayRecord.amount})))
		FROM (SELECT 1e6 * json_extract(${sprayRecord.details}, '$.stayed.stayed') AS stayed,
			1e6 * json_extract(${sprayRecord.details}, '$.stayed.logged') AS logged) AS tank) END`;

/** One line of the books as the sums need it: what went where, without what else the record says. */
export type UseStored = Pick<
	RecordStored,
	| 'seq'
	| 'recordId'
	| 'jobId'
	| 'sprayDate'
	| 'season'
	| 'fieldId'
	| 'fieldName'
	| 'productId'
	| 'treatedM2'
	| 'startedAt'
	| 'finishedAt'
	| 'washedM2'
> & {
	readonly plannedDose: number | null;
	/** Of the amount what lies on its ground. */
	readonly onGround: number;
};

/** What was brought out in a period, oldest first: the records that stand, in their newest version, with the dose of the job. */
export async function listUses(
	db: ReadDb,
	filter: {
		readonly from: string;
		readonly to: string;
		readonly productIds?: readonly string[];
		readonly fieldIds?: readonly string[] | undefined;
	},
): Promise<UseStored[]> {
	const { seq, recordId, jobId, sprayDate, season, fieldId, fieldName, productId, treatedM2 } = sprayRecord;
	const { startedAt, finishedAt, washedM2 } = sprayRecord;
	return plainRows<UseStored>(
		db,
		{
			seq,
			recordId,
			jobId,
			sprayDate,
			season,
			fieldId,
			fieldName,
			productId,
			treatedM2,
			startedAt,
			finishedAt,
			washedM2,
			plannedDose: jobProduct.dose,
			onGround: amountOnGround,
		},
		sql`FROM ${sprayRecord} LEFT JOIN ${jobProduct} ON ${jobProduct.jobId} = ${jobId} AND ${jobProduct.productId} = ${productId} WHERE ${standing(filter)} ORDER BY ${sprayDate}, ${startedAt}, ${seq}`,
	);
}

/** What all loads of one job covered on one field with one product, and how much of it went there. */
export type PassStored = {
	/** Null: seed or a closed space was treated, no ground. */
	readonly fieldId: string | null;
	readonly jobId: string;
	readonly productId: string;
	readonly treatedM2: number;
	/** All that was poured, with what of it stayed in sump and lines. */
	readonly amount: number;
	/** Without that: what the doses are made of. */
	readonly onGround: number;
};

/** The passes of a period, from the records that stand. */
export async function listPasses(db: ReadDb, period: { from: string; to: string }): Promise<PassStored[]> {
	const { fieldId, jobId, productId, treatedM2, amount } = sprayRecord;
	return plainRows<PassStored>(
		db,
		{
			fieldId,
			jobId,
			productId,
			treatedM2: sql`sum(${treatedM2})`,
			amount: sql`sum(${amount})`,
			onGround: sql`sum(${amountOnGround})`,
		},
		sql`FROM ${sprayRecord} WHERE ${standing(period)} GROUP BY ${fieldId}, ${jobId}, ${productId}`,
	);
}

/** What went onto each field of each product, and in how many passes over it. The records are read once for both. */
export async function sumsByField(db: ReadDb, period: { from: string; to: string }) {
	const { fieldId, jobId, productId, treatedM2, details } = sprayRecord;
	// Off the ground each closed space of a job is treated for itself.
	const treatment = sql`iif(${fieldId} IS NULL, ${jobId} || ' ' || coalesce(json_extract(${details}, '$.space.spaceId'), ''), ${jobId})`;
	const rows = await db.all<
		{ readonly fieldId: string | null; readonly passes: number | null } & Pick<
			PassStored,
			'productId' | 'treatedM2' | 'onGround'
		>
	>(sql`WITH line AS MATERIALIZED (
			SELECT ${fieldId} AS f, ${treatment} AS j, ${productId} AS p, ${treatedM2} AS m2, ${amountOnGround} AS a
			FROM ${sprayRecord} WHERE ${standing(period)})
		SELECT f AS fieldId, p AS productId, sum(m2) AS treatedM2, sum(a) AS onGround, NULL AS passes FROM line GROUP BY f, p
		UNION ALL SELECT f, '', 0, 0, count(DISTINCT j) FROM line GROUP BY f`);
	return {
		uses: rows.filter(({ passes }) => passes === null),
		passes: new Map(rows.flatMap((row) => (row.passes === null ? [] : [[row.fieldId, row.passes]]))),
	};
}

/** Days on which the jobs of a period were sprayed after their recommendation had run out, by job. */
export async function daysPastRecommendation(
	db: ReadDb,
	{ from, to }: { readonly from: string; readonly to: string },
): Promise<Map<string, string[]>> {
	const { jobId, sprayDate } = sprayRecord;
	const rows = await plainRows<{ readonly jobId: string; readonly day: string }>(
		db,
		{ jobId, day: sprayDate },
		sql`FROM ${job} JOIN ${jobRecommendation} ON ${jobRecommendation.jobId} = ${job.id}
			JOIN ${recommendation} ON ${recommendation.id} = ${jobRecommendation.recommendationId}
			JOIN ${sprayRecord} ON ${jobId} = ${job.id} AND ${sprayDate} > ${recommendation.validUntil}
			WHERE ${job.sprayDate} BETWEEN ${from} AND ${to} AND ${standing({})} GROUP BY ${jobId}, ${sprayDate}`,
	);
	const days = new Map<string, string[]>();
	for (const { jobId: id, day } of rows) days.set(id, [...(days.get(id) ?? []), day]);
	return days;
}

/** The certificate number that the records of a load name, and the zone they were written in, by load log. */
export async function recordedOfLoads(
	db: ReadDb,
	loadLogIds: readonly string[],
): Promise<Map<string, { readonly certificateNo: string | null; readonly zone: string | null }>> {
	const { details, loadLogId } = sprayRecord;
	const certificate = sql`json_extract(${details}, '$.certificateNo')`;
	const own = sql`FROM ${sprayRecord} WHERE ${loadLogId} = value AND ${standing({})}`;
	const rows = await db.all<{ id: string; certificateNo: string | null; zone: string | null }>(
		sql`SELECT value AS id, (SELECT ${certificate} ${own} AND ${certificate} IS NOT NULL LIMIT 1) AS certificateNo, (SELECT json_extract(${details}, '$.zone') ${own} LIMIT 1) AS zone FROM json_each(${JSON.stringify(loadLogIds)})`,
	);
	return new Map(rows.map(({ id, certificateNo, zone }) => [id, { certificateNo, zone }]));
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

/** When the books begin: the first day sprayed, and the first time anything moved in the store. */
export async function firstEntries(db: ReadDb): Promise<{ sprayed: string | null; moved: number | null }> {
	const [records] = await db.select({ first: sql<string | null>`min(${sprayRecord.sprayDate})` }).from(sprayRecord);
	const [movements] = await db.select({ first: sql<number | null>`min(${movement.occurredAt})` }).from(movement);
	return { sprayed: records?.first ?? null, moved: movements?.first ?? null };
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
