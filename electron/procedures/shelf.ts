import {
	addContainer,
	type LotStored,
	lotFor,
	lotsOf,
	type NewMovement,
	type StoreId,
	shelves,
} from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { chooseDraw, drawFromLots, onShelf, type Posting, type Shelf, shelfOf } from '../../shared/core/store/draw.ts';
import { chooseHandOver } from '../../shared/core/store/hand-over.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import type { CommandContext } from './handler.ts';

type Common = Omit<NewMovement, 'amount' | 'lotId' | 'containerId'>;

/**
 * Movements that take an amount off the shelf: opened containers, whole packs, then a newly opened one. What is handed
 * over goes in whole containers where it can.
 */
export async function drawFromShelf(
	context: CommandContext,
	{ amount, handedOver = false, ...common }: Common & { amount: number; handedOver?: boolean },
): Promise<NewMovement[]> {
	const shelf = await shelfNow(context.tx, common);
	return movementsOf(context, common, handedOver ? chooseHandOver(shelf, amount) : chooseDraw(shelf, amount));
}

type InStore = { readonly productId: string; readonly storeId: StoreId };

/** The shelf of one product in a store as the book has it. */
export async function shelfNow(db: ReadDb, { productId, storeId }: InStore): Promise<Shelf> {
	return (await shelves(db, { store: storeId, productIds: [productId] })).get(productId) ?? { sealed: [], opened: [] };
}

/** Where the batches are named that were emptied, in their order, nothing is taken from others. */
export async function chooseFromBatches(
	db: ReadDb,
	{ productId, storeId, amount, batches }: InStore & { amount: number; batches: readonly string[] },
): Promise<readonly Posting[]> {
	return drawFromLots(await shelfNow(db, { productId, storeId }), amount, await lotsOfBatches(db, productId, batches));
}

/**
 * The movements of a draw. A newly opened container shows in the ledger as opened; what the book does not hold comes as a
 * movement without a lot.
 */
export async function movementsOf(
	{ tx, newId }: CommandContext,
	common: Common,
	postings: readonly Posting[],
): Promise<NewMovement[]> {
	const movements: NewMovement[] = [];
	for (const posting of postings) {
		if (posting.from === 'beyond the book') {
			movements.push({ ...common, amount: -posting.amount, lotId: null, containerId: null });
		} else if (posting.from === 'sealed') {
			movements.push({ ...common, amount: -posting.amount, lotId: posting.lotId, containerId: null });
		} else if (posting.from === 'opened') {
			movements.push({ ...common, amount: -posting.amount, lotId: posting.lotId, containerId: posting.containerId });
		} else {
			const containerId = newId();
			await addContainer(tx, { id: containerId, lotId: posting.lotId, openedAt: common.occurredAt });
			const opening = { ...common, kind: 'opening' as const, lotId: posting.lotId };
			movements.push(
				{ ...opening, amount: -posting.size, containerId: null },
				{ ...opening, amount: posting.size, containerId },
				{ ...common, amount: -posting.amount, lotId: posting.lotId, containerId },
			);
		}
	}
	return movements;
}

/** What stands on a shelf of each batch. */
export function batchAmounts({ sealed, opened }: Shelf, lots: ReadonlyMap<string, LotStored>) {
	const batches = new Map<string, number>();
	const lines = [
		...sealed.map(({ lotId, size, count }) => ({ lotId, amount: size * count })),
		...opened.map(({ lotId, left }) => ({ lotId, amount: left })),
	];
	for (const { lotId, amount } of lines) {
		const batch = lots.get(lotId)?.batch;
		if (batch && amount > 0) batches.set(batch, (batches.get(batch) ?? 0) + amount);
	}
	return [...batches].map(([batch, amount]) => ({ batch, amount: fromStockAmount(amount) }));
}

/** What the shelf of a store holds of some batches, or held then, and every batch that stands there. */
export async function batchesOnShelf(
	db: ReadDb,
	{ store, productId, until }: { store: StoreId; productId: string; until?: number | undefined },
	batches: readonly string[],
) {
	const shelf: Shelf = (await shelves(db, { store, productIds: [productId], until })).get(productId) ?? {
		sealed: [],
		opened: [],
	};
	const named = new Set((await lotsOfBatches(db, productId, batches)).flatMap((lots) => [...lots]));
	const stands = batchAmounts(shelf, await lotsOf(db, productId)).map(({ batch }) => batch);
	return { have: onShelf(shelfOf(shelf, named)), batches: stands.sort() };
}

/** The lots of each batch, however its letters are written. */
async function lotsOfBatches(db: ReadDb, productId: string, batches: readonly string[]): Promise<Set<string>[]> {
	const lots = [...(await lotsOf(db, productId)).values()];
	const same = (a: string | null, b: string) => a?.trim().toLowerCase() === b.trim().toLowerCase();
	return batches.map((wanted) => new Set(lots.filter(({ batch }) => same(batch, wanted)).map(({ id }) => id)));
}

/** Movements that put an amount back on the shelf whose packs nobody named: whole packs of the largest size, the rest opened. */
export async function foundOnShelf(
	{ tx, newId, now }: CommandContext,
	{ amount, packSizes, ...common }: Common & { amount: number; packSizes: readonly number[] },
): Promise<NewMovement[]> {
	const movements: NewMovement[] = [];
	let rest = amount;
	const lotOf = (packSize: number) =>
		lotFor(tx, { productId: common.productId, packSize, batch: null, expires: null }, { id: newId(), now });
	for (const packSize of [...packSizes].sort((a, b) => b - a)) {
		const whole = Math.floor(rest / packSize);
		if (whole > 0) {
			movements.push({ ...common, amount: whole * packSize, lotId: await lotOf(packSize), containerId: null });
		}
		rest -= whole * packSize;
	}
	if (rest > 0) {
		const smallest = Math.min(...packSizes.filter((size) => size >= rest));
		const lotId = await lotOf(smallest);
		const containerId = newId();
		await addContainer(tx, { id: containerId, lotId, openedAt: common.occurredAt });
		movements.push({ ...common, amount: rest, lotId, containerId });
	}
	return movements;
}
