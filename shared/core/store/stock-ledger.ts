import { invariant } from '../../basics/result.ts';
import { LARGEST_STOCK_AMOUNT } from '../../units/amount.ts';
import type { StockAmount } from '../../units/quantity.ts';

/** One line of the ledger: what entered (+) or left (−) one place in the store. */
export type LedgerLine = {
	readonly productId: string;
	readonly amount: StockAmount;
	/** Batch and pack size it belongs to; null: drawn beyond the book. */
	readonly lotId: string | null;
	/** The opened container; null: whole packs of the lot. */
	readonly containerId: string | null;
};

/** Packs of one product, size, batch and expiry. */
export type Lot = {
	readonly lotId: string;
	readonly productId: string;
	readonly packSize: StockAmount;
	readonly batch: string | null;
	readonly expires: string | null;
};

/** What one place holds: the whole packs of a lot, an opened container, or what was drawn beyond the book. */
export type StockPlace = LedgerLine;

/** The whole packs of one lot. */
export type LotStock = Lot & { readonly count: number };
/** An opened container with what is left in it. */
export type OpenedContainer = Lot & { readonly containerId: string; readonly left: StockAmount };

export type ProductStock = {
	readonly productId: string;
	/** Sum of all movements. */
	readonly amount: StockAmount;
	readonly packs: readonly { readonly size: StockAmount; readonly count: number }[];
	readonly opened: readonly OpenedContainer[];
	readonly lots: readonly LotStock[];
	/** In a lot, but neither a whole pack nor in an opened container. */
	readonly loose: StockAmount;
	/** Drawn beyond the book, as a positive amount, until a stock take closes it. */
	readonly openDiscrepancy: StockAmount;
};

/**
 * What every place in the store holds.
 *
 *   balance of a place [µL or mg] = Σ movements of that place
 *
 * Takes ledger lines in any order; gives the places that are not empty, by product, lot and container. Whole numbers
 * throughout: a fraction, or a sum too large to be exact, is a bug and throws.
 */
export function stockPlaces(lines: readonly LedgerLine[]): StockPlace[] {
	const places = new Map<string, StockPlace>();
	for (const { productId, lotId, containerId, amount } of lines) {
		const place = JSON.stringify([productId, lotId, containerId]);
		const balance = exactSum(places.get(place)?.amount ?? 0, amount);
		places.set(place, { productId, lotId, containerId, amount: balance });
	}
	return [...places.values()].filter((place) => place.amount !== 0).sort(byPlace);
}

/**
 * What is in the store, product by product.
 *
 *   amount = Σ packs × size + Σ left in opened containers + loose − open discrepancy
 *
 * Takes ledger lines and the lots they name; gives one entry for each product the ledger knows, empty ones too.
 * A place below zero (drawn beyond the book) is added up as the open discrepancy, never hidden in another place.
 */
export function stockOnHand(lines: readonly LedgerLine[], lots: readonly Lot[]): ProductStock[] {
	const lotById = new Map(lots.map((lot) => [lot.lotId, lot]));
	const placesOf = new Map<string, StockPlace[]>();
	for (const line of lines) placesOf.set(line.productId, []);
	for (const place of stockPlaces(lines)) placesOf.get(place.productId)?.push(place);
	return [...placesOf]
		.sort(([a], [b]) => compareText(a, b))
		.map(([productId, places]) => stockOfProduct(productId, places, lotById));
}

/** The lines that undo these lines: the same places, the opposite amounts. A line and its reversal add up to nothing. */
export function reversalOf<Line extends LedgerLine>(lines: readonly Line[]): Line[] {
	return lines.map((line) => ({ ...line, amount: -line.amount }));
}

/** Whole packs, opened containers and the rest of one product. */
function stockOfProduct(
	productId: string,
	places: readonly StockPlace[],
	lotById: ReadonlyMap<string, Lot>,
): ProductStock {
	const lots: LotStock[] = [];
	const opened: OpenedContainer[] = [];
	const packs = new Map<StockAmount, number>();
	let amount = 0;
	let loose = 0;
	let openDiscrepancy = 0;
	for (const place of places) {
		amount = exactSum(amount, place.amount);
		const lot = place.lotId === null ? null : lotOf(place.lotId, lotById);
		if (place.amount < 0) openDiscrepancy -= place.amount;
		else if (lot === null) loose += place.amount;
		else if (place.containerId !== null) {
			opened.push({ ...lot, containerId: place.containerId, left: place.amount });
		} else {
			const count = Math.floor(place.amount / lot.packSize);
			if (count > 0) lots.push({ ...lot, count });
			if (count > 0) packs.set(lot.packSize, (packs.get(lot.packSize) ?? 0) + count);
			loose += place.amount - count * lot.packSize;
		}
	}
	lots.sort(firstExpiring);
	opened.sort(firstExpiring);
	const sizes = [...packs].sort(([a], [b]) => b - a).map(([size, count]) => ({ size, count }));
	return { productId, amount, packs: sizes, opened, lots, loose, openDiscrepancy };
}

/** Order of use: the batch that expires first, undated ones last. */
export function firstExpiring(a: Lot, b: Lot): number {
	return compareText(a.expires ?? '9999', b.expires ?? '9999') || compareText(a.lotId, b.lotId);
}

function lotOf(lotId: string, lotById: ReadonlyMap<string, Lot>): Lot {
	const lot = lotById.get(lotId);
	invariant(lot !== undefined && lot.packSize > 0, `The ledger names lot ${lotId}, which has no pack size.`);
	return lot;
}

function exactSum(a: StockAmount, b: StockAmount): StockAmount {
	const sum = a + b;
	invariant(Number.isInteger(b), `A stock amount of ${b} is not a whole number of microlitres or milligrams.`);
	invariant(Math.abs(sum) <= LARGEST_STOCK_AMOUNT, `A stock balance of ${sum} is too large to be exact.`);
	return sum;
}

function byPlace(a: StockPlace, b: StockPlace): number {
	return (
		compareText(a.productId, b.productId) ||
		compareText(a.lotId ?? '', b.lotId ?? '') ||
		compareText(a.containerId ?? '', b.containerId ?? '')
	);
}

function compareText(a: string, b: string): number {
	if (a === b) return 0;
	return a < b ? -1 : 1;
}
