import { ok, type Result, refuse } from '../../basics/result.ts';
import { toStockAmount } from '../../units/amount.ts';
import type { StockAmount } from '../../units/quantity.ts';
import type { ProductToLoad, ShelfContainer } from './loads-request.ts';

/** The containers of one product in the order in which they are drawn. */
export type ContainerSequence = {
	/** Amount drawn in all by the time each container is empty, in µL or mg. Endless where no pack size is known. */
	readonly ends: readonly StockAmount[];
	/** So many of the first were open already. */
	readonly opened: number;
};

/**
 * Which containers a job draws, in order: those in the store in the order they are taken, where that is known, else the
 * opened pack; then whole packs, the largest first.
 *
 *   packs of the largest size = ⌊need ÷ size⌋
 *   the rest: smaller whole packs where they make it up to the measuring step, else the smallest pack that holds it
 *
 * So the job opens the fewest containers, but takes several small ones where that leaves nothing to measure. One pack
 * to spare ends the sequence: rounding may draw a step beyond the need. Without pack sizes one endless container
 * stands for them all.
 * Takes a product, what the job needs of it and the measuring step. Refuses more than 20,000 containers.
 */
export function containerSequence(
	product: ProductToLoad,
	need: StockAmount,
	step: StockAmount,
	path: string,
): Result<ContainerSequence> {
	const shelf = shelfOf(product);
	const opened = shelf.filter((container) => container.opened).length;
	const ends: StockAmount[] = [];
	for (const { size } of shelf) ends.push((ends.at(-1) ?? 0) + toStockAmount(size));
	const sizes = [...new Set(product.packSizes.map(toStockAmount))].toSorted((a, b) => b - a);
	const [largest] = sizes;
	const smallest = sizes.at(-1);
	if (largest === undefined || smallest === undefined) {
		return ok({ ends: [...ends, Number.POSITIVE_INFINITY], opened });
	}
	const toOpen = Math.max(0, need - (ends.at(-1) ?? 0));
	if (toOpen / smallest > MOST_CONTAINERS) {
		return refuse('load.tooManyContainers', {
			path: `${path}.packSizes`,
			product: product.name,
			containers: Math.ceil(toOpen / smallest),
			most: MOST_CONTAINERS,
		});
	}
	const packs = [...packsFor(toOpen, sizes, step), smallest];
	for (const pack of packs) ends.push((ends.at(-1) ?? 0) + pack);
	return ok({ ends, opened });
}

/** What is in the store, in the order it is taken; the opened ones come first. */
function shelfOf({ onShelf, openedPack }: ProductToLoad): readonly ShelfContainer[] {
	if (onShelf && onShelf.length > 0) return onShelf;
	return openedPack > 0 ? [{ size: openedPack, opened: true }] : [];
}

/** A pack size entered in the wrong unit gives more; no sprayer job does. Our choice. */
const MOST_CONTAINERS = 20_000;

function packsFor(need: StockAmount, sizes: readonly StockAmount[], step: StockAmount): StockAmount[] {
	const packs: StockAmount[] = [];
	let rest = need;
	for (const size of sizes) {
		const count = Math.max(0, Math.floor((rest + step) / size));
		for (let pack = 0; pack < count; pack++) packs.push(size);
		rest -= count * size;
	}
	if (rest <= step) return packs;
	const [largest = 0] = sizes;
	const full = Math.floor((need + step) / largest);
	const last = sizes.findLast((size) => size >= need - full * largest) ?? largest;
	return [...Array.from({ length: full }, () => largest), last];
}
