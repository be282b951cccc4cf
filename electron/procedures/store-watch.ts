import { listJobs, loadLogs, standing } from '../../db/modules/jobs.ts';
import { listProducts } from '../../db/modules/products.ts';
import { bookAmounts, lotsOf, type ShelfLine, type StoreId, shelves } from '../../db/modules/store.ts';
import { mostStored } from '../../db/modules/store-sums.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { addDays } from '../../shared/basics/calendar.ts';
import { ok, type Result } from '../../shared/basics/result.ts';
import type { Store } from '../../shared/contract/store-list.ts';
import type { StoreWatch } from '../../shared/contract/store-watch.ts';
import { bundNeeded } from '../../shared/core/store/bund.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf, logDetails, planOf } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import { heldByStore, openStores, storeInLedger, storesOf } from './stores.ts';

type Farm = QueryContext['farm'];

/** How far ahead an end is pointed out. */
const DAYS_AHEAD = 90;
const YEAR_MS = 365 * 86_400_000;

/** What in the stores asks for a look. */
export async function watch({ db, farm, now }: QueryContext): Promise<Result<StoreWatch>> {
	const today = toLocalDate(now, farm.zone);
	const until = addDays(today, DAYS_AHEAD);
	const stores: StoreWatch['stores'] = [];
	for (const store of await openStores(db, farm)) stores.push({ ...store, bund: await bundOf(db, farm, store, now) });
	return ok({
		until,
		batches: await endingBatches(db, farm, today, until),
		authorisations: await endingAuthorisations(db, today, until),
		short: await shortForJobs(db, farm),
		stores,
	});
}

/** What stands in a store now, and the most in the last twelve months. A kilogram counts as a litre (on the safe side). */
async function bundOf(db: ReadDb, farm: Farm, { storeId, bundL, sensitive }: Store, now: number) {
	const store = storeInLedger(farm, storeId);
	const { now: sum, most } = await mostStored(db, { store, from: now - YEAR_MS, until: now });
	const mostL: number = fromStockAmount(Math.max(most, 0));
	const neededL = bundNeeded(mostL, sensitive);
	return { storedL: fromStockAmount(sum), mostL, neededL, holds: bundL === null ? null : bundL >= neededL };
}

/** Batches with something left that end by `until`, the first to end on top. */
async function endingBatches(db: ReadDb, farm: Farm, today: string, until: string): Promise<StoreWatch['batches']> {
	const lots = await lotsOf(db);
	const ending = new Map<string, StoreWatch['batches'][number]>();
	const products = await listProducts(db);
	for (const { storeId, name: store } of await storesOf(db, farm)) {
		const shelf = await shelves(db, { store: storeInLedger(farm, storeId) });
		for (const { id, name, unit } of products) {
			for (const [lotId, sum] of amountsByLot(shelf.get(id))) {
				const { expires = null, batch = null } = lots.get(lotId) ?? {};
				if (expires === null || expires > until || sum <= 0) continue;
				const amount = fromStockAmount(sum);
				const line = ending.get(lotId) ?? {
					...{ productId: id, product: name, unit, batch, expires, past: expires < today },
					...{ amount: 0, stores: [] },
				};
				const stores = [...line.stores, { storeId, store, amount }];
				ending.set(lotId, { ...line, amount: line.amount + amount, stores });
			}
		}
	}
	return [...ending.values()].sort((a, b) => (a.expires < b.expires ? -1 : 1));
}

function amountsByLot(shelf: ShelfLine | undefined): Map<string, number> {
	const amounts = new Map<string, number>();
	for (const { lotId, size, count } of shelf?.sealed ?? []) {
		amounts.set(lotId, (amounts.get(lotId) ?? 0) + size * count);
	}
	for (const { lotId, left } of shelf?.opened ?? []) amounts.set(lotId, (amounts.get(lotId) ?? 0) + left);
	return amounts;
}

async function endingAuthorisations(db: ReadDb, today: string, until: string) {
	const book = await bookAmounts(db, { store: 'all' });
	const ending: StoreWatch['authorisations'] = [];
	for (const product of await listProducts<ProductDetails>(db)) {
		const amount = fromStockAmount(book.get(product.id) ?? 0);
		if (amount <= 0) continue;
		const dates = [
			['authorisation ends', product.authorisationEnds],
			['use up by', product.useUpBy],
		] as const;
		for (const [what, on] of dates) {
			if (on === undefined || on > until) continue;
			const { id, name, unit } = product;
			ending.push({ productId: id, product: name, unit, what, on, past: on < today, amount });
		}
	}
	return ending.sort((a, b) => (a.on < b.on ? -1 : 1));
}

/** Products of which the loads still to be made take more than the store they draw from holds by the book. */
async function shortForJobs(db: ReadDb, farm: Farm): Promise<StoreWatch['short']> {
	const open = (await listJobs(db)).filter(({ job }) => job.closing === null);
	const logs = Map.groupBy(
		standing(
			await loadLogs(
				db,
				open.map(({ job }) => job.id),
			),
		),
		({ jobId }) => jobId,
	);
	const wanted = new Map<StoreId, Map<string, StoreWatch['short'][number]['jobs']>>();
	for (const { job } of open) {
		const need = new Map<string, number>();
		for (const load of planOf(job).loads) {
			const own = (logs.get(job.id) ?? []).filter(({ loadNumber }) => loadNumber === load.load);
			if (own.some((log) => log.state === 'complete' || logDetails(log).stopped?.mix === 'disposed')) continue;
			const poured = own.flatMap((log) => logDetails(log).products);
			for (const { productId, amount } of load.products) {
				const before = poured.reduce((sum, line) => (line.productId === productId ? sum + line.amount : sum), 0);
				need.set(productId, (need.get(productId) ?? 0) + Math.max(0, amount - before));
			}
		}
		for (const [productId, amount] of need) {
			if (amount <= 0) continue;
			const line = { jobId: job.id, job: job.name, date: job.sprayDate, amount: Number(amount.toFixed(6)) };
			const store = detailsOf(job).storeId;
			const ofStore = wanted.get(store) ?? new Map<string, StoreWatch['short'][number]['jobs']>();
			wanted.set(store, ofStore.set(productId, [...(ofStore.get(productId) ?? []), line]));
		}
	}
	const products = await listProducts(db);
	const short: StoreWatch['short'] = [];
	for (const { storeId, name: store } of await storesOf(db, farm)) {
		const but = storeInLedger(farm, storeId);
		const ofStore = wanted.get(but);
		if (!ofStore) continue;
		const book = await bookAmounts(db, { store: but });
		const held = await heldByStore(db, farm, { but });
		for (const { id, name, unit } of products) {
			const jobs = (ofStore.get(id) ?? []).sort((a, b) => (a.date < b.date ? -1 : 1));
			const planned = jobs.reduce((sum, { amount }) => sum + amount, 0);
			const inStore = fromStockAmount(book.get(id) ?? 0);
			const lacks = fromStockAmount(toStockAmount(planned) - toStockAmount(inStore));
			if (lacks <= 0) continue;
			const elsewhere = (held.get(id) ?? []).filter(({ amount }) => amount > 0);
			short.push({
				productId: id,
				product: name,
				unit,
				storeId,
				store,
				inStore,
				planned,
				short: lacks,
				elsewhere,
				jobs,
			});
		}
	}
	return short;
}
