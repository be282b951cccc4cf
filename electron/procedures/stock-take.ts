import type { z } from 'zod';
import { findProducts, listProducts, type ProductRow } from '../../db/modules/products.ts';
import {
	addTake,
	addTakeEntry,
	addVerdict,
	endTake,
	findTake,
	lastPlaces,
	listTakes,
	openTake,
	type Take,
	type TakeEntryStored,
	type TakeVerdictStored,
	takeEntries,
	takeVerdicts,
} from '../../db/modules/stock-takes.ts';
import { bookAmounts, listCounts } from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { StockTake, stockTakeContract, TakeLine } from '../../shared/contract/stock-take.ts';
import { countEntry } from '../../shared/core/store/count-entry.ts';
import { stockTake } from '../../shared/core/store/stock-take.ts';
import { placeOnWalk, type StorePlan } from '../../shared/core/store/store-plan.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toInstant, toIso, toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { postCounted } from './post-count.ts';
import type { ProductDetails } from './products.ts';
import { measuredPoursSince } from './store.ts';
import { openStores, storeInLedger, storeSaid, storesOf, storeToldOf } from './stores.ts';

type Input<Name extends keyof typeof stockTakeContract> = z.output<
	(typeof stockTakeContract)[Name]['~orpc']['inputSchema'] & z.ZodType
>;
type Farm = QueryContext['farm'];

/** One stock take of a store at a time, so that nobody counts into the wrong one; each store has its own. */
export async function openStockTake(
	context: CommandContext,
	{ storeId, everyStore, freezeAt, blind, by }: Input<'openStockTake'>,
): Promise<Result<{ id: string }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const said = await storeSaid(tx, farm, storeId);
	if (!said.ok) return said;
	const wanted = everyStore
		? (await openStores(tx, farm)).map((store) => storeInLedger(farm, store.storeId))
		: [said.value];
	const open = await Promise.all(wanted.map((store) => openTake(tx, store)));
	const free = wanted.filter((_, index) => open[index] === null);
	if (free.length === 0) return refuse('stockTake.openAlready', { by: open[0]?.take.openedBy ?? '' });
	const at = freezeAt ? toInstant(freezeAt, farm.zone) : now;
	if (at > now) return refuse('stockTake.future', { at: freezeAt ?? '' });
	signedBy(by);
	const ids: string[] = [];
	for (const store of free) {
		const id = newId();
		await addTake(tx, {
			id,
			farmId: farm.id,
			freezeAt: at,
			blind: blind ? 1 : 0,
			openedAt: now,
			openedBy: by,
			userId: farm.userId,
			deviceId: farm.deviceId,
			storeId: store,
		});
		ids.push(id);
	}
	return ok({ id: ids[0] ?? '' });
}

/** What one person found of a product at one place. */
export async function enterCount(context: CommandContext, input: Input<'enterCount'>) {
	const { tx, now, newId, signedBy } = context;
	const take = await goingOn(tx, input.takeId);
	if (!take.ok) return take;
	const product = (await findProducts<ProductDetails>(tx, [input.productId])).get(input.productId);
	if (!product) return refuse('not.found', { what: 'product', id: input.productId });
	for (const { size } of [...input.full, ...input.parts]) {
		if (product.packSizes.includes(size)) continue;
		const { name, unit, packSizes } = product;
		return refuse('product.packUnknown', { product: name, size, unit, sizes: packSizes });
	}
	const counted = countEntry(product, input);
	if (!counted.ok) return counted;
	signedBy(input.by);
	await addTakeEntry(tx, {
		id: newId(),
		takeId: input.takeId,
		productId: input.productId,
		place: input.place,
		fullPacks: JSON.stringify(input.full.filter(({ count }) => count > 0)),
		parts: JSON.stringify(input.parts),
		counted: toStockAmount(counted.value.counted),
		sigma: toStockAmount(counted.value.sigma),
		who: input.by,
		enteredAt: now,
	});
	return ok({ counted: counted.value.counted, sigma: counted.value.sigma, unit: product.unit });
}

/** The stock take asked for, else the open one, else the newest; of one store where it is named. */
export async function readStockTake(
	{ db, farm }: QueryContext,
	{ takeId, storeId, compare }: Input<'stockTake'>,
): Promise<Result<{ take: StockTake | null; lines: TakeLine[] }>> {
	const takes = (await listTakes(db)).filter(
		({ take }) => storeId === undefined || take.storeId === storeInLedger(farm, storeId),
	);
	const names = await storeNames(db, farm);
	const found = takeId
		? takes.find(({ take }) => take.id === takeId)
		: (takes.find(({ end }) => end === null) ?? takes[0]);
	if (takeId && !found) return refuse('not.found', { what: 'stock take', id: takeId });
	if (!found) return ok({ take: null, lines: [] });
	const hidden = found.take.blind === 1 && !compare && found.end === null;
	const blind = found.take.blind === 1 && found.end === null;
	const lines = (await takeLines(db, farm, found)).map((line) =>
		hidden || (blind && line.counted === null) ? withoutBook(line) : line,
	);
	return ok({ take: wireTake(farm, found, names), lines: hidden || !compare ? lines : furthestApartFirst(lines) });
}

