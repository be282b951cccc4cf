import { and, asc, desc, eq, getTableColumns, gte, inArray, isNotNull, lt, lte, type SQL, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import type { Shelf } from '../../shared/core/store/draw.ts';
import type { MovementKind } from '../../shared/core/store/movement-kinds.ts';
import { link } from '../chain.ts';
import { plainRows } from '../plain-rows.ts';
import { container, lot, movement, stockCount } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';
import type { FarmRow } from './settings.ts';

export type MovementStored = typeof movement.$inferSelect;
export type CountStored = typeof stockCount.$inferSelect;
export type LotStored = typeof lot.$inferSelect;

/** What a posting says; the ledger adds number, time of posting and link. */
export type NewMovement = {
	readonly productId: string;
	readonly kind: MovementKind;
	readonly amount: number;
	readonly lotId: string | null;
	readonly containerId: string | null;
	readonly occurredAt: number;
	readonly who: string;
	readonly why?: string | null;
	readonly document?: string | null;
	readonly price?: number | null;
	readonly jobId?: string | null;
	readonly loadLogId?: string | null;
	readonly loadNumber?: number | null;
	readonly countId?: string | null;
	readonly reverses?: string | null;
};

export type Balance = {
	readonly productId: string;
	readonly lotId: string | null;
	readonly containerId: string | null;
	readonly amount: number;
};

const total = sql<number>`sum(${movement.amount})`;

/** Book balances by product, lot and opened container, of what occurred up to `until`; always the sum of the movements. */
export async function balances(
	db: ReadDb,
	productIds?: readonly string[],
	until?: number,
	{ withEmpty = true }: { withEmpty?: boolean } = {},
): Promise<Balance[]> {
	const parts: SQL[] = [];
	if (productIds) parts.push(inArray(movement.productId, [...productIds]));
	if (until !== undefined) parts.push(lte(movement.occurredAt, until));
	return db
		.select({ productId: movement.productId, lotId: movement.lotId, containerId: movement.containerId, amount: total })
		.from(movement)
		.where(and(...parts))
		.groupBy(movement.productId, movement.lotId, movement.containerId)
		.having(withEmpty ? undefined : sql`${total} <> 0`);
}

/** All that stood in the store at a time, and the most that stood there from then until another: whole µL and mg together. */
export async function mostStored(db: ReadDb, from: number, until: number): Promise<{ now: number; most: number }> {
	const before = await bookSum(db, lt(movement.occurredAt, from));
	const standing = sql<number>`sum(${movement.amount}) OVER (ORDER BY ${movement.occurredAt}, ${movement.seq} ROWS UNBOUNDED PRECEDING)`;
	const [row] = await db.all<{ most: number | null }>(
		sql`SELECT max(standing) AS most FROM (SELECT ${standing} AS standing FROM ${movement}
			WHERE ${movement.occurredAt} >= ${from} AND ${movement.occurredAt} <= ${until})`,
	);
	return {
		now: await bookSum(db, lte(movement.occurredAt, until)),
		most: before + Math.max(0, row?.most ?? 0),
	};
}

async function bookSum(db: ReadDb, where: SQL): Promise<number> {
	const [row] = await db
		.select({ amount: sql<number>`coalesce(sum(${movement.amount}), 0)` })
		.from(movement)
		.where(where);
	return row?.amount ?? 0;
}

/** Book balance per product; `until` counts only what occurred up to then. */
export async function bookAmounts(db: ReadDb, until?: number): Promise<Map<string, number>> {
	const rows = await db
		.select({ productId: movement.productId, amount: total })
		.from(movement)
		.where(until === undefined ? undefined : lte(movement.occurredAt, until))
		.groupBy(movement.productId);
	return new Map(rows.map((row) => [row.productId, row.amount]));
}

/** Book balance of one product, of what occurred up to `until`. */
export async function bookAmount(db: ReadDb, productId: string, until: number): Promise<number> {
	return bookSum(db, sql`${movement.productId} = ${productId} AND ${movement.occurredAt} <= ${until}`);
}

export type ShelfLine = Shelf & { readonly beyondBook: number };

/** The shelf of some products: sealed packs and opened containers with what is left, and what was drawn beyond the book. */
export async function shelves(
	db: ReadDb,
	productIds?: readonly string[],
	until?: number,
): Promise<Map<string, ShelfLine>> {
	// A container that ran empty stands nowhere: over the years these are by far the most.
	const sums = await balances(db, productIds, until, { withEmpty: false });
	const ids = sums.flatMap(({ containerId }) => containerId ?? []);
	const lots = await db
		.select()
		.from(lot)
		.where(productIds ? inArray(lot.productId, [...productIds]) : undefined);
	const containers = ids.length === 0 ? [] : await db.select().from(container).where(inArray(container.id, ids));
	const lotById = new Map(lots.map((row) => [row.id, row]));
	const openedAt = new Map(containers.map((row) => [row.id, row.openedAt]));
	const shelf = new Map<
		string,
		{ sealed: ShelfLine['sealed'][number][]; opened: ShelfLine['opened'][number][]; beyondBook: number }
	>();
	for (const sum of sums) {
		const line = shelf.get(sum.productId) ?? { sealed: [], opened: [], beyondBook: 0 };
		shelf.set(sum.productId, line);
		const from = sum.lotId ? lotById.get(sum.lotId) : undefined;
		if (!from) {
			line.beyondBook += sum.amount;
			continue;
		}
		const common = { lotId: from.id, size: from.packSize, expires: from.expires };
		if (sum.containerId) {
			const { containerId, amount: left } = sum;
			line.opened.push({ ...common, containerId, left, openedAt: openedAt.get(containerId) ?? 0 });
		} else line.sealed.push({ ...common, count: sum.amount / from.packSize, received: from.createdAt });
	}
	return shelf;
}

/** Lots by id. */
export async function lotsOf(db: ReadDb, productId?: string): Promise<Map<string, LotStored>> {
	const rows = await db
		.select()
		.from(lot)
		.where(productId ? eq(lot.productId, productId) : undefined);
	return new Map(rows.map((row) => [row.id, row]));
}

/** The lot with this size, batch and expiry, made if it is new. */
export async function lotFor(
	tx: WriteDb,
	wanted: { productId: string; packSize: number; batch: string | null; expires: string | null },
	made: { id: string; now: number },
): Promise<string> {
	const same = (await tx.select().from(lot).where(eq(lot.productId, wanted.productId))).find(
		(row) => row.packSize === wanted.packSize && row.batch === wanted.batch && row.expires === wanted.expires,
	);
	if (same) return same.id;
	await tx.insert(lot).values({ id: made.id, ...wanted, createdAt: made.now });
	return made.id;
}

export async function addContainer(tx: WriteDb, row: { id: string; lotId: string; openedAt: number }): Promise<void> {
	await tx.insert(container).values(row);
}

export type Posting = { readonly farm: FarmRow; readonly now: number; readonly newId: () => string };

/**
 * Posts movements of one event. One that occurred before a stock take of its product re-posts that count's adjustment,
 * on the same lot, so that the counted figure stands.
 */
export async function post(
	tx: WriteDb,
	{ farm, now, newId }: Posting,
	movements: readonly NewMovement[],
): Promise<MovementStored[]> {
	const eventId = newId();
	const all = [...movements, ...(await recounts(tx, movements))];
	const rows = all.map((row) => ({
		id: newId(),
		farmId: farm.id,
		eventId,
		productId: row.productId,
		kind: row.kind,
		amount: row.amount,
		lotId: row.lotId,
		containerId: row.containerId,
		occurredAt: row.occurredAt,
		postedAt: now,
		who: row.who,
		why: row.why ?? null,
		document: row.document ?? null,
		price: row.price ?? null,
		jobId: row.jobId ?? null,
		loadLogId: row.loadLogId ?? null,
		loadNumber: row.loadNumber ?? null,
		countId: row.countId ?? null,
		reverses: row.reverses ?? null,
		userId: farm.userId,
		deviceId: farm.deviceId,
	}));
	const linked = await link(tx, 'ledger', rows);
	for (const row of linked) await tx.insert(movement).values(row);
	return linked;
}

/** The first stock take of a product whose freeze time is not before `at`. */
export async function countAtOrAfter(db: ReadDb, productId: string, at: number): Promise<CountStored | null> {
	const [count] = await db
		.select()
		.from(stockCount)
		.where(and(eq(stockCount.productId, productId), gte(stockCount.freezeAt, at)))
		.orderBy(asc(stockCount.freezeAt), asc(stockCount.id))
		.limit(1);
	return count ?? null;
}

async function recounts(tx: WriteDb, movements: readonly NewMovement[]): Promise<NewMovement[]> {
	const late: NewMovement[] = [];
	for (const row of movements) {
		// A count is its own adjustment; the counts after it still stand.
		const from = row.countId ? row.occurredAt + 1 : row.occurredAt;
		const count = await countAtOrAfter(tx, row.productId, from);
		if (!count) continue;
		late.push({
			productId: row.productId,
			kind: 'count adjustment',
			amount: -row.amount,
			lotId: row.lotId,
			containerId: row.containerId,
			occurredAt: count.freezeAt,
			who: row.who,
			why: `posted after the stock take for before it: ${row.countId ? 'an earlier stock take' : row.kind}`,
			countId: count.id,
		});
	}
	return late;
}

export async function addCount(tx: WriteDb, row: CountStored): Promise<void> {
	await tx.insert(stockCount).values(row);
}

export async function listCounts(
	db: ReadDb,
	filter: { productId?: string | undefined; from?: number | undefined; to?: number | undefined },
): Promise<CountStored[]> {
	const parts: SQL[] = [];
	if (filter.productId) parts.push(eq(stockCount.productId, filter.productId));
	if (filter.from !== undefined) parts.push(gte(stockCount.freezeAt, filter.from));
	if (filter.to !== undefined) parts.push(lte(stockCount.freezeAt, filter.to));
	const where = and(...parts) ?? sql`true`;
	return plainRows<CountStored>(
		db,
		getTableColumns(stockCount),
		sql`FROM ${stockCount} WHERE ${where} ORDER BY ${stockCount.freezeAt} DESC, ${stockCount.id} DESC`,
	);
}

export type MovementFilter = {
	readonly productId?: string | undefined;
	readonly from?: number | undefined;
	readonly to?: number | undefined;
	readonly loadLogIds?: readonly string[];
	readonly limit?: number;
};

/** Movements, newest first. */
export async function listMovements(db: ReadDb, filter: MovementFilter): Promise<MovementStored[]> {
	const parts: SQL[] = [];
	if (filter.productId) parts.push(eq(movement.productId, filter.productId));
	if (filter.from !== undefined) parts.push(gte(movement.occurredAt, filter.from));
	if (filter.to !== undefined) parts.push(lte(movement.occurredAt, filter.to));
	if (filter.loadLogIds) parts.push(inArray(movement.loadLogId, [...filter.loadLogIds]));
	const query = db
		.select()
		.from(movement)
		.where(and(...parts))
		.orderBy(desc(movement.occurredAt), desc(movement.seq));
	return filter.limit ? query.limit(filter.limit) : query;
}

/** What is out on loan and in other stores, by product: what went less what came back. Whole µL or mg. */
export async function handedOut(db: ReadDb): Promise<Map<string, { loan: number; transfer: number }>> {
	const rows = await db
		.select({ productId: movement.productId, kind: movement.kind, amount: total })
		.from(movement)
		.where(
			// The words stand in the text: only so SQLite sees that its partial index holds all of them.
			sql`${movement.kind} IN ('loan', 'transfer')
				AND NOT EXISTS (SELECT 1 FROM ${movement} AS taken WHERE taken.reverses = ${movement}.id)`,
		)
		.groupBy(movement.productId, movement.kind);
	const out = new Map<string, { loan: number; transfer: number }>();
	for (const { productId, kind, amount } of rows) {
		if (kind !== 'loan' && kind !== 'transfer') continue;
		out.set(productId, { ...(out.get(productId) ?? { loan: 0, transfer: 0 }), [kind]: -amount });
	}
	return out;
}

/** What the container account needs of the ledger, oldest posting first; a reversal with the kind of what it reverses. */
export async function containerMovements(db: ReadDb) {
	const taken = alias(movement, 'taken');
	return db
		.select({
			productId: movement.productId,
			size: lot.packSize,
			containerId: movement.containerId,
			amount: movement.amount,
			kind: sql<MovementKind>`coalesce(${taken.kind}, ${movement.kind})`,
			loadLogId: movement.loadLogId,
		})
		.from(movement)
		.innerJoin(lot, eq(lot.id, movement.lotId))
		.leftJoin(taken, eq(taken.id, movement.reverses))
		.orderBy(asc(movement.seq));
}

/** Which load of which job each log stands for, and when it was. */
export async function loadsInLedger(db: ReadDb) {
	const rows = await db
		.select({
			loadLogId: movement.loadLogId,
			jobId: movement.jobId,
			loadNumber: movement.loadNumber,
			occurredAt: movement.occurredAt,
			first: sql<number>`min(${movement.seq})`,
		})
		.from(movement)
		.where(isNotNull(movement.loadLogId))
		.groupBy(movement.loadLogId);
	return new Map(rows.map((row) => [row.loadLogId, row]));
}

export async function findMovement(db: ReadDb, id: string): Promise<MovementStored | null> {
	const [row] = await db.select().from(movement).where(eq(movement.id, id));
	return row ?? null;
}

/** The movement that reverses this one, if there is one. */
export async function reversalOf(db: ReadDb, id: string): Promise<MovementStored | null> {
	const [row] = await db.select().from(movement).where(eq(movement.reverses, id));
	return row ?? null;
}

/** The first standing delivery with this note number, whatever its case. */
export async function deliveryWithNote(db: ReadDb, note: string) {
	const rows = await db
		.select({
			id: movement.id,
			productId: movement.productId,
			amount: movement.amount,
			occurredAt: movement.occurredAt,
			packSize: lot.packSize,
		})
		.from(movement)
		.leftJoin(lot, eq(lot.id, movement.lotId))
		.where(and(eq(movement.kind, 'delivery'), sql`lower(${movement.document}) = ${note.toLowerCase()}`))
		.orderBy(asc(movement.seq));
	for (const row of rows) if (!(await reversalOf(db, row.id))) return row;
	return null;
}

/** Sealed packs of one lot: what stood at the start of a period, and what each kind of posting moved in it. */
export type SealedSum = {
	readonly lotId: string;
	/** Null for what lay before the period. */
	readonly kind: MovementKind | null;
	readonly amount: number;
};

/** What moved of sealed packs, lot by lot, up to the end of a period. */
export async function sealedSums(db: ReadDb, { from, to }: { from: number; to: number }): Promise<SealedSum[]> {
	const { lotId, containerId, occurredAt, amount, kind, productId } = movement;
	const within = sql`iif(${occurredAt} < ${from}, NULL, ${kind})`;
	return plainRows<SealedSum>(
		db,
		{ lotId, kind: within, amount: sql`sum(${amount})` },
		sql`FROM ${movement} WHERE ${occurredAt} <= ${to} AND ${lotId} IS NOT NULL AND ${containerId} IS NULL GROUP BY ${productId}, ${lotId}, ${within}`,
	);
}

/** Opened containers of each lot at the end of a period: how many are still open, and how many ran empty in it. */
export async function openedContainers(db: ReadDb, { from, to }: { from: number; to: number }) {
	const { lotId, containerId, occurredAt, amount } = movement;
	return db.all<{ lotId: string; stillOpen: number; ranEmpty: number }>(
		sql`SELECT lotId, sum(remains > 0) AS stillOpen, sum(remains <= 0 AND last >= ${from}) AS ranEmpty FROM (SELECT min(${lotId}) AS lotId, sum(${amount}) AS remains, max(${occurredAt}) AS last FROM ${movement} WHERE ${occurredAt} <= ${to} AND ${containerId} IS NOT NULL GROUP BY ${containerId}) GROUP BY lotId`,
	);
}

/** Sums per product and kind of what occurred in a period. */
export async function sumsByKind(db: ReadDb, from: number, to: number) {
	return db
		.select({ productId: movement.productId, kind: movement.kind, amount: total, lines: sql<number>`count(*)` })
		.from(movement)
		.where(and(gte(movement.occurredAt, from), lte(movement.occurredAt, to)))
		.groupBy(movement.productId, movement.kind);
}
