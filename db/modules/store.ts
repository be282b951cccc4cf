import { and, asc, desc, eq, getTableColumns, gte, inArray, isNull, lte, type SQL, sql } from 'drizzle-orm';
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

/** Which store a row is of; null: the first. */
export type StoreId = string | null;
export type StoreSaid = StoreId | 'all';

/** What a posting says; the ledger adds number, time of posting and link. */
export type NewMovement = {
	readonly productId: string;
	readonly storeId: StoreId;
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

/** Which movements are looked at; `until` keeps to what occurred up to then. */
export type Which = {
	readonly store: StoreSaid;
	readonly productIds?: readonly string[] | undefined;
	readonly until?: number | undefined;
};

/** The movements of a store, or of all of them. */
export function inStore(
	store: StoreSaid,
	column: typeof movement.storeId | typeof stockCount.storeId = movement.storeId,
) {
	if (store === 'all') return undefined;
	return store === null ? isNull(column) : eq(column, store);
}

/** Book balances by product, lot and opened container; always the sum of the movements. */
export async function balances(
	db: ReadDb,
	{ store, productIds, until }: Which,
	{ withEmpty = true }: { withEmpty?: boolean } = {},
): Promise<Balance[]> {
	return db
		.select({ productId: movement.productId, lotId: movement.lotId, containerId: movement.containerId, amount: total })
		.from(movement)
		.where(
			and(
				inStore(store),
				productIds && inArray(movement.productId, [...productIds]),
				until === undefined ? undefined : lte(movement.occurredAt, until),
			),
		)
		.groupBy(movement.productId, movement.lotId, movement.containerId)
		.having(withEmpty ? undefined : sql`${total} <> 0`);
}

export async function bookSum(db: ReadDb, where: SQL | undefined): Promise<number> {
	const [row] = await db
		.select({ amount: sql<number>`coalesce(sum(${movement.amount}), 0)` })
		.from(movement)
		.where(where);
	return row?.amount ?? 0;
}

/** Book balance per product; `until` counts only what occurred up to then. */
export async function bookAmounts(
	db: ReadDb,
	{ store, until }: Omit<Which, 'productIds'>,
): Promise<Map<string, number>> {
	const rows = await db
		.select({ productId: movement.productId, amount: total })
		.from(movement)
		.where(and(inStore(store), until === undefined ? undefined : lte(movement.occurredAt, until)))
		.groupBy(movement.productId);
	return new Map(rows.map((row) => [row.productId, row.amount]));
}

/** What each store holds of each product; empty ones are left out. */
export async function amountsByStore(
	db: ReadDb,
	productIds?: readonly string[],
): Promise<{ productId: string; storeId: StoreId; amount: number }[]> {
	return db
		.select({ productId: movement.productId, storeId: movement.storeId, amount: total })
		.from(movement)
		.where(productIds && inArray(movement.productId, [...productIds]))
		.groupBy(movement.productId, movement.storeId)
		.having(sql`${total} <> 0`);
}

/** Book balance of one product, of what occurred up to `until`. */
export async function bookAmount(
	db: ReadDb,
	productId: string,
	{ store, until }: { store: StoreSaid; until: number },
): Promise<number> {
	return bookSum(db, and(inStore(store), eq(movement.productId, productId), lte(movement.occurredAt, until)));
}

export type ShelfLine = Shelf & { readonly beyondBook: number };

/** The shelf of some products: sealed packs and opened containers with what is left, and what was drawn beyond the book. */
export async function shelves(db: ReadDb, which: Which): Promise<Map<string, ShelfLine>> {
	const { productIds } = which;
	// A container that ran empty stands nowhere: over the years these are by far the most.
	const sums = await balances(db, which, { withEmpty: false });
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
		storeId: row.storeId,
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

/** The first stock take of a product in a store whose freeze time is not before `at`. */
export async function countAtOrAfter(
	db: ReadDb,
	{ productId, storeId, at }: { productId: string; storeId: StoreId; at: number },
): Promise<CountStored | null> {
	const [count] = await db
		.select()
		.from(stockCount)
		.where(and(eq(stockCount.productId, productId), inStore(storeId, stockCount.storeId), gte(stockCount.freezeAt, at)))
		.orderBy(asc(stockCount.freezeAt), asc(stockCount.id))
		.limit(1);
	return count ?? null;
}

async function recounts(tx: WriteDb, movements: readonly NewMovement[]): Promise<NewMovement[]> {
	const late: NewMovement[] = [];
	for (const row of movements) {
		// A count is its own adjustment; the counts after it still stand.
		const from = row.countId ? row.occurredAt + 1 : row.occurredAt;
		const count = await countAtOrAfter(tx, { productId: row.productId, storeId: row.storeId, at: from });
		if (!count) continue;
		late.push({
			productId: row.productId,
			storeId: row.storeId,
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
	filter: {
		store: StoreSaid;
		productId?: string | undefined;
		from?: number | undefined;
		to?: number | undefined;
	},
): Promise<CountStored[]> {
	const parts: (SQL | undefined)[] = [inStore(filter.store, stockCount.storeId)];
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
	readonly store?: StoreSaid;
	readonly eventId?: string;
	readonly productId?: string | undefined;
	readonly from?: number | undefined;
	readonly to?: number | undefined;
	readonly loadLogIds?: readonly string[];
	readonly containerIds?: readonly string[];
	readonly limit?: number;
};

/** Movements, newest first. */
export async function listMovements(db: ReadDb, filter: MovementFilter): Promise<MovementStored[]> {
	const parts: (SQL | undefined)[] = [inStore(filter.store ?? 'all')];
	if (filter.eventId) parts.push(eq(movement.eventId, filter.eventId));
	if (filter.productId) parts.push(eq(movement.productId, filter.productId));
	if (filter.from !== undefined) parts.push(gte(movement.occurredAt, filter.from));
	if (filter.to !== undefined) parts.push(lte(movement.occurredAt, filter.to));
	if (filter.loadLogIds) parts.push(inArray(movement.loadLogId, [...filter.loadLogIds]));
	if (filter.containerIds) parts.push(inArray(movement.containerId, [...filter.containerIds]));
	const query = db
		.select()
		.from(movement)
		.where(and(...parts))
		.orderBy(desc(movement.occurredAt), desc(movement.seq));
	return filter.limit ? query.limit(filter.limit) : query;
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