export async function readStockTakes({ db, farm }: QueryContext) {
	const rows = [];
	const names = await storeNames(db, farm);
	for (const found of await listTakes(db)) {
		const products = new Set((await takeEntries(db, found.take.id)).map(({ productId }) => productId)).size;
		const open = [...(await takeVerdicts(db, found.take.id)).values()].filter(({ verdict }) => verdict === 'open');
		rows.push({
			...wireTake(farm, found, names),
			products,
			leftOpen: found.end?.outcome === 'approved' ? open.length : 0,
		});
	}
	return ok(rows);
}

/** A difference is accepted with a reason or left open. After approval, accepting one that was left open posts it. */
export async function settleDifference(
	context: CommandContext,
	{ takeId, productId, verdict, why, by }: Input<'settleDifference'>,
): Promise<Result<{ posted: boolean }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const found = await findTake(tx, takeId);
	if (!found) return refuse('not.found', { what: 'stock take', id: takeId });
	if (found.end?.outcome === 'dropped') return ended(found);
	const line = (await takeLines(tx, farm, found)).find((each) => each.productId === productId);
	if (!line) return refuse('not.found', { what: 'product', id: productId });
	if (line.counted === null) return refuse('stockTake.notCounted', { product: line.name });
	if (line.posted) return ended(found);
	signedBy(by);
	await addVerdict(tx, { id: newId(), takeId, productId, verdict, why, who: by, saidAt: now });
	const late = found.end !== null && verdict === 'accepted';
	if (late) await postCounted(context, { take: found.take, line, why });
	return ok({ posted: late });
}

/** Posts the differences; what is more apart than measuring explains needs a word first. */
export async function approveStockTake(context: CommandContext, { takeId, by }: Input<'approveStockTake'>) {
	const { tx, farm, now, signedBy } = context;
	const found = await goingOn(tx, takeId);
	if (!found.ok) return found;
	const lines = await takeLines(tx, farm, found.value);
	const counted = lines.filter((line) => line.counted !== null);
	if (counted.length === 0) return refuse('stockTake.nothingCounted');
	const unsettled = counted.filter((line) => line.beyond && line.verdict === null);
	if (unsettled.length > 0) return refuse('stockTake.unsettled', { products: unsettled.map(({ name }) => name) });
	signedBy(by);
	await endTake(tx, { takeId, outcome: 'approved', why: null, who: by, endedAt: now });
	const settled = counted.filter((line) => line.verdict !== 'open');
	for (const line of settled) {
		const why = line.why ?? (line.difference === 0 ? 'agrees' : 'within what measuring explains');
		await postCounted(context, { take: found.value.take, line, why });
	}
	return ok({
		posted: settled.map(({ productId, difference }) => ({ productId, difference: difference ?? 0 })),
		leftOpen: counted.length - settled.length,
		notCounted: lines.filter((line) => line.counted === null).map(({ name }) => name),
	});
}

export async function dropStockTake(
	{ tx, now, signedBy }: CommandContext,
	{ takeId, why, by }: Input<'dropStockTake'>,
): Promise<Result<{ id: string }>> {
	const found = await goingOn(tx, takeId);
	if (!found.ok) return found;
	signedBy(by);
	await endTake(tx, { takeId, outcome: 'dropped', why, who: by, endedAt: now });
	return ok({ id: takeId });
}

async function goingOn(db: ReadDb, id: string): Promise<Result<Take>> {
	const found = await findTake(db, id);
	if (!found) return refuse('not.found', { what: 'stock take', id });
	return found.end ? ended(found) : ok(found);
}

function ended({ end }: Take) {
	return refuse('stockTake.ended', { outcome: end?.outcome ?? 'approved', by: end?.who ?? '' });
}

