import type { z } from 'zod';
import { findJob } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import { listMovements } from '../../db/modules/store.ts';
import { loadsInLedger } from '../../db/modules/store-sums.ts';
import {
	addBag,
	addCollection,
	addEmptiesCount,
	addRinse,
	bagsClosed,
	collectionLines,
	lastBag,
	listCollections,
	rinses,
} from '../../db/modules/waste.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Collection, Empties, wasteContract } from '../../shared/contract/waste.ts';
import { capsAndFoils } from '../../shared/core/products/closure.ts';
import type { Emptied } from '../../shared/core/store/container-tally.ts';
import { keepUntil, type WasteKind, wasteRules } from '../../shared/core/store/waste-kinds.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toIso, toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { alphabetical } from './report-table.ts';
import { containerAccount, type Standing, standingCollections, type Unit } from './waste-account.ts';

type Input<Name extends keyof typeof wasteContract> = z.output<
	(typeof wasteContract)[Name]['~orpc']['inputSchema'] & z.ZodType
>;

/** What became of every container, from the ledger and the collections. */
export async function empties({ db, farm }: QueryContext): Promise<Result<Empties>> {
	const { sizes, ofProducts, emptiedBy, collections, products } = await containerAccount(db);
	const unitOf = (productId: string): Unit => products.get(productId)?.unit ?? 'L';
	const bags = await bagsClosed(db);
	const bagsCollected = piecesOf(collections, 'caps and foils');
	return ok({
		sizes: [...sizes.values()].sort((a, b) => (a.unit === b.unit ? b.size - a.size : a.unit < b.unit ? 1 : -1)),
		products: ofProducts.sort((a, b) => alphabetical(a.product, b.product) || b.size - a.size),
		loads: await emptyingLoads(db, { emptiedBy, unitOf, zone: farm.zone }),
		bags: {
			...{ closed: bags, collected: bagsCollected, waiting: bags - bagsCollected },
			...(await looseSinceLastBag(db, farm.zone, { emptiedBy, products })),
		},
		collections: await wireCollections(db, products),
	});
}

/** Caps and foils of the containers emptied since the newest bag was tied, from what is known of their closures. */
async function looseSinceLastBag(
	db: ReadDb,
	zone: string,
	books: { readonly emptiedBy: readonly Emptied[]; readonly products: ReadonlyMap<string, ProductDetails> },
) {
	const last = await lastBag(db);
	const loads = await loadsInLedger(db);
	const after = books.emptiedBy.filter(({ loadLogId }) => {
		const load = loads.get(loadLogId);
		return load !== undefined && (last === null || toLocalDate(load.occurredAt, zone) > last.closedOn);
	});
	const closureOf = ({ productId, size }: Emptied) =>
		books.products.get(productId)?.closures?.find((closure) => toStockAmount(closure.size) === size);
	return {
		since: last?.closedOn ?? null,
		loose: capsAndFoils(after.map((each) => ({ closure: closureOf(each), pieces: each.pieces }))),
	};
}

/** Counts what lies there; the book goes on from the count, and what it was out by stays as missing. */
export async function countEmpties(
	context: CommandContext,
	{ lines, date, why, by }: Input<'countEmpties'>,
): Promise<Result<{ lines: { size: number; unit: Unit; pieces: number; book: number }[] }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const twice = lines.find(
		(line, at) => lines.findIndex(({ size, unit }) => size === line.size && unit === line.unit) < at,
	);
	if (twice) return refuse('input.invalid', { path: 'lines', why: `${twice.size} ${twice.unit} stands twice` });
	const { sizes: known, book: books } = await containerAccount(tx);
	const stranger = lines.find(({ size, unit }) => !known.has(`${size} ${unit}`));
	if (stranger) {
		const sizes = [...known.keys()];
		return refuse('waste.sizeUnknown', { size: stranger.size, unit: stranger.unit, sizes });
	}
	signedBy(by);
	const counted = [];
	for (const { size, unit, pieces } of lines) {
		const book = books.get(`${size} ${unit}`) ?? 0;
		await addEmptiesCount(tx, {
			...{ id: newId(), farmId: farm.id, countedOn: date ?? toLocalDate(now, farm.zone), size: toStockAmount(size) },
			...{ unit, pieces, book, why: why ?? null, who: by, postedAt: now, userId: farm.userId, deviceId: farm.deviceId },
		});
		counted.push({ size, unit, pieces, book: Math.max(0, book) });
	}
	return ok({ lines: counted });
}

