import { findProducts } from '../../db/modules/products.ts';
import {
	addCount,
	bookAmount,
	bookAmounts,
	listCounts,
	listMovements,
	lotFor,
	lotsOf,
	type MovementStored,
	type NewMovement,
	post,
	type StoreId,
	shelves,
} from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Movement } from '../../shared/contract/store.ts';
import { stockTake } from '../../shared/core/store/stock-take.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { endOfDay, startOfDay, toInstant, toIso, toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { drawFromShelf, foundOnShelf } from './shelf.ts';
import { shortInStore, storeInLedger, storeSaid, storeToldOf } from './stores.ts';

const NOON = 'T12:00:00';

type Delivery = {
	readonly productId: string;
	readonly storeId?: string | undefined;
	readonly packSize: number;
	readonly packs: number;
	readonly date?: string | undefined;
	readonly batch?: string | undefined;
	readonly expires?: string | undefined;
	readonly note?: string | undefined;
	readonly price?: number | undefined;
	readonly by?: string | undefined;
};

/** Books a delivery of whole packs; the same product, size, batch and expiry join one shelf line. */
export async function receive(context: CommandContext, input: Delivery): Promise<Result<{ movementIds: string[] }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const product = (await findProducts<ProductDetails>(tx, [input.productId])).get(input.productId);
	if (!product) return refuse('not.found', { what: 'product', id: input.productId });
	if (!product.packSizes.includes(input.packSize)) {
		return refuse('product.packUnknown', {
			product: product.name,
			size: input.packSize,
			unit: product.unit,
			sizes: product.packSizes,
		});
	}
	const store = await storeSaid(tx, farm, input.storeId);
	if (!store.ok) return store;
	const packSize = toStockAmount(input.packSize);
	const who = input.by ?? farm.operator ?? farm.userId;
	signedBy(who);
	const lotId = await lotFor(
		tx,
		{ productId: input.productId, packSize, batch: input.batch ?? null, expires: input.expires ?? null },
		{ id: newId(), now },
	);
	const rows = await post(tx, context, [
		{
			productId: input.productId,
			storeId: store.value,
			kind: 'delivery',
			amount: packSize * input.packs,
			lotId,
			containerId: null,
			occurredAt: dayOf(input.date, farm.zone, now),
			who,
			document: input.note ?? null,
			price: input.price ?? null,
		},
	]);
	return ok({ movementIds: idsOf(rows) });
}

type Count = {
	readonly productId: string;
	readonly storeId?: string | undefined;
	readonly counted: number;
	readonly why: string;
	readonly by: string;
	readonly date?: string | undefined;
	readonly at?: string | undefined;
};

/** Enters a stock take of one product and posts what it differs by; the count stands even if movements come in late. */
export async function count(context: CommandContext, input: Count) {
	const { tx, farm, now, newId, signedBy } = context;
	const product = (await findProducts<ProductDetails>(tx, [input.productId])).get(input.productId);
	if (!product) return refuse('not.found', { what: 'product', id: input.productId });
	const said = await storeSaid(tx, farm, input.storeId);
	if (!said.ok) return said;
	const storeId = said.value;
	signedBy(input.by);
	const freezeAt = input.at ? toInstant(input.at, farm.zone) : freezeOf(input.date, farm.zone, now);
	const counted = toStockAmount(input.counted);
	const book = await bookAmount(tx, input.productId, { store: storeId, until: freezeAt });
	const difference = counted - book;
	const [before] = await listCounts(tx, { store: storeId, productId: input.productId, to: freezeAt });
	const pours = await measuredPoursSince(tx, {
		...{ productId: input.productId, storeId, to: freezeAt },
		from: before?.freezeAt ?? Number.MIN_SAFE_INTEGER,
	});
	const step = toStockAmount(farm.measureStep);
	const { likelySize } = stockTake(
		[],
		{ countId: '', freezeAt, counted },
		{ measuredPours: pours, pourSigma: step, lastCountSigma: before ? (before.sigma ?? step) : 0, countSigma: step },
	);
	const countId = newId();
	await addCount(tx, {
		id: countId,
		productId: input.productId,
		freezeAt,
		counted,
		book,
		likely: likelySize,
		why: input.why,
		who: input.by,
		postedAt: now,
		takeId: null,
		sigma: step,
		storeId,
	});
	const shelf = (await shelves(tx, { store: storeId, productIds: [input.productId] })).get(input.productId);
	const common = {
		storeId,
		occurredAt: freezeAt,
		who: input.by,
		why: input.why,
		countId,
		kind: 'count adjustment' as const,
	};
	const beyond = shelf?.beyondBook ?? 0;
	const movements: NewMovement[] = [];
	if (beyond !== 0) {
		movements.push({ ...common, productId: input.productId, amount: -beyond, lotId: null, containerId: null });
	}
	const rest = difference + beyond;
	if (rest < 0)
		movements.push(...(await drawFromShelf(context, { productId: input.productId, amount: -rest, ...common })));
	if (rest > 0) {
		const packSizes = product.packSizes.map(toStockAmount);
		movements.push(
			...(await foundOnShelf(context, { productId: input.productId, amount: rest, packSizes, ...common })),
		);
	}
	if (movements.length > 0) await post(tx, context, movements);
	return ok({
		bookAmount: fromStockAmount(book),
		difference: fromStockAmount(difference),
		unit: product.unit,
		likelySize: fromStockAmount(likelySize),
	});
}

/** Pours that left an opened container since a time: each was measured, not a whole pack. */
export async function measuredPoursSince(
	db: ReadDb,
	{ productId, storeId, from, to }: { productId: string; storeId: StoreId; from: number; to: number },
): Promise<number> {
	const rows = await listMovements(db, { store: storeId, productId, from, to });
	return rows.filter((row) => row.kind === 'load' && row.containerId !== null).length;
}

