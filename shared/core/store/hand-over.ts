import type { StockAmount } from '../../units/quantity.ts';
import { chooseDraw, type Posting, type SealedPacks, type Shelf } from './draw.ts';

/**
 * What leaves a store for somebody else: containers go as they stand, nobody opens one to give a part of it away.
 *
 *   amount = whole packs,   or   all that is left in one opened container + whole packs
 *
 * Whole packs alone come first, the largest sizes first, the batch that expires first. An amount that cannot be put
 * together so is drawn as a load would draw it (`chooseDraw`). In whole µL or mg. Common practice.
 */
export function chooseHandOver(shelf: Shelf, amount: StockAmount): readonly Posting[] {
	const packs = wholePacks(shelf.sealed, amount);
	if (packs) return packs;
	for (const { left, lotId, containerId } of shelf.opened) {
		if (left <= 0 || left > amount) continue;
		const rest = left === amount ? [] : wholePacks(shelf.sealed, amount - left);
		if (rest) return [{ from: 'opened', lotId, containerId, amount: left }, ...rest];
	}
	return chooseDraw(shelf, amount);
}

/** Packs that hold exactly this; null where none do. */
function wholePacks(sealed: readonly SealedPacks[], amount: StockAmount): Posting[] | null {
	const bySize = [
		...Map.groupBy(
			sealed.filter(({ count }) => count > 0),
			({ size }) => size,
		),
	].sort(([a], [b]) => b - a);
	const counts = countsOf(
		bySize.map(([size, lines]) => ({ size, most: lines.reduce((sum, { count }) => sum + count, 0) })),
		amount,
	);
	if (!counts || amount <= 0) return null;
	return bySize.flatMap(([size, lines], index) => {
		let wanted = counts[index] ?? 0;
		return lines.toSorted(byExpiry).flatMap(({ lotId, count }): Posting[] => {
			const taken = Math.min(wanted, count);
			wanted -= taken;
			return taken === 0 ? [] : [{ from: 'sealed', lotId, amount: taken * size }];
		});
	});
}

/** How many packs of each size, the largest first; null where no numbers add up. */
function countsOf(
	[first, ...others]: readonly { readonly size: StockAmount; readonly most: number }[],
	amount: StockAmount,
): number[] | null {
	if (!first) return amount === 0 ? [] : null;
	for (let count = Math.min(first.most, Math.floor(amount / first.size)); count >= 0; count--) {
		const rest = countsOf(others, amount - count * first.size);
		if (rest) return [count, ...rest];
	}
	return null;
}

/** No expiry date counts as the latest. */
function byExpiry(a: SealedPacks, b: SealedPacks): number {
	const [one, other] = [a.expires ?? '9999', b.expires ?? '9999'];
	return one === other ? a.received - b.received : one < other ? -1 : 1;
}
