import { invariant } from '../../basics/result.ts';
import type { StockAmount } from '../../units/quantity.ts';
import { chooseDraw, type OpenedContainer, type Posting, type SealedPacks, type Shelf } from './draw.ts';

/** A container, or whole packs of one line, as the plan of a load named them. */
export type NamedTake = {
	/** Null: the plan found it not in the store, so nothing is named. */
	readonly lotId: string | null;
	/** The opened container; null: one that an earlier load opened, or packs that are sealed. */
	readonly containerId: string | null;
	/** Opened before this load: one container. Else packs that were sealed. */
	readonly begun: boolean;
	/** Of one container; of an opened one what was left in it. */
	readonly size: StockAmount;
	readonly amount: StockAmount;
};

export type PlannedDraw<Take extends NamedTake> = {
	/** What is drawn altogether: the amounts add up to what was asked for. */
	readonly postings: readonly Posting[];
	/** What was named and is not there any more. */
	readonly missing: readonly { readonly take: Take; readonly amount: StockAmount }[];
	/** What is drawn in the place of that; it is part of the postings. */
	readonly instead: readonly Posting[];
};

/**
 * Draws a load from the containers its plan named.
 *
 * Each is drawn as far as it is there: an opened container by its identity, one that an earlier load opened as the newest
 * opened of its line, sealed packs by their line. What is not there is drawn by the store's order (`chooseDraw`) from what
 * is left then, and said. What goes beyond the plan comes out of the container begun last, then by the store's order: it
 * was named by nobody, so it is not "not as named". Amounts in whole µL or mg.
 */
export function drawAsPlanned<Take extends NamedTake>(
	shelf: Shelf,
	amount: StockAmount,
	named: readonly Take[],
): PlannedDraw<Take> {
	invariant(Number.isInteger(amount) && amount >= 0, `A draw of ${amount} is not a whole amount.`);
	const store = new ShelfInHand(shelf);
	const missing: { take: Take; amount: StockAmount }[] = [];
	let rest = amount;
	for (const take of named) {
		const wanted = Math.min(take.amount, rest);
		if (wanted <= 0 || take.lotId === null) continue;
		const taken = take.begun ? store.takeOpened(take, wanted) : store.takeSealed(take.lotId, wanted);
		if (taken < wanted) missing.push({ take, amount: wanted - taken });
		rest -= wanted;
	}
	const lacking = missing.reduce((sum, line) => sum + line.amount, 0);
	const instead = chooseDraw(store.shelf(), lacking).map((posting) => store.put(posting));
	rest -= store.takeBegunLast(rest);
	for (const posting of chooseDraw(store.shelf(), rest)) store.put(posting);
	return { postings: store.postings(), missing, instead };
}

/**
 * The named takes less what an earlier part of the load drew already, in their order. A pack that the earlier part began
 * stands opened now: nobody knew its number when it was planned.
 */
export function takesAfter<Take extends NamedTake>(named: readonly Take[], drawn: StockAmount): Take[] {
	let before = drawn;
	return named.flatMap((take) => {
		const gone = Math.min(before, take.amount);
		before -= gone;
		const rest = take.amount - gone;
		const inPack = take.begun ? 0 : gone % take.size;
		if (inPack === 0) return rest > 0 ? [{ ...take, amount: rest }] : [];
		const ofOpened = Math.min(rest, take.size - inPack);
		const opened = { ...take, begun: true, size: take.size - inPack, amount: ofOpened };
		return [opened, { ...take, amount: rest - ofOpened }].filter(({ amount }) => amount > 0);
	});
}

type Opened = { readonly can: OpenedContainer; left: StockAmount; drawn: StockAmount; readonly now: boolean };
type Sealed = { readonly packs: SealedPacks; count: number; drawn: StockAmount };

/** A shelf while it is drawn from. */
class ShelfInHand {
	readonly #opened: Opened[];
	readonly #sealed: Sealed[];
	#last: Opened | null = null;
	#beyond: StockAmount = 0;

