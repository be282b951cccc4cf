import { lotsOf, type StoreId, shelves } from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { PlannedProduct } from '../../shared/contract/jobs-plan.ts';
import { type ContainerOnLine, takesBetween } from '../../shared/core/loads/shelf-takes.ts';
import { chooseDraw } from '../../shared/core/store/draw.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import type { ProductToSpray } from './plan-job.ts';

/** A container of the shelf as the planning of loads takes it, with the line it stands on. */
export type ShelfLine = ContainerOnLine & {
	readonly size: number;
	readonly batch: string | null;
	readonly expires: string | null;
};

/** The containers of a store that a job takes, by product, in the order the store gives them out. */
export async function containersInTurn(
	db: ReadDb,
	store: StoreId,
	products: readonly ProductToSpray[],
	needOf: (dose: number) => number,
): Promise<Map<string, ShelfLine[]>> {
	const inStore = await shelves(db, { store, productIds: products.map(({ product }) => product.id) });
	const inTurn = new Map<string, ShelfLine[]>();
	for (const { product, dose } of products) {
		const shelf = inStore.get(product.id);
		if (!shelf) continue;
		const lots = await lotsOf(db, product.id);
		const containers: ShelfLine[] = [];
		const add = (lotId: string, left: number, container?: string, count = 1) => {
			const { batch = null, expires = null } = lots.get(lotId) ?? {};
			const opened = container !== undefined;
			const one = { left, size: fromStockAmount(left), opened, container, line: lotId, batch, expires };
			for (let each = 0; each < count; each++) containers.push(one);
		};
		for (const posting of chooseDraw(shelf, toStockAmount(needOf(dose)))) {
			if (posting.from === 'opened') {
				const can = shelf.opened.find(({ containerId }) => containerId === posting.containerId);
				add(posting.lotId, can?.left ?? posting.amount, posting.containerId);
			} else if (posting.from === 'sealed') {
				const { size = posting.amount } = shelf.sealed.find(({ lotId }) => lotId === posting.lotId) ?? {};
				add(posting.lotId, size, undefined, Math.round(posting.amount / size));
			} else if (posting.from === 'newly opened') add(posting.lotId, posting.size);
		}
		if (containers.length > 0) inTurn.set(product.id, containers);
	}
	return inTurn;
}

type SplitLoads = readonly { readonly products: readonly { readonly amount: number }[] }[];

/** From which shelf lines one load takes a product; nothing where the store holds none of it. */
export function takesOf(
	containers: readonly ShelfLine[] | undefined,
	loads: SplitLoads,
	at: { readonly load: number; readonly position: number },
): Pick<PlannedProduct, 'takes'> {
	if (!containers) return {};
	const amounts = loads.map(({ products }) => toStockAmount(products[at.position]?.amount ?? 0));
	const from = amounts.slice(0, at.load).reduce((sum, amount) => sum + amount, 0);
	const lines = new Map(containers.map((container) => [container.line, container]));
	return {
		takes: takesBetween(containers, from, from + (amounts[at.load] ?? 0)).map(
			({ what, line, container, begun, count, size, amount }) => ({
				what,
				count,
				size: fromStockAmount(size),
				amount: fromStockAmount(amount),
				batch: lines.get(line ?? '')?.batch ?? null,
				expires: lines.get(line ?? '')?.expires ?? null,
				...(line === null ? {} : { lotId: line, begun }),
				...(container === null ? {} : { containerId: container }),
			}),
		),
	};
}
