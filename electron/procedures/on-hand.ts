import { listProducts } from '../../db/modules/products.ts';
import { listCounts, lotsOf, shelves } from '../../db/modules/store.ts';
import { handedOut } from '../../db/modules/store-sums.ts';
import { ok, type Result } from '../../shared/basics/result.ts';
import type { StockLine } from '../../shared/contract/store.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { batchAmounts } from './shelf.ts';
import { heldByStore, storeInLedger } from './stores.ts';

/** What the book says is in the store, product by product. */
export async function onHand(
	{ db, farm }: QueryContext,
	{ storeId }: { storeId?: string | undefined },
): Promise<Result<StockLine[]>> {
	const store = storeId === undefined ? 'all' : storeInLedger(farm, storeId);

	const products = await listProducts<ProductDetails>(db);
	const shelf = await shelves(db, { store });
	const lots = await lotsOf(db);
	const counted = new Map<string, number>();
	const away = await handedOut(db);
	const held = await heldByStore(db, farm);
	for (const count of await listCounts(db, { store })) {
		if (!counted.has(count.productId)) counted.set(count.productId, count.freezeAt);
	}
	return ok(
		products.map((product) => {
			const { sealed, opened, beyondBook } = shelf.get(product.id) ?? { sealed: [], opened: [], beyondBook: 0 };
			const countedAt = counted.get(product.id);
			const packs = new Map<number, number>();
			for (const line of sealed) packs.set(line.size, (packs.get(line.size) ?? 0) + line.count);
			const amount =
				sealed.reduce((sum, line) => sum + line.count * line.size, 0) +
				opened.reduce((sum, can) => sum + can.left, 0) +
				beyondBook;
			return {
				productId: product.id,
				name: product.name,
				formulation: product.formulation,
				unit: product.unit,
				amount: fromStockAmount(amount),
				packs: [...packs]
					.sort(([a], [b]) => b - a)
					.map(([size, count]) => ({ size: fromStockAmount(size), count }))
					.filter(({ count }) => count !== 0),
				opened: opened
					.map((can) => ({ size: fromStockAmount(can.size), left: fromStockAmount(can.left) }))
					.sort((a, b) => a.left - b.left),
				containers: opened
					.map((can) => ({
						containerId: can.containerId,
						size: fromStockAmount(can.size),
						left: fromStockAmount(can.left),
						batch: lots.get(can.lotId)?.batch ?? null,
						openedOn: toLocalDate(can.openedAt, farm.zone),
					}))
					.sort((a, b) => a.left - b.left),
				lots: sealed.map((line) => ({
					lotId: line.lotId,
					size: fromStockAmount(line.size),
					batch: lots.get(line.lotId)?.batch ?? null,
					expires: line.expires,
					count: line.count,
				})),
				batches: batchAmounts({ sealed, opened }, lots),
				openDiscrepancy: fromStockAmount(beyondBook),
				stores: held.get(product.id) ?? [],
				onLoan: fromStockAmount(away.get(product.id)?.loan ?? 0),
				elsewhere: fromStockAmount(away.get(product.id)?.transfer ?? 0),
				lastCountOn: countedAt === undefined ? null : toLocalDate(countedAt, farm.zone),
			};
		}),
	);
}