export async function counts(
	{ db, farm }: QueryContext,
	input: { productId?: string | undefined; from?: string | undefined; to?: string | undefined },
) {
	const rows = await listCounts(db, {
		store: 'all',
		productId: input.productId,
		from: input.from && startOfDay(input.from, farm.zone),
		to: input.to && endOfDay(input.to, farm.zone),
	} as Parameters<typeof listCounts>[1]);
	const products = await findProducts<ProductDetails>(db, [...new Set(rows.map((row) => row.productId))]);
	return ok(
		rows.map((row) => ({
			id: row.id,
			productId: row.productId,
			product: products.get(row.productId)?.name ?? '?',
			unit: products.get(row.productId)?.unit ?? ('L' as const),
			storeId: storeToldOf(farm, row.storeId),
			on: toLocalDate(row.freezeAt, farm.zone),
			counted: fromStockAmount(row.counted),
			bookAmount: fromStockAmount(row.book),
			difference: fromStockAmount(row.counted - row.book),
			likelySize: fromStockAmount(row.likely),
			why: row.why,
			by: row.who,
		})),
	);
}

type MovementQuery = {
	readonly productId?: string | undefined;
	readonly storeId?: string | undefined;
	readonly from?: string | undefined;
	readonly to?: string | undefined;
	readonly limit: number;
};

/** The ledger, newest first, each line with the product's balance after it. */
export async function movements({ db, farm }: QueryContext, input: MovementQuery): Promise<Result<Movement[]>> {
	const from = input.from ? startOfDay(input.from, farm.zone) : undefined;
	const to = input.to ? endOfDay(input.to, farm.zone) : undefined;
	const store = input.storeId === undefined ? 'all' : storeInLedger(farm, input.storeId);
	const rows = await listMovements(db, { store, productId: input.productId, from, to, limit: input.limit });
	const products = await findProducts<ProductDetails>(db, [...new Set(rows.map((row) => row.productId))]);
	const lots = await lotsOf(db, input.productId);
	// From the newest line back: the balance before a line is the one after it less its amount.
	const balance = await bookAmounts(db, { store, until: to });
	const lines: Movement[] = [];
	for (const row of rows) {
		const after = balance.get(row.productId) ?? 0;
		balance.set(row.productId, after - row.amount);
		const product = products.get(row.productId);
		const lot = row.lotId ? lots.get(row.lotId) : undefined;
		lines.push({
			id: row.id,
			seq: row.seq,
			productId: row.productId,
			product: product?.name ?? '?',
			unit: product?.unit ?? 'L',
			kind: row.kind,
			amount: fromStockAmount(row.amount),
			balance: fromStockAmount(after),
			packSize: lot ? fromStockAmount(lot.packSize) : null,
			batch: lot?.batch ?? null,
			storeId: storeToldOf(farm, row.storeId),
			occurredAt: toIso(row.occurredAt, farm.zone),
			postedAt: toIso(row.postedAt, farm.zone),
			who: row.who,
			why: row.why,
			document: row.document,
			jobId: row.jobId,
			load: row.loadNumber,
			reverses: row.reverses,
		});
	}
	return ok(lines);
}

type OtherPosting = {
	readonly productId: string;
	readonly storeId?: string | undefined;
	readonly kind: 'disposal' | 'return' | 'spill' | 'transfer' | 'loan';
	readonly amount: number;
	readonly date?: string | undefined;
	readonly why: string;
	readonly by: string;
	readonly document?: string | undefined;
};

/** Books what leaves the store, or comes back, otherwise than by a load. */
export async function postOther(
	context: CommandContext,
	input: OtherPosting,
): Promise<Result<{ movementIds: string[] }>> {
	const { tx, farm, now, signedBy } = context;
	const product = (await findProducts<ProductDetails>(tx, [input.productId])).get(input.productId);
	if (!product) return refuse('not.found', { what: 'product', id: input.productId });
	const store = await storeSaid(tx, farm, input.storeId);
	if (!store.ok) return store;
	signedBy(input.by);
	const common = {
		productId: input.productId,
		storeId: store.value,
		kind: input.kind,
		occurredAt: dayOf(input.date, farm.zone, now),
		who: input.by,
		why: input.why,
		document: input.document ?? null,
	};
	const amount = toStockAmount(Math.abs(input.amount));
	if (amount === 0) return refuse('input.invalid', { path: 'amount', why: 'is too small to book' });
	if (input.amount < 0) {
		const packSizes = product.packSizes.map(toStockAmount);
		return ok({
			movementIds: idsOf(await post(tx, context, await foundOnShelf(context, { ...common, amount, packSizes }))),
		});
	}
	const drawn = await drawFromShelf(context, { ...common, amount, handedOver: input.kind !== 'spill' });
	const short = drawn.find((row) => row.lotId === null);
	if (short) {
		const have = fromStockAmount(amount + short.amount);
		const need = fromStockAmount(amount);
		return shortInStore(context, {
			productId: product.id,
			storeId: store.value,
			product: product.name,
			unit: product.unit,
			have,
			need,
		});
	}
	return ok({ movementIds: idsOf(await post(tx, context, drawn)) });
}

export function idsOf(rows: readonly MovementStored[]): string[] {
	return rows.filter((row) => row.kind !== 'count adjustment').map((row) => row.id);
}

/** A day without a time stands for noon; today stands for now. */
export function dayOf(date: string | undefined, zone: string, now: number): number {
	if (!date || date === toLocalDate(now, zone)) return now;
	return toInstant(`${date}${NOON}`, zone);
}

function freezeOf(date: string | undefined, zone: string, now: number): number {
	if (!date || date === toLocalDate(now, zone)) return now;
	return endOfDay(date, zone);
}
