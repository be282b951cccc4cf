import { listJobs, loadLogs, standing } from '../../db/modules/jobs.ts';
import { listProducts } from '../../db/modules/products.ts';
import { bookAmounts, lotsOf, mostStored, shelves } from '../../db/modules/store.ts';
import { findSite, saveSite as writeSite } from '../../db/modules/waste.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { addDays } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { StoreSite, StoreWatch } from '../../shared/contract/store-watch.ts';
import { bundNeeded } from '../../shared/core/store/bund.ts';
import { checkPlan } from '../../shared/core/store/store-plan.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { logDetails, planOf } from './job-details.ts';
import type { ProductDetails } from './products.ts';

/** How far ahead an end is pointed out. */
const DAYS_AHEAD = 90;
const YEAR_MS = 365 * 86_400_000;

/** What in the store asks for a look. */
export async function watch({ db, farm, now }: QueryContext): Promise<Result<StoreWatch>> {
	const today = toLocalDate(now, farm.zone);
	const until = addDays(today, DAYS_AHEAD);
	const site = await siteOf(db, farm.id);
	const stored = await storedLitres(db, now);
	const neededL = bundNeeded(stored.mostL, site.sensitive);
	return ok({
		until,
		batches: await endingBatches(db, today, until),
		authorisations: await endingAuthorisations(db, today, until),
		short: await shortForJobs(db),
		bund: { ...stored, neededL, holds: site.bundL === null ? null : site.bundL >= neededL },
		site,
	});
}

export async function saveSite(
	{ tx, farm, note }: CommandContext,
	input: Omit<StoreSite, 'version' | 'plan'> & { version: number; plan?: StoreSite['plan'] | undefined },
): Promise<Result<StoreSite>> {
	const before = await siteOf(tx, farm.id);
	if (before.version !== input.version) return refuse('row.changed', { what: 'the store' });
	const { place, contacts, bundL, sensitive } = input;
	const plan = input.plan === undefined ? before.plan : input.plan;
	const checked = plan && checkPlan(plan);
	if (checked && !checked.ok) return checked;
	const next: StoreSite = { place, contacts, bundL, sensitive, plan, version: before.version + 1 };
	const row = { ...next, farmId: farm.id, sensitive: sensitive ? 1 : 0, plan: plan && JSON.stringify(plan) };
	await writeSite(tx, row, before.version === 0);
	note({ table: 'store_site', id: farm.id, before: JSON.stringify(before), after: JSON.stringify(next) });
	return ok(next);
}

export async function siteOf(db: ReadDb, farmId: string): Promise<StoreSite> {
	const row = await findSite(db, farmId);
	if (!row) return { place: '', contacts: '', bundL: null, sensitive: false, plan: null, version: 0 };
	const { place, contacts, bundL, sensitive, version } = row;
	const plan = row.plan === null ? null : (JSON.parse(row.plan) as NonNullable<StoreSite['plan']>);
	return { place, contacts, bundL, sensitive: sensitive === 1, plan, version };
}

/** Batches with something left that end by `until`, the first to end on top. */
async function endingBatches(db: ReadDb, today: string, until: string): Promise<StoreWatch['batches']> {
	const lots = await lotsOf(db);
	const shelf = await shelves(db);
	const ending: StoreWatch['batches'] = [];
	for (const { id, name, unit } of await listProducts(db)) {
		const line = shelf.get(id);
		if (!line) continue;
		const amounts = new Map<string, number>();
		for (const { lotId, size, count } of line.sealed) amounts.set(lotId, (amounts.get(lotId) ?? 0) + size * count);
		for (const { lotId, left } of line.opened) amounts.set(lotId, (amounts.get(lotId) ?? 0) + left);
		for (const [lotId, amount] of amounts) {
			const { expires = null, batch = null } = lots.get(lotId) ?? {};
			if (expires === null || expires > until || amount <= 0) continue;
			const left = fromStockAmount(amount);
			ending.push({ productId: id, product: name, unit, batch, expires, past: expires < today, amount: left });
		}
	}
	return ending.sort((a, b) => (a.expires < b.expires ? -1 : 1));
}

async function endingAuthorisations(db: ReadDb, today: string, until: string) {
	const book = await bookAmounts(db);
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

/** Products of which the loads still to be made take more than the book holds. */
async function shortForJobs(db: ReadDb): Promise<StoreWatch['short']> {
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
	const wanted = new Map<string, StoreWatch['short'][number]['jobs']>();
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
			wanted.set(productId, [...(wanted.get(productId) ?? []), line]);
		}
	}
	const book = await bookAmounts(db);
	return (await listProducts(db)).flatMap(({ id, name, unit }) => {
		const jobs = (wanted.get(id) ?? []).sort((a, b) => (a.date < b.date ? -1 : 1));
		const planned = jobs.reduce((sum, { amount }) => sum + amount, 0);
		const inStore = fromStockAmount(book.get(id) ?? 0);
		const short = fromStockAmount(toStockAmount(planned) - toStockAmount(inStore));
		return short <= 0 ? [] : [{ productId: id, product: name, unit, inStore, planned, short, jobs }];
	});
}

/** What stands in the store now, and the most in the last twelve months. A kilogram counts as a litre (on the safe side). */
async function storedLitres(db: ReadDb, now: number): Promise<{ storedL: number; mostL: number }> {
	const { now: sum, most } = await mostStored(db, now - YEAR_MS, now);
	return { storedL: fromStockAmount(sum), mostL: fromStockAmount(Math.max(most, 0)) };
}