/** Every product with something on the book or an entry in this take, in the order of the shelves. */
export async function takeLines(db: ReadDb, farm: Farm, { take }: Take): Promise<TakeLine[]> {
	const entries = Map.groupBy(await takeEntries(db, take.id), ({ productId }) => productId);
	const [verdicts, book, places] = [
		await takeVerdicts(db, take.id),
		await bookAmounts(db, { store: take.storeId, until: take.freezeAt }),
		await lastPlaces(db, take.storeId),
	];
	const store = (await storesOf(db, farm)).find(({ storeId }) => storeId === storeToldOf(farm, take.storeId));
	const counts = await listCounts(db, { store: take.storeId });
	const posted = new Map(counts.filter((count) => count.takeId === take.id).map((count) => [count.productId, count]));
	const lines: TakeLine[] = [];
	for (const product of await listProducts<ProductDetails>(db)) {
		const own = entries.get(product.id) ?? [];
		const inBook = book.get(product.id) ?? 0;
		if (own.length === 0 && inBook === 0) continue;
		const before = counts.find((count) => count.productId === product.id && count.freezeAt < take.freezeAt);
		const done = posted.get(product.id);
		const line = {
			...namesOf(product),
			// Its own entry says where it stands in the first store.
			place: places.get(product.id) ?? (take.storeId === null ? product.place : undefined) ?? '',
			lastCountOn: before ? toLocalDate(before.freezeAt, farm.zone) : null,
			entries: own.map((entry) => wireEntry(farm, entry, own)),
			...verdictOf(verdicts.get(product.id)),
			posted: done !== undefined,
		};
		if (own.length === 0) {
			lines.push({ ...line, counted: null, book: fromStockAmount(inBook), ...notCompared });
			continue;
		}
		const standing = own.filter((entry) => stands(entry, own));
		const counted = standing.reduce((sum, entry) => sum + entry.counted, 0);
		const step = toStockAmount(farm.measureStep);
		const pours = await measuredPoursSince(db, {
			...{ productId: product.id, storeId: take.storeId, to: take.freezeAt },
			from: before?.freezeAt ?? Number.MIN_SAFE_INTEGER,
		});
		const countSigma = Math.hypot(...standing.map(({ sigma }) => sigma), standing.length > 0 ? step : 0);
		const { likelySize } = stockTake(
			[],
			{ countId: '', freezeAt: take.freezeAt, counted },
			{ measuredPours: pours, pourSigma: step, lastCountSigma: before ? (before.sigma ?? step) : 0, countSigma },
		);
		const against = done ? done.book : inBook;
		const likely = done ? done.likely : likelySize;
		lines.push({
			...line,
			counted: fromStockAmount(counted),
			book: fromStockAmount(against),
			difference: fromStockAmount(counted - against),
			likelySize: fromStockAmount(likely),
			beyond: Math.abs(counted - against) > likely,
		});
	}
	return lines.sort(inShelfOrder(store?.plan ?? null));
}

const notCompared = { difference: null, likelySize: null, beyond: false } as const;

function namesOf({ id, name, formulation, unit, packSizes, relativeDensity }: ProductRow<ProductDetails>) {
	return {
		productId: id,
		name,
		formulation,
		unit,
		packSizes: [...packSizes],
		relativeDensity: relativeDensity ?? null,
	};
}

function verdictOf(said: TakeVerdictStored | undefined) {
	return { verdict: said?.verdict ?? null, why: said?.why ?? null };
}

/** The newest entry of a product at a place stands; entries at other places are added to it. */
function stands(entry: TakeEntryStored, all: readonly TakeEntryStored[]): boolean {
	return all.findLast(({ place }) => place.toLowerCase() === entry.place.toLowerCase()) === entry;
}

function wireEntry(farm: Farm, entry: TakeEntryStored, all: readonly TakeEntryStored[]): TakeLine['entries'][number] {
	return {
		by: entry.who,
		at: toIso(entry.enteredAt, farm.zone),
		place: entry.place,
		full: JSON.parse(entry.fullPacks),
		parts: JSON.parse(entry.parts),
		amount: fromStockAmount(entry.counted),
		stands: stands(entry, all),
	};
}

async function storeNames(db: ReadDb, farm: Farm): Promise<Map<string, string>> {
	return new Map((await storesOf(db, farm)).map(({ storeId, name }) => [storeId, name]));
}

function wireTake({ id, zone }: Farm, { take, end }: Take, names: ReadonlyMap<string, string>): StockTake {
	const storeId = storeToldOf({ id }, take.storeId);
	return {
		id: take.id,
		storeId,
		store: names.get(storeId) ?? '',
		freezeAt: toIso(take.freezeAt, zone),
		blind: take.blind === 1,
		openedBy: take.openedBy,
		openedAt: toIso(take.openedAt, zone),
		outcome: end?.outcome ?? null,
		endedBy: end?.who ?? null,
		endedAt: end ? toIso(end.endedAt, zone) : null,
	};
}

function withoutBook(line: TakeLine): TakeLine {
	return { ...line, book: null, ...notCompared };
}

/** Along the shelves of the drawn plan, else by the names of the places; what has no place comes last. */
function inShelfOrder(plan: StorePlan | null) {
	const order = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });
	return (a: TakeLine, b: TakeLine): number => {
		if (a.place !== b.place && (a.place === '' || b.place === '')) return a.place === '' ? 1 : -1;
		const walked = placeOnWalk(plan, a.place) - placeOnWalk(plan, b.place);
		return walked || order.compare(a.place, b.place) || order.compare(a.name, b.name);
	};
}

/** Those beyond what measuring explains first, the furthest apart on top; products not counted last. */
function furthestApartFirst(lines: readonly TakeLine[]): TakeLine[] {
	const weight = ({ counted, beyond, difference, likelySize }: TakeLine) =>
		counted === null ? -1 : (beyond ? 1e6 : 0) + Math.abs(difference ?? 0) / Math.max(likelySize ?? 0, 1e-6);
	return [...lines].sort((a, b) => weight(b) - weight(a));
}
