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
} from '../../db/modules/waste.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { Empties } from '../../shared/contract/waste.ts';
import { containersMissing } from '../../shared/core/store/container-account.ts';
import { type ContainerLine, tallyContainers } from '../../shared/core/store/container-tally.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import type { ProductDetails } from './products.ts';

export type Unit = 'L' | 'kg';
type SizeLine = Empties['sizes'][number];
type Sizes = Map<string, SizeLine>;

/** Every container by its size, `5 L`: from the ledger, the collections and the hand counts. */
export async function containerAccount(db: ReadDb) {
	const { tallies, emptiedBy } = tallyContainers(await containerLines(db));
	const products = new Map<string, ProductRow<ProductDetails>>(
		(await listProducts<ProductDetails>(db)).map((product) => [product.id, product]),
	);
	const collections = await standingCollections(db);
	const sizes: Sizes = new Map();
	for (const tally of tallies) {
		const line = sizeLine(sizes, fromStockAmount(tally.size), products.get(tally.productId)?.unit ?? 'L');
		for (const name of ['delivered', 'found', 'full', 'opened', 'emptied', 'passedOn'] as const) {
			line[name] += tally[name];
		}
	}
	for (const { size, unit, pieces } of collections.flatMap(({ lines }) => lines)) {
		if (size !== null && unit !== null) sizeLine(sizes, fromStockAmount(size), unit).collected += pieces;
	}
	const counts = await emptiesCounts(db);
	/** Empties by the book, below zero where more were collected than ever ran empty. */
	const book = new Map<string, number>();
	for (const [key, line] of sizes) {
		const own = counts.filter(({ size, unit }) => fromStockAmount(size) === line.size && unit === line.unit);
		const empties = line.emptied - line.collected + gapOf(own);
		book.set(key, empties);
		Object.assign(line, waitingOf(line, empties), { counted: wireCount(own.at(-1)) });
	}
	return { sizes, book, tallies, emptiedBy, collections, products };
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

function sizeLine(sizes: Sizes, size: number, unit: Unit) {
	const key = `${size} ${unit}`;
	const known = sizes.get(key);
	if (known) return known;
	const none = { delivered: 0, found: 0, full: 0, opened: 0, emptied: 0, waiting: 0, collected: 0, passedOn: 0 };
	const made = { size, unit, ...none, missing: 0, counted: null };
	sizes.set(key, made);
	return made;
}

/** What hand counts found too many (+) or too few (−) of the empties, all of them together. */
function gapOf(counts: readonly EmptiesCountStored[]): number {
	return counts.reduce((sum, { pieces, book }) => sum + pieces - book, 0);
}

function wireCount(count: EmptiesCountStored | undefined) {
	return count ? { on: count.countedOn, pieces: count.pieces, book: Math.max(0, count.book), by: count.who } : null;
}

/** Waiting = emptied − collected ± hand counts, never below none; missing by the account over all that ever came in. */
function waitingOf(line: SizeLine, empties: number) {
	const { delivered, found, opened, collected } = line;
	const waiting = Math.max(0, empties);
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
	return { waiting, missing };
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
