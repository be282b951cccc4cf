import { findProducts } from '../../db/modules/products.ts';
import {
	balances,
	countAtOrAfter,
	findMovement,
	listMovements,
	type MovementStored,
	post,
	reversalOf,
	type StoreId,
} from '../../db/modules/store.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toLocalDate } from './clock.ts';
import { closeAgain } from './close-again.ts';
import type { CommandContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { idsOf } from './store.ts';
import { storesOf, storeToldOf } from './stores.ts';

/** Takes back a wrong posting by its mirror image. A load is taken back through its job, a count by another count. */
export async function reverseMovement(
	context: CommandContext,
	input: { movementId: string; why: string; by: string },
): Promise<Result<{ movementIds: string[] }>> {
	const { tx, signedBy } = context;
	const row = await findMovement(tx, input.movementId);
	if (!row) return refuse('not.found', { what: 'movement', id: input.movementId });
	if (['load', 'load reversal', 'opening', 'count adjustment', 'reversal'].includes(row.kind)) {
		return refuse('input.invalid', {
			path: 'movementId',
			why: `a line of the kind “${row.kind}” is not taken back here: a load is through its job, a count by another count`,
		});
	}
	if (await reversalOf(tx, row.id))
		return refuse('input.invalid', { path: 'movementId', why: 'it is reversed already' });
	const used = await usedSince(tx, row);
	if (used) return used;
	// A move between own stores has two sides: both are taken back, or it would stand in two stores or in none.
	const other = await otherSide(tx, row);
	const counted =
		other &&
		(await countedSince(context, {
			...{ productId: row.productId, stores: [row.storeId, other.storeId], at: row.occurredAt },
		}));
	if (counted) return counted;
	const usedThere = other && (await usedSince(tx, other));
	if (usedThere) return usedThere;
	signedBy(input.by);
	const rows = await post(
		tx,
		context,
		(other ? [row, other] : [row]).map(
			({ id, productId, storeId, amount, lotId, containerId, occurredAt, document }) => ({
				kind: 'reversal',
				productId,
				storeId,
				amount: -amount,
				lotId,
				containerId,
				occurredAt,
				document,
				who: input.by,
				why: input.why,
				reverses: id,
			}),
		),
	);
	await closeAgain(context, other ? [row, other] : [row], input);
	return ok({ movementIds: idsOf(rows) });
}

/**
 * A stock take of a product in one of some stores after a time. What was counted stands, so a move before it would put
 * the same container into two stores.
 */
export async function countedSince(
	{ tx, farm }: CommandContext,
	{ productId, stores, at }: { productId: string; stores: readonly StoreId[]; at: number },
) {
	for (const storeId of stores) {
		const count = await countAtOrAfter(tx, { productId, storeId, at });
		if (!count) continue;
		const product = (await findProducts<ProductDetails>(tx, [productId])).get(productId);
		const store = (await storesOf(tx, farm)).find((each) => each.storeId === storeToldOf(farm, storeId));
		return refuse('store.countedSince', {
			product: product?.name ?? productId,
			store: store?.name ?? '',
			on: toLocalDate(count.freezeAt, farm.zone),
		});
	}
	return null;
}

/** The other side of a move between own stores. */
async function otherSide(tx: CommandContext['tx'], row: MovementStored): Promise<MovementStored | null> {
	if (row.kind !== 'transfer') return null;
	const together = await listMovements(tx, { eventId: row.eventId });
	return (
		together.find(
			({ kind, amount, lotId, containerId, storeId }) =>
				kind === 'transfer' &&
				amount === -row.amount &&
				lotId === row.lotId &&
				containerId === row.containerId &&
				storeId !== row.storeId,
		) ?? null
	);
}

/** What came in and was used since cannot be taken back from its line, unless a stock take after it stands. */
async function usedSince(tx: CommandContext['tx'], row: MovementStored) {
	if (
		row.amount < 0 ||
		(await countAtOrAfter(tx, { productId: row.productId, storeId: row.storeId, at: row.occurredAt }))
	)
		return null;
	const held = (await balances(tx, { store: row.storeId, productIds: [row.productId] })).find(
		({ lotId, containerId }) => lotId === row.lotId && containerId === row.containerId,
	);
	if (held && held.amount >= row.amount) return null;
	const product = (await findProducts<ProductDetails>(tx, [row.productId])).get(row.productId);
	return refuse('movement.usedSince', {
		product: product?.name ?? row.productId,
		unit: product?.unit ?? '',
		have: fromStockAmount(held?.amount ?? 0),
		need: fromStockAmount(row.amount),
	});
}
