import type { StockAmount } from '../../units/quantity.ts';
import type { OpenedContainer, Shelf } from './draw.ts';

/** What stood on the shelf: full containers by size, opened ones with what was left. Whole µL or mg. */
export type CountedShelf = {
	readonly full: readonly { readonly size: StockAmount; readonly count: number }[];
	readonly parts: readonly { readonly size: StockAmount; readonly left: StockAmount }[];
};

/** One line of the shelf put right. `lotId` null: no batch on the book has this size. */
export type ShelfChange = {
	readonly lotId: string | null;
	readonly size: StockAmount;
	/** The opened container, `sealed` for whole packs, `new` for one the book did not know. */
	readonly place: 'sealed' | 'new' | { readonly containerId: string };
	readonly amount: StockAmount;
};

/**
 * What puts the shelf of the book right, container by container.
 *
 *   Σ changes = counted − Σ shelf, size by size for full containers, container by container for opened ones
 *
 * Full packs that are missing are taken off the batch that expires first; those found go to the only batch of their size,
 * else to one without a number. Opened containers are paired by size, fullest with fullest; one the book did not know
 * belongs to the batch a full pack of its size is missing from. Whole µL or mg.
 */
export function adjustShelf(shelf: Shelf, counted: CountedShelf): ShelfChange[] {
	const sizes = new Set([
		...shelf.sealed.map(({ size }) => size),
		...shelf.opened.map(({ size }) => size),
		...counted.full.map(({ size }) => size),
		...counted.parts.map(({ size }) => size),
	]);
	return [...sizes].sort((a, b) => b - a).flatMap((size) => changesOfSize(size, shelf, counted));
}

function changesOfSize(size: StockAmount, shelf: Shelf, counted: CountedShelf): ShelfChange[] {
	const changes: ShelfChange[] = [];
	const lots = shelf.sealed.filter((line) => line.size === size).sort(byExpiry);
	const onlyLot = lots.length === 1 ? (lots[0]?.lotId ?? null) : null;
	const full = counted.full.reduce((sum, line) => (line.size === size ? sum + line.count : sum), 0);
	let packs = full - lots.reduce((sum, line) => sum + line.count, 0);
	let missingFrom: string | null = null;
	if (packs > 0) changes.push({ lotId: onlyLot, size, place: 'sealed', amount: packs * size });
	for (const line of lots) {
		const gone = Math.min(-packs, line.count);
		if (gone <= 0) continue;
		changes.push({ lotId: line.lotId, size, place: 'sealed', amount: -gone * size });
		missingFrom ??= line.lotId;
		packs += gone;
	}
	const known = shelf.opened.filter((can) => can.size === size).sort((a, b) => b.left - a.left);
	const found = counted.parts.filter((part) => part.size === size && part.left > 0).sort((a, b) => b.left - a.left);
	for (const [index, part] of found.entries()) {
		const can = known[index];
		if (!can) changes.push({ lotId: missingFrom ?? onlyLot, size, place: 'new', amount: part.left });
		else if (can.left !== part.left) changes.push(changeOf(can, part.left));
	}
	return [...changes, ...known.slice(found.length).map((can) => changeOf(can, 0))];
}

function changeOf(can: OpenedContainer, left: StockAmount): ShelfChange {
	const { containerId, lotId, size } = can;
	return { lotId, size, place: { containerId }, amount: left - can.left };
}

function byExpiry(a: { expires: string | null; lotId: string }, b: { expires: string | null; lotId: string }): number {
	const left = `${a.expires ?? '9999'} ${a.lotId}`;
	const right = `${b.expires ?? '9999'} ${b.lotId}`;
	return left < right ? -1 : left > right ? 1 : 0;
}
