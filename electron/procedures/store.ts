import { findProducts, listProducts } from '../../db/modules/products.ts';
import {
	addCount,
	balances,
	bookAmount,
	bookAmounts,
	countAtOrAfter,
	findMovement,
	handedOut,
	listCounts,
	listMovements,
	lotFor,
	lotsOf,
	type MovementStored,
	type NewMovement,
	post,
	reversalOf,
	shelves,
} from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Movement, StockLine } from '../../shared/contract/store.ts';
import { stockTake } from '../../shared/core/store/stock-take.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { endOfDay, startOfDay, toInstant, toIso, toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { batchAmounts, drawFromShelf, foundOnShelf } from './shelf.ts';

const NOON = 'T12:00:00';

type Delivery = {
	readonly productId: string;
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

/** What the book says is in the store, product by product. */
export async function onHand({ db, farm }: QueryContext): Promise<Result<StockLine[]>> {
	const products = await listProducts<ProductDetails>(db);
	const shelf = await shelves(db);
	const lots = await lotsOf(db);
	const counted = new Map<string, number>();
	const away = await handedOut(db);
	for (const count of await listCounts(db, {})) {
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
				lots: sealed.map((line) => ({
					lotId: line.lotId,
					size: fromStockAmount(line.size),
					batch: lots.get(line.lotId)?.batch ?? null,
					expires: line.expires,
					count: line.count,
				})),
				batches: batchAmounts({ sealed, opened }, lots),
				openDiscrepancy: fromStockAmount(beyondBook),
				onLoan: fromStockAmount(away.get(product.id)?.loan ?? 0),
				elsewhere: fromStockAmount(away.get(product.id)?.transfer ?? 0),
				lastCountOn: countedAt === undefined ? null : toLocalDate(countedAt, farm.zone),
			};
		}),
	);
}

type Count = {
	readonly productId: string;
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
	signedBy(input.by);
	const freezeAt = input.at ? toInstant(input.at, farm.zone) : freezeOf(input.date, farm.zone, now);
	const counted = toStockAmount(input.counted);
	const book = await bookAmount(tx, input.productId, freezeAt);
	const difference = counted - book;
	const [before] = await listCounts(tx, { productId: input.productId, to: freezeAt });
	const pours = await measuredPoursSince(tx, input.productId, before?.freezeAt ?? Number.MIN_SAFE_INTEGER, freezeAt);
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
	});
	const shelf = (await shelves(tx, [input.productId])).get(input.productId);
	const common = { occurredAt: freezeAt, who: input.by, why: input.why, countId, kind: 'count adjustment' as const };
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
export async function measuredPoursSince(db: ReadDb, productId: string, from: number, to: number): Promise<number> {
	const rows = await listMovements(db, { productId, from, to });
	return rows.filter((row) => row.kind === 'load' && row.containerId !== null).length;
}

export async function counts(
	{ db, farm }: QueryContext,
	input: { productId?: string | undefined; from?: string | undefined; to?: string | undefined },
) {
	const rows = await listCounts(db, {
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
	readonly from?: string | undefined;
	readonly to?: string | undefined;
	readonly limit: number;
};

/** The ledger, newest first, each line with the product's balance after it. */
export async function movements({ db, farm }: QueryContext, input: MovementQuery): Promise<Result<Movement[]>> {
	const from = input.from ? startOfDay(input.from, farm.zone) : undefined;
	const to = input.to ? endOfDay(input.to, farm.zone) : undefined;
	const rows = await listMovements(db, { productId: input.productId, from, to, limit: input.limit });
	const products = await findProducts<ProductDetails>(db, [...new Set(rows.map((row) => row.productId))]);
	const lots = await lotsOf(db, input.productId);
	// From the newest line back: the balance before a line is the one after it less its amount.
	const balance = await bookAmounts(db, to);
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
	signedBy(input.by);
	const common = {
		productId: input.productId,
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
		return refuse('store.short', { product: product.name, unit: product.unit, have, need: fromStockAmount(amount) });
	}
	return ok({ movementIds: idsOf(await post(tx, context, drawn)) });
}

/** Takes back a wrong posting by its mirror image. A load is taken back through its job, a count by another count. */
export async function reverseMovement(
	context: CommandContext,
	input: { movementId: string; why: string; by: string },
): Promise<Result<{ movementIds: string[] }>> {
	const { tx, signedBy } = context;
	const row = await findMovement(tx, input.movementId);
	if (!row) return refuse('not.found', { what: 'movement', id: input.movementId });
	if (['load', 'load reversal', 'opening', 'count adjustment', 'reversal'].includes(row.kind)) {
		return refuse('input.invalid', { path: 'movementId', why: `a ${row.kind} is not reversed here` });
	}
	if (await reversalOf(tx, row.id))
		return refuse('input.invalid', { path: 'movementId', why: 'it is reversed already' });
	const used = await usedSince(tx, row);
	if (used) return used;
	signedBy(input.by);
	const { productId, lotId, containerId, occurredAt, document } = row;
	const rows = await post(tx, context, [
		{
			kind: 'reversal',
			productId,
			amount: -row.amount,
			lotId,
			containerId,
			occurredAt,
			document,
			who: input.by,
			why: input.why,
			reverses: row.id,
		},
	]);
	return ok({ movementIds: idsOf(rows) });
}

/** What came in and was used since cannot be taken back from its line, unless a stock take after it stands. */
async function usedSince(tx: CommandContext['tx'], row: MovementStored) {
	if (row.amount < 0 || (await countAtOrAfter(tx, row.productId, row.occurredAt))) return null;
	const held = (await balances(tx, [row.productId])).find(
		({ lotId, containerId }) => lotId === row.lotId && containerId === row.containerId,
	);
	if (held && held.amount >= row.amount) return null;
	const product = (await findProducts<ProductDetails>(tx, [row.productId])).get(row.productId);
	return refuse('movement.usedSince', {
		product: product?.name ?? row.productId,
		unit: product?.unit ?? '',
		have: fromStockAmount(held?.amount ?? 0),
		need: fromStockAmount(row.amount),
	});
}

function idsOf(rows: readonly MovementStored[]): string[] {
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
