import { invariant } from '../../basics/result.ts';
import type { StockAmount } from '../../units/quantity.ts';

/** A ledger line as the container account sees it. `ofKind`: its own kind, for a reversal the kind of what it reverses. */
export type ContainerLine = {
	readonly productId: string;
	readonly size: StockAmount;
	readonly containerId: string | null;
	readonly amount: StockAmount;
	readonly ofKind: 'delivery' | 'opening' | 'load' | 'count' | 'other';
	readonly loadLogId: string | null;
};

/** Containers of one product and size, in pieces. */
export type ContainerTally = {
	readonly productId: string;
	readonly size: StockAmount;
	readonly delivered: number;
	readonly full: number;
	readonly opened: number;
	/** Run empty into loads: these are to be rinsed and handed over. */
	readonly emptied: number;
	/** Left with something in them: returned, lent, disposed of; less what came in so. */
	readonly passedOn: number;
	/** Found by stock takes. */
	readonly found: number;
	/** Missed by stock takes: gone without a note. */
	readonly missed: number;
};

export type Emptied = {
	readonly loadLogId: string;
	readonly productId: string;
	readonly size: StockAmount;
	readonly pieces: number;
};

type Counting = { -readonly [Name in keyof ContainerTally]: ContainerTally[Name] };
type Can = { left: StockAmount; readonly counting: Counting; last: ContainerLine };

/**
 * What became of every container, from the ledger alone.
 *
 *   delivered + found = full + opened + emptied + passed on + missed
 *
 * Takes all lines of the store, oldest posting first. A pack leaves whole (its kind says where to), or is opened and
 * then counts as opened until nothing is left in it; the line that took the last of it says where it went. One whose
 * opening was taken back stands among the full ones again. In pieces.
 */
export function tallyContainers(lines: readonly ContainerLine[]): {
	tallies: ContainerTally[];
	emptiedBy: Emptied[];
} {
	const tallies = new Map<string, Counting>();
	const cans = new Map<string, Can>();
	const emptied = new Map<string, Emptied>();
	const empty = (line: ContainerLine, pieces: number) => {
		if (line.loadLogId === null) return;
		const key = `${line.loadLogId} ${line.productId} ${line.size}`;
		const before = emptied.get(key)?.pieces ?? 0;
		const { loadLogId, productId, size } = line;
		emptied.set(key, { loadLogId, productId, size, pieces: before + pieces });
	};
	for (const line of lines) {
		const counting = tallyOf(tallies, line);
		if (line.containerId !== null) {
			const can = cans.get(line.containerId);
			if (!can && line.ofKind !== 'opening') move(counting, line.ofKind, 1);
			if (can) Object.assign(can, { left: can.left + line.amount, last: line });
			else cans.set(line.containerId, { left: line.amount, counting, last: line });
			continue;
		}
		const packs = line.amount / line.size;
		invariant(Number.isInteger(packs), `${line.amount} is not a number of whole packs of ${line.size}.`);
		counting.full += packs;
		if (line.ofKind === 'opening') continue;
		move(counting, line.ofKind, packs);
		if (line.ofKind === 'load') empty(line, -packs);
	}
	for (const { left, counting, last } of cans.values()) {
		if (left > 0) counting.opened += 1;
		else if (last.ofKind !== 'opening') {
			move(counting, last.ofKind, -1);
			if (last.ofKind === 'load') empty(last, 1);
		}
	}
	return { tallies: [...tallies.values()], emptiedBy: [...emptied.values()].filter(({ pieces }) => pieces !== 0) };
}

/** Pieces that came in (+) or went (−) by this kind of line. */
function move(counting: Counting, kind: Exclude<ContainerLine['ofKind'], 'opening'>, pieces: number): void {
	if (kind === 'delivery') counting.delivered += pieces;
	else if (kind === 'load') counting.emptied -= pieces;
	else if (kind === 'other') counting.passedOn -= pieces;
	else if (pieces > 0) counting.found += pieces;
	else counting.missed -= pieces;
}

function tallyOf(tallies: Map<string, Counting>, { productId, size }: ContainerLine): Counting {
	const key = `${productId} ${size}`;
	const known = tallies.get(key);
	if (known) return known;
	const none = { delivered: 0, full: 0, opened: 0, emptied: 0, passedOn: 0, found: 0, missed: 0 };
	const made = { productId, size, ...none };
	tallies.set(key, made);
	return made;
}
