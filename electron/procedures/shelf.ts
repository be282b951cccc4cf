import { addContainer, lotFor, type NewMovement, shelves } from '../../db/modules/store.ts';
import { chooseDraw } from '../../shared/core/store/draw.ts';
import type { CommandContext } from './handler.ts';

type Common = Omit<NewMovement, 'amount' | 'lotId' | 'containerId'>;

/**
 * Movements that take an amount off the shelf: opened containers, whole packs, then a newly opened one, which the
 * ledger shows as opened. What the book does not hold comes as a movement without a lot.
 */
export async function drawFromShelf(
	{ tx, newId }: CommandContext,
	{ amount, ...common }: Common & { amount: number },
): Promise<NewMovement[]> {
	const shelf = (await shelves(tx, [common.productId])).get(common.productId) ?? { sealed: [], opened: [] };
	const movements: NewMovement[] = [];
	for (const posting of chooseDraw(shelf, amount)) {
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