	constructor({ opened, sealed }: Shelf) {
		this.#opened = opened.map((can) => ({ can, left: Math.max(0, can.left), drawn: 0, now: false }));
		this.#sealed = sealed.map((packs) => ({ packs, count: Math.max(0, packs.count), drawn: 0 }));
	}

	shelf(): Shelf {
		return {
			opened: this.#opened.map(({ can, left }) => ({ ...can, left })),
			sealed: this.#sealed.map(({ packs, count }) => ({ ...packs, count })),
		};
	}

	takeOpened({ containerId, lotId }: NamedTake, wanted: StockAmount): StockAmount {
		const of = this.#opened.filter(({ can, left }) =>
			containerId === null ? can.lotId === lotId && left > 0 : can.containerId === containerId,
		);
		const newest = of.toSorted((a, b) => b.can.openedAt - a.can.openedAt)[0];
		return newest ? this.#pour(newest, wanted) : 0;
	}

	/** Whole packs of a line, then a part of one that is opened for it. */
	takeSealed(lotId: string, wanted: StockAmount): StockAmount {
		const line = this.#line(lotId);
		if (!line) return 0;
		const { size } = line.packs;
		const whole = Math.min(line.count, Math.floor(wanted / size));
		line.count -= whole;
		line.drawn += whole * size;
		const part = Math.min(wanted - whole * size, line.count > 0 ? size : 0);
		return whole * size + (part > 0 ? this.#open(line, part) : 0);
	}

	takeBegunLast(wanted: StockAmount): StockAmount {
		return this.#last ? this.#pour(this.#last, wanted) : 0;
	}

	/** Does what a posting says. A container opened in this very draw is still a newly opened one. */
	put(posting: Posting): Posting {
		if (posting.from === 'beyond the book') this.#beyond += posting.amount;
		else if (posting.from === 'opened') {
			const can = this.#opened.find(({ can: { containerId } }) => containerId === posting.containerId);
			invariant(can, 'an opened container is drawn from that stands on the shelf');
			this.#pour(can, posting.amount);
			const { lotId, size } = can.can;
			if (can.now) return { from: 'newly opened', lotId, size, amount: posting.amount };
		} else this.takeSealed(posting.lotId, posting.amount);
		return posting;
	}

	postings(): Posting[] {
		const emptied = new Map<string, StockAmount>();
		const newly: Posting[] = [];
		for (const { can, drawn } of this.#opened.filter(({ now }) => now)) {
			const { lotId, size } = can;
			// Opened and emptied at once it is a whole pack.
			if (drawn === size) emptied.set(lotId, (emptied.get(lotId) ?? 0) + size);
			else newly.push({ from: 'newly opened', lotId, size, amount: drawn });
		}
		return [
			...this.#opened
				.filter(({ now, drawn }) => !now && drawn > 0)
				.map(({ can: { lotId, containerId }, drawn }) => ({
					from: 'opened' as const,
					lotId,
					containerId,
					amount: drawn,
				})),
			...this.#sealed
				.map(({ packs: { lotId }, drawn }) => ({
					from: 'sealed' as const,
					lotId,
					amount: drawn + (emptied.get(lotId) ?? 0),
				}))
				.filter(({ amount }) => amount > 0),
			...newly,
			...(this.#beyond > 0 ? [{ from: 'beyond the book' as const, amount: this.#beyond }] : []),
		];
	}

	#line(lotId: string): Sealed | undefined {
		return this.#sealed.find(({ packs }) => packs.lotId === lotId);
	}

	#open(line: Sealed, amount: StockAmount): StockAmount {
		const { lotId, size, expires } = line.packs;
		const containerId = `opened now ${this.#opened.length}`;
		line.count -= 1;
		const can = { containerId, lotId, size, expires, openedAt: Number.MAX_SAFE_INTEGER, left: size };
		const opened = { can, left: size, drawn: 0, now: true };
		this.#opened.push(opened);
		return this.#pour(opened, amount);
	}

	#pour(can: Opened, wanted: StockAmount): StockAmount {
		const taken = Math.min(wanted, can.left);
		can.left -= taken;
		can.drawn += taken;
		if (taken > 0) this.#last = can;
		return taken;
	}
}
