import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import type { MovementStored } from '../../db/modules/store.ts';
import { containerMovements } from '../../db/modules/store-sums.ts';
import {
	type CollectionLineStored,
	type CollectionStored,
	collectionLines,
	type EmptiesCountStored,
	emptiesCounts,
	listCollections,
	rinses,
} from '../../db/modules/waste.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { Empties } from '../../shared/contract/waste.ts';
import { containersMissing } from '../../shared/core/store/container-account.ts';
import { type ContainerLine, type ContainerTally, tallyContainers } from '../../shared/core/store/container-tally.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import type { ProductDetails } from './products.ts';

export type Unit = 'L' | 'kg';
type SizeLine = Empties['sizes'][number];
type ProductLine = Empties['products'][number];
/** What the account of a size and that of a product and size have in common. */
type Counts = Pick<
	ProductLine,
	'delivered' | 'found' | 'full' | 'opened' | 'emptied' | 'notRinsed' | 'waiting' | 'collected' | 'passedOn' | 'missing'
>;

/**
 * Every container by its size, `5 L`, and by product and size: from the ledger, the collections and the hand counts.
 * What was collected or counted by size only is of no product; it stands in `notTold` and is not shared out.
 */
export async function containerAccount(db: ReadDb) {
	const { tallies, emptiedBy } = tallyContainers(await containerLines(db));
	const products = new Map<string, ProductRow<ProductDetails>>(
		(await listProducts<ProductDetails>(db)).map((product) => [product.id, product]),
	);
	const collections = await standingCollections(db);
	const taken = collections.flatMap(({ lines }) => lines);
	const ofProducts = new Map<string, ProductLine>();
	const lineOf = (productId: string, stockSize: number) => {
		const key = `${productId} ${stockSize}`;
		const { name = '?', unit = 'L' } = products.get(productId) ?? {};
		const line = ofProducts.get(key) ?? {
			...{ productId, product: name, size: fromStockAmount(stockSize), unit },
			...{ ...none, missed: 0 },
		};
		ofProducts.set(key, line);
		return line;
	};
	for (const tally of tallies) Object.assign(lineOf(tally.productId, tally.size), fromLedger(tally));
	const said = await rinses(db);
	for (const { loadLogId, productId, size, pieces } of emptiedBy)
		if (said.get(loadLogId)?.how === 'not rinsed') lineOf(productId, size).notRinsed += pieces;
	for (const { productId, size, kind, pieces } of taken) {
		if (productId === null || size === null) continue;
		const line = lineOf(productId, size);
		line.collected += pieces;
		if (kind === 'unrinsed containers') line.notRinsed -= pieces;
	}
	const sizes = new Map<string, SizeLine>();
	for (const line of ofProducts.values()) {
		Object.assign(line, waitingOf(line, line.emptied - line.collected));
		const whole = sizeLine(sizes, line.size, line.unit);
		for (const name of summed) whole[name] += line[name];
	}
	for (const { size, unit, productId, kind, pieces } of taken) {
		if (size === null || unit === null || productId !== null) continue;
		const line = sizeLine(sizes, fromStockAmount(size), unit);
		line.collected += pieces;
		if (kind === 'unrinsed containers') line.notRinsed -= pieces;
	}
	const counts = await emptiesCounts(db);
	/** Empties by the book, below zero where more were collected than ever ran empty. */
	const book = new Map<string, number>();
	for (const [key, line] of sizes) {
		const own = counts.filter(({ size, unit }) => fromStockAmount(size) === line.size && unit === line.unit);
		const told = [...ofProducts.values()].filter(({ size, unit }) => size === line.size && unit === line.unit);
		const sumOf = (name: 'waiting' | 'collected' | 'missing') => told.reduce((sum, each) => sum + each[name], 0);
		const empties = sumOf('waiting') - (line.collected - sumOf('collected')) + gapOf(own);
		book.set(key, empties);
		Object.assign(line, waitingOf(line, empties), { counted: wireCount(own.at(-1)) });
		for (const name of ['waiting', 'collected', 'missing'] as const) line.notTold[name] = line[name] - sumOf(name);
	}
	return { sizes, book, ofProducts: [...ofProducts.values()], emptiedBy, collections, products };
}

const none: Counts = {
	...{ delivered: 0, found: 0, full: 0, opened: 0, emptied: 0, notRinsed: 0, waiting: 0, collected: 0, passedOn: 0 },
	missing: 0,
};
const summed = ['delivered', 'found', 'full', 'opened', 'emptied', 'notRinsed', 'collected', 'passedOn'] as const;

function fromLedger({ delivered, found, full, opened, emptied, passedOn, missed }: ContainerTally) {
	return { delivered, found, full, opened, emptied, passedOn, missed };
}

/** The ledger as the container account sees it; what was drawn beyond the book has no container. */
async function containerLines(db: ReadDb): Promise<ContainerLine[]> {
	return (await containerMovements(db)).map(({ kind, ...line }) => ({ ...line, ofKind: accountKind(kind) }));
}

function accountKind(kind: MovementStored['kind'] | undefined): ContainerLine['ofKind'] {
	if (kind === 'load' || kind === 'load reversal') return 'load';
	if (kind === 'count adjustment') return 'count';
	return kind === 'delivery' || kind === 'opening' ? kind : 'other';
}

function sizeLine(sizes: Map<string, SizeLine>, size: number, unit: Unit) {
	const key = `${size} ${unit}`;
	const notTold = { waiting: 0, collected: 0, missing: 0 };
	const line = sizes.get(key) ?? { size, unit, ...none, notTold, counted: null };
	sizes.set(key, line);
	return line;
}

/** What hand counts found too many (+) or too few (−) of the empties, all of them together. */
function gapOf(counts: readonly EmptiesCountStored[]): number {
	return counts.reduce((sum, { pieces, book }) => sum + pieces - book, 0);
}

function wireCount(count: EmptiesCountStored | undefined) {
	return count ? { on: count.countedOn, pieces: count.pieces, book: Math.max(0, count.book), by: count.who } : null;
}

/** Waiting are the empties by the book, never below none; missing by the account over all that ever came in. */
function waitingOf(line: Counts, empties: number) {
	const { delivered, found, opened, collected } = line;
	const waiting = Math.max(0, empties);
	const notRinsed = Math.max(0, Math.min(waiting, line.notRinsed));
	// A loan that came in, or a pack taken twice, turns the sign: it then counts with what came in.
	const cameIn = Math.max(0, -line.passedOn) + Math.max(0, -line.full);
	const missing = containersMissing({
		atStart: found + cameIn,
		delivered,
		full: Math.max(0, line.full),
		opened,
		emptyWaiting: waiting,
		collected,
		passedOn: Math.max(0, line.passedOn),
	});
	return { waiting, notRinsed, missing };
}

export type Standing = { readonly row: CollectionStored; readonly lines: readonly CollectionLineStored[] };

/** Collections that were not taken back. */
export async function standingCollections(db: ReadDb): Promise<Standing[]> {
	const rows = await listCollections(db);
	const takenBack = new Set(rows.map(({ reverses }) => reverses));
	const lines = Map.groupBy(await collectionLines(db), ({ collectionId }) => collectionId);
	return rows
		.filter(({ id, reverses }) => reverses === null && !takenBack.has(id))
		.map((row) => ({ row, lines: lines.get(row.id) ?? [] }));
}