export async function noteRinse(
	{ tx, now, newId, signedBy }: CommandContext,
	{ loadLogIds, how, by }: Input<'noteRinse'>,
): Promise<Result<{ noted: number }>> {
	const known = new Set((await listMovements(tx, { loadLogIds })).map(({ loadLogId }) => loadLogId));
	const stranger = loadLogIds.find((id) => !known.has(id));
	if (stranger) return refuse('not.found', { what: 'load log', id: stranger });
	signedBy(by);
	for (const loadLogId of loadLogIds) await addRinse(tx, { id: newId(), loadLogId, how, who: by, notedAt: now });
	return ok({ noted: loadLogIds.length });
}

export async function closeBag(
	{ tx, farm, now, newId, signedBy }: CommandContext,
	{ date, by }: Input<'closeBag'>,
): Promise<Result<{ id: string }>> {
	signedBy(by);
	const id = newId();
	await addBag(tx, {
		id,
		farmId: farm.id,
		closedOn: date ?? toLocalDate(now, farm.zone),
		who: by,
		postedAt: now,
	});
	return ok({ id });
}

/** Hands empties over against a note. More than the book has is refused unless the caller says they were there. */
export async function collect(
	context: CommandContext,
	input: Input<'collect'>,
): Promise<Result<{ id: string; keepUntil: string }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const twice = (await standingCollections(tx)).find(
		({ row }) => sameText(row.noteNo, input.noteNo) && sameText(row.carrier, input.carrier),
	);
	if (twice) {
		return refuse('waste.noteTwice', { note: input.noteNo, carrier: input.carrier, on: twice.row.collectedOn });
	}
	const unclear = await unclearLine(tx, input.lines);
	if (unclear) return unclear;
	const short = input.allowMore ? null : await moreThanWaiting(tx, input.lines);
	if (short) return short;
	signedBy(input.by);
	const id = newId();
	const on = input.date ?? toLocalDate(now, farm.zone);
	const until = keepUntil(
		on,
		input.lines.map(({ kind }) => kind),
	);
	const { carrier, registrationNo, noteNo, by } = input;
	await addCollection(
		tx,
		{
			...{ id, farmId: farm.id, collectedOn: on, carrier, registrationNo, noteNo, keepUntil: until },
			...{ reverses: null, why: null, who: by, postedAt: now },
		},
		input.lines.map(({ kind, size, unit, productId, pieces }, position) => ({
			...{ collectionId: id, position, kind, code: wasteRules[kind].code, pieces },
			size: size === undefined ? null : toStockAmount(size),
			unit: unit ?? null,
			productId: productId ?? null,
		})),
	);
	return ok({ id, keepUntil: until });
}

/** The first line that names no size where it needs one, or a product where there is none such. */
async function unclearLine(db: ReadDb, lines: Input<'collect'>['lines']) {
	const named = lines.flatMap(({ productId }) => productId ?? []);
	const products = await findProducts<ProductDetails>(db, named);
	for (const [index, { kind, size, unit, productId }] of lines.entries()) {
		const wrong = (what: string, why: string) => refuse('input.invalid', { path: `lines[${index}].${what}`, why });
		const isContainer = kind === 'rinsed containers' || kind === 'unrinsed containers';
		if (isContainer !== (size !== undefined && unit !== undefined))
			return wrong('size', isContainer ? 'containers need their size and its unit' : `${kind} have no size`);
		if (productId === undefined) continue;
		if (!isContainer) return wrong('productId', `${kind} are not kept by product`);
		const product = products.get(productId);
		if (!product) return refuse('not.found', { what: 'product', id: productId });
		if (product.unit !== unit) return wrong('unit', `${product.name} is kept in ${product.unit}`);
	}
	return null;
}

export async function takeBackCollection(
	{ tx, now, newId, signedBy }: CommandContext,
	{ collectionId, why, by }: Input<'takeBack'>,
): Promise<Result<{ id: string }>> {
	const all = await listCollections(tx);
	const row = all.find(({ id, reverses }) => id === collectionId && reverses === null);
	if (!row) return refuse('not.found', { what: 'collection', id: collectionId });
	if (all.some(({ reverses }) => reverses === collectionId)) return refuse('waste.takenBack', { note: row.noteNo });
	signedBy(by);
	const id = newId();
	await addCollection(tx, { ...row, id, reverses: collectionId, why, who: by, postedAt: now }, []);
	return ok({ id });
}

type EmptyingInput = {
	readonly emptiedBy: readonly Emptied[];
	readonly unitOf: (productId: string) => Unit;
	readonly zone: string;
};

