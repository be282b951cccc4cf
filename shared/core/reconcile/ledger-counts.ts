import type { Instant, ProductAmount } from '../../units/quantity.ts';
import type { Booking, ProductCount } from './season-books.ts';

/** A ledger line of one product, in L or kg. */
export type ProductMovement = {
	readonly id: string;
	readonly kind: string;
	readonly amount: ProductAmount;
	readonly packSize: ProductAmount | null;
	readonly containerId: string | null;
	readonly at: Instant;
	readonly date: string;
	readonly document: string | null;
	readonly reverses: string | null;
};

/** A stock take of one product, in L or kg. */
export type CountedStock = { readonly at: Instant; readonly date: string; readonly counted: ProductAmount };

const NO_BOOKING: readonly string[] = ['load', 'load reversal', 'count adjustment', 'opening'];

/**
 * The counts a season is judged by, and what was booked between the first and the last.
 *
 *   first count: the last stock take up to `from`; without one, the book's own beginning, counted as it was opened
 *
 * Takes every movement and stock take of one product, and the season as instants. Opening postings are the count the
 * book began with; a book without them began empty. Postings that were reversed are left out with their reversal. The
 * loads to compare with are those after the first count given back and up to the last.
 */
export function countsAndBookings(
	movements: readonly ProductMovement[],
	stockTakes: readonly CountedStock[],
	season: { readonly from: Instant; readonly to: Instant },
): { counts: ProductCount[]; bookings: Booking[] } {
	const takes = [...stockTakes].sort((a, b) => a.at - b.at).filter((take) => take.at <= season.to);
	const firstTake = takes.findLast((take) => take.at <= season.from);
	const start = firstTake === undefined ? bookStart(movements) : asCount(firstTake, movements);
	if (start === null) return { counts: [], bookings: [] };
	const counts = [start, ...takes.filter((take) => take.at > start.at).map((take) => asCount(take, movements))];
	const last = counts.at(-1)?.at ?? start.at;
	const undone = new Set(movements.flatMap((movement) => movement.reverses ?? []));
	const bookings = movements
		.filter((movement) => !NO_BOOKING.includes(movement.kind))
		.filter((movement) => movement.reverses === null && !undone.has(movement.id))
		.filter((movement) => movement.at > start.at && movement.at <= last)
		.map(({ at, date, kind, amount, packSize, document }) => ({ at, date, kind, amount, packSize, document }));
	return { counts, bookings };
}

/** The beginning of the book: its opening postings, else nothing, just before the first movement. */
function bookStart(movements: readonly ProductMovement[]): ProductCount | null {
	const first = [...movements].sort((a, b) => a.at - b.at)[0];
	if (first === undefined) return null;
	const undone = new Set(movements.flatMap((movement) => movement.reverses ?? []));
	const opening = movements.filter((movement) => movement.kind === 'opening' && !undone.has(movement.id));
	return {
		at: first.at - 1,
		date: first.date,
		amount: opening.reduce((sum, movement) => sum + movement.amount, 0),
		openedContainers: opening.filter((movement) => movement.containerId !== null).length,
	};
}

/** A stock take with the containers that were open at the time by the book. */
function asCount(take: CountedStock, movements: readonly ProductMovement[]): ProductCount {
	const left = new Map<string, number>();
	for (const { containerId, amount, at } of movements) {
		if (containerId !== null && at <= take.at) left.set(containerId, amount + (left.get(containerId) ?? 0));
	}
	const openedContainers = [...left.values()].filter((amount) => amount > SMALLEST_AMOUNT).length;
	return { at: take.at, date: take.date, amount: take.counted, openedContainers };
}

/** Half a microlitre or milligram: below it, sums of L or kg are rounding. */
const SMALLEST_AMOUNT = 0.5e-6;
