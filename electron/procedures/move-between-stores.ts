import type { z } from 'zod';
import { findProducts } from '../../db/modules/products.ts';
import { lotsOf, type NewMovement, post, type StoreId, shelves } from '../../db/modules/store.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { storeListContract } from '../../shared/contract/store-list.ts';
import type { CommandContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { countedSince } from './reverse-movement.ts';
import { dayOf } from './store.ts';
import { storeSaid } from './stores.ts';

type Input = z.output<(typeof storeListContract)['move']['~orpc']['inputSchema'] & z.ZodType>;
type Carried = {
	readonly productId: string;
	readonly lotId: string;
	readonly containerId: string | null;
	readonly amount: number;
};

/** Carries containers from one store of the farm to another: what leaves the one stands in the other, in one transaction. */
export async function moveBetweenStores(
	context: CommandContext,
	input: Input,
): Promise<Result<{ movementIds: string[] }>> {
	const { tx, farm, now, signedBy } = context;
	const from = await storeSaid(tx, farm, input.fromStoreId);
	if (!from.ok) return from;
	const to = await storeSaid(tx, farm, input.toStoreId);
	if (!to.ok) return to;
	if (from.value === to.value) return refuse('input.invalid', { path: 'toStoreId', why: 'is where they stand' });
	const carried = await carriedFrom(context, from.value, input);
	if (!carried.ok) return carried;
	if (carried.value.length === 0) return refuse('input.invalid', { path: 'packs', why: 'names nothing to move' });
	const occurredAt = dayOf(input.date, farm.zone, now);
	const products = new Set(carried.value.map(({ productId }) => productId));
	for (const productId of products) {
		const counted = await countedSince(context, { productId, stores: [from.value, to.value], at: occurredAt });
		if (counted) return counted;
	}
	signedBy(input.by);
	const common = {
		kind: 'transfer' as const,
		occurredAt,
		who: input.by,
		why: input.why,
	};
	const movements = carried.value.flatMap(({ amount, ...what }): NewMovement[] => [
		{ ...common, ...what, amount: -amount, storeId: from.value },
		{ ...common, ...what, amount, storeId: to.value },
	]);
	const rows = await post(tx, context, movements);
	return ok({ movementIds: rows.filter(({ kind }) => kind === 'transfer').map(({ id }) => id) });
}

/** What is named, as it stands in the store; what does not stand there is refused. */
async function carriedFrom(
	{ tx }: CommandContext,
	store: StoreId,
	{ packs, opened }: Pick<Input, 'packs' | 'opened'>,
): Promise<Result<Carried[]>> {
	const lots = await lotsOf(tx);
	const shelf = await shelves(tx, { store });
	const carried: Carried[] = [];
	const wanted = new Map<string, number>();
	for (const { lotId, count } of packs) wanted.set(lotId, (wanted.get(lotId) ?? 0) + count);
	for (const [lotId, count] of wanted) {
		const lot = lots.get(lotId);
		if (!lot) return refuse('not.found', { what: 'batch', id: lotId });
		const { productId, packSize } = lot;
		const there = shelf.get(productId)?.sealed.find((line) => line.lotId === lotId)?.count ?? 0;
		if (there < count) {
			const product = (await findProducts<ProductDetails>(tx, [productId])).get(productId);
			return refuse('store.packsShort', { product: product?.name ?? productId, have: Math.max(0, there), need: count });
		}
		carried.push({ productId, lotId, containerId: null, amount: count * packSize });
	}
	for (const containerId of new Set(opened)) {
		const found = [...shelf].flatMap(([productId, line]) =>
			line.opened.filter((can) => can.containerId === containerId).map((can) => ({ productId, can })),
		)[0];
		if (!found || found.can.left <= 0) return refuse('not.found', { what: 'opened container', id: containerId });
		const { productId, can } = found;
		carried.push({ productId, lotId: can.lotId, containerId, amount: can.left });
	}
	return ok(carried);
}
