import { invariant } from '../../basics/result.ts';
import type { StockAmount } from '../../units/quantity.ts';

/** Sealed packs of one size, batch and expiry. */
export type SealedPacks = {
	readonly lotId: string;
	readonly size: StockAmount;
	readonly expires: string | null;
	readonly received: number;
	readonly count: number;
};

/** An opened container and what the book says is left in it. */
export type OpenedContainer = {
	readonly containerId: string;
	readonly lotId: string;
	readonly size: StockAmount;
	readonly expires: string | null;
	readonly openedAt: number;
	readonly left: StockAmount;
};

export type Shelf = { readonly sealed: readonly SealedPacks[]; readonly opened: readonly OpenedContainer[] };

/** One change on the shelf. `opens` names the lot a container is newly opened from; its rest stays in that container. */
export type Posting =
	| { readonly from: 'opened'; readonly lotId: string; readonly containerId: string; readonly amount: StockAmount }
	| { readonly from: 'sealed'; readonly lotId: string; readonly amount: StockAmount }
	| { readonly from: 'newly opened'; readonly lotId: string; readonly size: StockAmount; readonly amount: StockAmount }
	| { readonly from: 'beyond the book'; readonly amount: StockAmount };

/**
 * Which containers an amount is taken from: opened ones first, then whole packs of the batch that expires first,
 * then a part of the smallest pack that holds the rest. What the shelf does not hold comes out as `beyond the book`.
 * Amounts in whole µL or mg; the postings add up to `amount`. Order of use: common practice (first expiring, first used).
 * A proposal only: the operator names what was really poured.
 */
export function chooseDraw(shelf: Shelf, amount: StockAmount): readonly Posting[] {
	invariant(Number.isInteger(amount) && amount >= 0, `A draw of ${amount} is not a whole amount.`);
	const postings: Posting[] = [];
	let rest = amount;
	for (const can of [...shelf.opened].sort(byExpiryThenOpened)) {
		const taken = Math.min(rest, Math.max(0, can.left));
		if (taken > 0) postings.push({ from: 'opened', lotId: can.lotId, containerId: can.containerId, amount: taken });
		rest -= taken;
	}
	const sealed = [...shelf.sealed].sort(byExpiryThenSize).map((packs) => ({ packs, left: Math.max(0, packs.count) }));
	for (const line of sealed) {
		const whole = Math.min(line.left, Math.floor(rest / line.packs.size));
		if (whole > 0) postings.push({ from: 'sealed', lotId: line.packs.lotId, amount: whole * line.packs.size });
		line.left -= whole;
		rest -= whole * line.packs.size;
	}
	while (rest > 0) {
		const open = packToOpen(sealed, rest);
		if (!open) break;
		const part = Math.min(rest, open.packs.size);
		open.left -= 1;
		postings.push({ from: 'newly opened', lotId: open.packs.lotId, size: open.packs.size, amount: part });
		rest -= part;
	}
	if (rest > 0) postings.push({ from: 'beyond the book', amount: rest });
	return postings;
}

/** The part of a shelf that lies in some lots. */
export function shelfOf({ sealed, opened }: Shelf, lots: ReadonlySet<string>): Shelf {
	return {
		sealed: sealed.filter(({ lotId }) => lots.has(lotId)),
		opened: opened.filter(({ lotId }) => lots.has(lotId)),
	};
}

/** What stands on a shelf: opened containers and whole packs. */
export function onShelf({ sealed, opened }: Shelf): StockAmount {
	const packs = sealed.reduce((sum, { size, count }) => sum + size * Math.max(0, count), 0);
	return packs + opened.reduce((sum, { left }) => sum + Math.max(0, left), 0);
}

/**
 * The draw where the operator names the lots it was poured from, in the order they were emptied: each as far as it goes.
 * What they do not hold comes out as `beyond the book`, whatever else stands on the shelf: it was not taken from there.
 */
export function drawFromLots(
	shelf: Shelf,
	amount: StockAmount,
	lotsInTurn: readonly ReadonlySet<string>[],
): readonly Posting[] {
	const postings: Posting[] = [];
	let rest = amount;
	for (const lots of lotsInTurn) {
		const part = shelfOf(shelf, lots);
		const taken = Math.min(rest, onShelf(part));
		if (taken > 0) postings.push(...chooseDraw(part, taken));
		rest -= taken;
	}
	if (rest > 0) postings.push({ from: 'beyond the book', amount: rest });
	return postings;
}

type Line = { readonly packs: SealedPacks; left: number };

function packToOpen(sealed: readonly Line[], rest: StockAmount): Line | undefined {
	const left = sealed.filter((line) => line.left > 0);
	const holds = left.filter((line) => line.packs.size >= rest);
	const firstExpiry = holds[0]?.packs.expires ?? null;
	const sameExpiry = holds.filter((line) => line.packs.expires === firstExpiry);
	return sameExpiry.sort((a, b) => a.packs.size - b.packs.size)[0] ?? left[0];
}

function byExpiryThenOpened(a: OpenedContainer, b: OpenedContainer): number {
	return compareExpiry(a.expires, b.expires) || a.openedAt - b.openedAt || compareText(a.containerId, b.containerId);
}

function byExpiryThenSize(a: SealedPacks, b: SealedPacks): number {
	return (
		compareExpiry(a.expires, b.expires) || b.size - a.size || a.received - b.received || compareText(a.lotId, b.lotId)
	);
}

/** No expiry date counts as the latest. */
function compareExpiry(a: string | null, b: string | null): number {
	if (a === b) return 0;
	if (a === null) return 1;
	if (b === null) return -1;
	return compareText(a, b);
}

function compareText(a: string, b: string): number {
	return a < b ? -1 : a > b ? 1 : 0;
}
