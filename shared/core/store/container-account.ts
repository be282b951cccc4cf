import { invariant } from '../../basics/result.ts';

/** Containers of one product and size, counted in pieces. */
export type ContainerCount = {
	/** Standing on the farm when the account begins: full, opened or empty. */
	readonly atStart: number;
	readonly delivered: number;
	readonly full: number;
	readonly opened: number;
	/** Rinsed and waiting for collection. */
	readonly emptyWaiting: number;
	/** Handed over against a note. */
	readonly collected: number;
	/** Left the farm full or opened: returned, lent, handed on. */
	readonly passedOn: number;
};

/**
 * Does every container that came in still stand somewhere, or on a note?
 *
 *   missing = at start + delivered − full − opened − empty waiting − collected − passed on
 *
 * In pieces. Above zero: containers are gone without a note. Below zero: more containers than the books ever received,
 * so a delivery is not booked or something was counted twice. Source: the account asked for by waste notes, packs
 * bought − packs full − packs empty on site = packs handed over (common practice).
 */
export function containersMissing(count: ContainerCount): number {
	for (const [what, pieces] of Object.entries(count)) {
		invariant(Number.isInteger(pieces) && pieces >= 0, `${pieces} containers (${what}) is not a number of pieces.`);
	}
	const { atStart, delivered, full, opened, emptyWaiting, collected, passedOn } = count;
	return atStart + delivered - full - opened - emptyWaiting - collected - passedOn;
}
