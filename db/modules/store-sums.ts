import { and, asc, eq, gte, isNotNull, lt, lte, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import type { MovementKind } from '../../shared/core/store/movement-kinds.ts';
import { plainRows } from '../plain-rows.ts';
import { lot, movement } from '../tables.ts';
import type { ReadDb } from '../transaction.ts';
import { bookSum, inStore, type StoreSaid } from './store.ts';

const total = sql<number>`sum(${movement.amount})`;

/** All that stands in a store at a time, and the most that stood there from then until another: whole µL and mg together. */
export async function mostStored(
	db: ReadDb,
	{ store, from, until }: { store: StoreSaid; from: number; until: number },
): Promise<{ now: number; most: number }> {
	const before = await bookSum(db, and(inStore(store), lt(movement.occurredAt, from)));
	const standing = sql<number>`sum(${movement.amount}) OVER (ORDER BY ${movement.occurredAt}, ${movement.seq} ROWS UNBOUNDED PRECEDING)`;
	const within = and(inStore(store), gte(movement.occurredAt, from), lte(movement.occurredAt, until));
	const [row] = await db.all<{ most: number | null }>(
		sql`SELECT max(standing) AS most FROM (SELECT ${standing} AS standing FROM ${movement} WHERE ${within})`,
	);
	return {
		now: await bookSum(db, and(inStore(store), lte(movement.occurredAt, until))),
		most: before + Math.max(0, row?.most ?? 0),
	};
}

/** What is out on loan and in stores that are not on the books, by product; moves between own stores cancel: what went less what came back. Whole µL or mg. */
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
		out.set(productId, { ...(out.get(productId) ?? { loan: 0, transfer: 0 }), [kind]: 0 - amount });
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

/** Sealed packs of one lot: what stood at the start of a period, and what each kind of posting moved in it. */
export type SealedSum = {
	readonly lotId: string;
	/** Of what lay before the period: poured into loads, or null for all else. */
	readonly kind: MovementKind | 'poured before' | null;
	readonly amount: number;
};

/** What moved of sealed packs, lot by lot, up to the end of a period. */
export async function sealedSums(db: ReadDb, { from, to }: { from: number; to: number }): Promise<SealedSum[]> {
	const { lotId, containerId, occurredAt, amount, kind, productId } = movement;
	const before = sql`iif(${kind} IN ('load', 'load reversal'), 'poured before', NULL)`;
	const within = sql`iif(${occurredAt} < ${from}, ${before}, ${kind})`;
	return plainRows<SealedSum>(
		db,
		{ lotId, kind: within, amount: sql`sum(${amount})` },
		sql`FROM ${movement} WHERE ${occurredAt} <= ${to} AND ${lotId} IS NOT NULL AND ${containerId} IS NULL GROUP BY ${productId}, ${lotId}, ${within}`,
	);
}

/**
 * Opened containers of each lot in a period: how many are open before it and at its end, how many of them ran empty into a
 * load in it, and how many ever. One whose opening was taken back is none of them.
 */
export async function openedContainers(db: ReadDb, { from, to }: { from: number; to: number }) {
	const { seq, lotId, containerId, occurredAt, amount, kind } = movement;
	// The newest posting, and in its last bits whether that was a load (1) or the opening taken back (2).
	const newest = sql`max(${seq} * 4 + (${kind} IN ('load', 'load reversal')) + 2 * (${kind} = 'opening'))`;
	return db.all<{ lotId: string; openBefore: number; stillOpen: number; ranEmpty: number; poured: number }>(
		sql`SELECT lotId, sum(stood > 0) AS openBefore, sum(remains > 0) AS stillOpen, sum(remains <= 0 AND last >= ${from} AND newest % 2) AS ranEmpty, sum(remains <= 0 AND newest % 2) AS poured FROM (SELECT min(${lotId}) AS lotId, sum(${amount}) AS remains, sum(iif(${occurredAt} < ${from}, ${amount}, 0)) AS stood, max(${occurredAt}) AS last, ${newest} AS newest FROM ${movement} WHERE ${occurredAt} <= ${to} AND ${containerId} IS NOT NULL GROUP BY ${containerId}) GROUP BY lotId`,
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