/** Loads that emptied containers, newest first, with how they were rinsed. */
async function emptyingLoads(db: ReadDb, { emptiedBy, unitOf, zone }: EmptyingInput) {
	const said = await rinses(db);
	const firstOf = await loadsInLedger(db);
	const names = new Map<string, string>();
	const loads: Empties['loads'] = [];
	for (const [loadLogId, emptied] of Map.groupBy(emptiedBy, (each) => each.loadLogId)) {
		const row = firstOf.get(loadLogId);
		if (!row?.jobId) continue;
		if (!names.has(row.jobId)) names.set(row.jobId, (await findJob(db, row.jobId))?.job.name ?? '?');
		const bySize = new Map<string, { size: number; unit: Unit; pieces: number }>();
		for (const { productId, size, pieces } of emptied) {
			const unit = unitOf(productId);
			const line = bySize.get(`${size} ${unit}`) ?? { size: fromStockAmount(size), unit, pieces: 0 };
			bySize.set(`${size} ${unit}`, { ...line, pieces: line.pieces + pieces });
		}
		loads.push({
			loadLogId,
			jobId: row.jobId,
			job: names.get(row.jobId) ?? '?',
			load: row.loadNumber ?? 0,
			on: toIso(row.occurredAt, zone),
			containers: [...bySize.values()].sort((a, b) => b.size - a.size),
			rinsed: said.get(loadLogId)?.how ?? null,
			rinsedBy: said.get(loadLogId)?.who ?? null,
		});
	}
	return loads.sort((a, b) => Date.parse(b.on) - Date.parse(a.on));
}

async function wireCollections(
	db: ReadDb,
	products: ReadonlyMap<string, { readonly name: string }>,
): Promise<Collection[]> {
	const rows = await listCollections(db);
	const lines = Map.groupBy(await collectionLines(db), ({ collectionId }) => collectionId);
	return rows
		.filter(({ reverses }) => reverses === null)
		.map((row) => ({
			id: row.id,
			on: row.collectedOn,
			carrier: row.carrier,
			registrationNo: row.registrationNo,
			noteNo: row.noteNo,
			keepUntil: row.keepUntil,
			by: row.who,
			takenBack: rows.find(({ reverses }) => reverses === row.id)?.why ?? null,
			lines: (lines.get(row.id) ?? []).map(({ kind, code, size, unit, productId, pieces }) => ({
				...{ kind: kind as WasteKind, code, unit, productId, pieces },
				product: productId === null ? null : (products.get(productId)?.name ?? '?'),
				hazardous: wasteRules[kind as WasteKind].hazardous,
				size: size === null ? null : fromStockAmount(size),
			})),
		}));
}

function piecesOf(collections: readonly Standing[], kind: WasteKind): number {
	return collections
		.flatMap(({ lines }) => lines)
		.reduce((sum, line) => (line.kind === kind ? sum + line.pieces : sum), 0);
}

/** The first product, size or the bags, of which more were entered than wait by the book. */
async function moreThanWaiting(db: ReadDb, lines: Input<'collect'>['lines']) {
	const { sizes, ofProducts, collections, products } = await containerAccount(db);
	const bagsWaiting = (await bagsClosed(db)) - piecesOf(collections, 'caps and foils');
	const entered = new Map<string, { what: string; waiting: number; pieces: number }>();
	const enter = (what: string, waiting: number, { pieces }: { pieces: number }, key = what) => {
		const before = entered.get(key)?.pieces ?? 0;
		entered.set(key, { what, waiting: Math.max(0, waiting), pieces: before + pieces });
	};
	for (const line of lines) {
		const { kind, size, unit, productId } = line;
		if (productId !== undefined) {
			const own = ofProducts.find((each) => each.productId === productId && each.size === size);
			const what = `${products.get(productId)?.name} ${size} ${unit} containers`;
			enter(what, own?.waiting ?? 0, line, `${productId} ${size}`);
		}
		if (size !== undefined) enter(`${size} ${unit} containers`, sizes.get(`${size} ${unit}`)?.waiting ?? 0, line);
		else if (kind === 'caps and foils') enter('bags of caps and foils', bagsWaiting, line);
	}
	const short = [...entered.values()].find(({ pieces, waiting }) => pieces > waiting);
	return short ? refuse('waste.moreThanWaiting', short) : null;
}

function sameText(a: string, b: string): boolean {
	return a.trim().toLowerCase() === b.trim().toLowerCase();
}
