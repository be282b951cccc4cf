import type { LoadLogStored } from '../../db/modules/jobs.ts';
import { type LotStored, lotsOf, type NewMovement, post, type StoreId } from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { DrawnPart, DrawnProduct, NotAsNamed } from '../../shared/contract/jobs-drawn.ts';
import type { PlannedLoad, PlannedProduct } from '../../shared/contract/jobs-plan.ts';
import { chooseDraw, type Posting } from '../../shared/core/store/draw.ts';
import { drawAsPlanned, type NamedTake, type PlannedDraw, takesAfter } from '../../shared/core/store/planned-draw.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import type { CommandContext } from './handler.ts';
import { logDetails } from './job-details.ts';
import type { Poured } from './log-load.ts';
import { chooseFromBatches, movementsOf, shelfNow } from './shelf.ts';

/** Out of what one product of a load is drawn. */
export type Draw = {
	readonly productId: string;
	readonly amount: number;
	readonly by: DrawnProduct['by'];
	readonly postings: readonly Posting[];
	readonly notAsNamed: NotAsNamed | null;
};

type Now = { readonly storeId: StoreId; readonly logs: readonly LoadLogStored[]; readonly poured: readonly Poured[] };

/**
 * Out of what a load is drawn: the batches the operator named, else the containers its plan named as far as they are
 * there, else by the store's order.
 */
export async function drawsOf(db: ReadDb, load: PlannedLoad, { storeId, logs, poured }: Now): Promise<Draw[]> {
	const draws: Draw[] = [];
	for (const { productId, amount, batches } of poured) {
		if (amount === 0) continue;
		if (batches.length > 0) {
			const postings = await chooseFromBatches(db, { productId, storeId, amount, batches });
			draws.push({ productId, amount, by: 'batches', postings, notAsNamed: null });
			continue;
		}
		const shelf = await shelfNow(db, { productId, storeId });
		const named = namedIn(load, productId);
		if (!named) {
			draws.push({ productId, amount, by: 'store', postings: chooseDraw(shelf, amount), notAsNamed: null });
			continue;
		}
		const before = logs
			.flatMap((log) => logDetails(log).products)
			.filter((line) => line.productId === productId)
			.reduce((sum, line) => sum + toStockAmount(line.amount), 0);
		const draw = drawAsPlanned(shelf, amount, takesAfter(named, before));
		const notAsNamed = notNamed(draw, await lotsOf(db, productId));
		draws.push({ productId, amount, by: 'plan', postings: draw.postings, notAsNamed });
	}
	return draws;
}

type Named = NamedTake & { readonly take: NonNullable<PlannedProduct['takes']>[number] };

/** The containers a plan named for a product; null where it named none, or was saved before it did. */
function namedIn({ products }: PlannedLoad, productId: string): Named[] | null {
	const takes = products.find((line) => line.productId === productId)?.takes ?? [];
	if (!takes.some(({ lotId }) => lotId !== undefined)) return null;
	return takes.map((take) => ({
		lotId: take.lotId ?? null,
		containerId: take.containerId ?? null,
		begun: take.begun ?? false,
		size: toStockAmount(take.size),
		amount: toStockAmount(take.amount),
		take,
	}));
}

type Lots = ReadonlyMap<string, LotStored>;

function notNamed({ missing, instead }: PlannedDraw<Named>, lots: Lots): NotAsNamed | null {
	if (missing.length === 0) return null;
	return {
		missing: missing.flatMap(({ take: { take }, amount }) =>
			take.what === 'not in the store'
				? []
				: [{ what: take.what, amount: fromStockAmount(amount), batch: take.batch, expires: take.expires }],
		),
		instead: instead.map((posting) => partOf(posting, lots)),
	};
}

const partWords = { opened: 'opened', sealed: 'full', 'newly opened': 'newly opened' } as const;

export function partOf(posting: Posting, lots: Lots): DrawnPart {
	const amount = fromStockAmount(posting.amount);
	if (posting.from === 'beyond the book') return { what: posting.from, amount, batch: null, expires: null };
	const { batch = null, expires = null } = lots.get(posting.lotId) ?? {};
	return { what: partWords[posting.from], amount, batch, expires };
}

/** Posts the draws of a load, all of them in one entry. */
export async function postDraws(
	context: CommandContext,
	draws: readonly Draw[],
	common: Omit<NewMovement, 'productId' | 'amount' | 'lotId' | 'containerId'>,
): Promise<void> {
	const movements: NewMovement[] = [];
	for (const { productId, postings } of draws) {
		movements.push(...(await movementsOf(context, { productId, ...common }, postings)));
	}
	if (movements.length > 0) await post(context.tx, context, movements);
}
