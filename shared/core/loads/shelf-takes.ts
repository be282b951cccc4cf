import type { StockAmount } from '../../units/quantity.ts';

/** One container of the shelf, in the order it is taken; `line` names the shelf line it stands on. */
export type ContainerOnLine = {
	readonly left: StockAmount;
	readonly opened: boolean;
	readonly line: string;
	/** Which opened container it is; sealed packs of one line are all alike. */
	readonly container?: string | undefined;
};

export type ShelfTake = {
	/** An opened container emptied, whole packs, part of a container, or what the store does not hold. */
	readonly what: 'opened' | 'full' | 'measured' | 'not in the store';
	readonly line: string | null;
	/** The opened container it comes out of; null: a pack that was still sealed when the job was planned. */
	readonly container: string | null;
	/** Opened before this load: on the shelf already, or by an earlier load. */
	readonly begun: boolean;
	readonly count: number;
	readonly size: StockAmount;
	readonly amount: StockAmount;
};

/**
 * From which shelf line each container of one load is taken.
 *
 * Takes the containers in their order and the amounts drawn before and after the load. A container that an earlier load
 * began is an opened one; what ends inside a container is measured out of it; beyond the last container the store does
 * not hold it. The takes add up to the load's amount.
 */
export function takesBetween(containers: readonly ContainerOnLine[], from: StockAmount, to: StockAmount): ShelfTake[] {
	const takes: ShelfTake[] = [];
	let start = 0;
	for (const { left, opened, line, container = null } of containers) {
		const end = start + left;
		const amount = Math.min(end, to) - Math.max(start, from);
		const begun = opened || start < from;
		const size = start < from ? end - from : left;
		start = end;
		if (amount <= 0) continue;
		const what = end > to ? 'measured' : begun ? 'opened' : 'full';
		const last = takes.at(-1);
		if (what === 'full' && last?.what === 'full' && last.line === line && last.size === size) {
			takes[takes.length - 1] = { ...last, count: last.count + 1, amount: last.amount + amount };
		} else takes.push({ what, line, container, begun, count: 1, size, amount });
	}
	const missing = to - Math.max(start, from);
	if (missing > 0) {
		const nowhere = { what: 'not in the store', line: null, container: null, begun: false } as const;
		takes.push({ ...nowhere, count: 1, size: missing, amount: missing });
	}
	return takes;
}
