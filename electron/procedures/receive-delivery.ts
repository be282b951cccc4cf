import type { z } from 'zod';
import { findProducts } from '../../db/modules/products.ts';
import { deliveryWithNote, lotFor, type NewMovement, post } from '../../db/modules/store.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { storeContract } from '../../shared/contract/store.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toLocalDate } from './clock.ts';
import type { CommandContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { dayOf } from './store.ts';
import { storeSaid } from './stores.ts';

type Delivery = z.output<(typeof storeContract.receiveDelivery)['~orpc']['inputSchema'] & z.ZodType>;

/** Books every line of a delivery note at once. A note that is on the books already is refused unless it is another one. */
export async function receiveDelivery(
	context: CommandContext,
	input: Delivery,
): Promise<Result<{ movementIds: string[] }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const products = await findProducts<ProductDetails>(
		tx,
		input.lines.map(({ productId }) => productId),
	);
	const twice = input.note && !input.otherDelivery ? await deliveryWithNote(tx, input.note) : null;
	if (twice && input.note) {
		const known = (await findProducts<ProductDetails>(tx, [twice.productId])).get(twice.productId);
		return refuse('delivery.noteTwice', {
			note: input.note,
			product: known?.name ?? '?',
			packs: twice.packSize ? twice.amount / twice.packSize : 0,
			size: fromStockAmount(twice.packSize ?? 0),
			on: toLocalDate(twice.occurredAt, farm.zone),
		});
	}
	const store = await storeSaid(tx, farm, input.storeId);
	if (!store.ok) return store;
	const who = input.by ?? farm.operator ?? farm.userId;
	signedBy(who);
	const occurredAt = dayOf(input.date, farm.zone, now);
	const movements: NewMovement[] = [];
	for (const [index, line] of input.lines.entries()) {
		const product = products.get(line.productId);
		if (!product) return refuse('not.found', { what: 'product', id: line.productId });
		if (!product.packSizes.includes(line.packSize)) {
			const { name, unit, packSizes } = product;
			return refuse('product.packUnknown', {
				...{ product: name, size: line.packSize, unit, sizes: packSizes },
				path: `lines[${index}].packSize`,
			});
		}
		const packSize = toStockAmount(line.packSize);
		const wanted = { productId: product.id, packSize, batch: line.batch || null, expires: line.expires ?? null };
		movements.push({
			productId: product.id,
			storeId: store.value,
			kind: 'delivery',
			amount: packSize * line.packs,
			lotId: await lotFor(tx, wanted, { id: newId(), now }),
			containerId: null,
			occurredAt,
			who,
			document: input.note || null,
			price: line.price ?? null,
		});
	}
	const rows = await post(tx, context, movements);
	return ok({ movementIds: rows.filter(({ kind }) => kind === 'delivery').map(({ id }) => id) });
}
