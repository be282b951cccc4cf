import type { Instant, StockAmount } from '../../units/quantity.ts';

/** A count of one product in one store; `store` null: the first. */
export type CountInStore = { readonly store: string | null; readonly freezeAt: Instant; readonly counted: StockAmount };
export type MovementInStore = {
	readonly store: string | null;
	readonly occurredAt: Instant;
	readonly amount: StockAmount;
};

/**
 * What stood on the whole farm of one product, as the counts of its stores say together.
 *
 *   amount(t) = Σ over stores (counted + Σ movements after its freeze time up to t)
 *
 * Given at the freeze time t of each count that completes a round: every store that holds the product by the book at t was
 * counted since the round before. With one store each count is such a time, and its amount is what was counted. A store
 * nobody counted would put the book in the place of a measurement, so until then nothing is said. Oldest first; whole µL
 * or mg. Takes all movements of the product, adjustments of counts among them.
 */
export function countsTogether(
	counts: readonly CountInStore[],
	movements: readonly MovementInStore[],
): { freezeAt: Instant; counted: StockAmount }[] {
	const inTurn = [...counts].sort((a, b) => a.freezeAt - b.freezeAt);
	const stores = new Set([...counts, ...movements].map(({ store }) => store));
	if (stores.size <= 1) return inTurn.map(({ freezeAt, counted }) => ({ freezeAt, counted }));
	const moved = (store: string | null, after: Instant, until: Instant) =>
		movements.reduce(
			(sum, row) => (row.store === store && row.occurredAt > after && row.occurredAt <= until ? sum + row.amount : sum),
			0,
		);
	const rounds: { freezeAt: Instant; counted: StockAmount }[] = [];
	let round = new Map<string | null, CountInStore>();
	for (const [index, count] of inTurn.entries()) {
		round.set(count.store, count);
		// Counts of one time belong to one round, in whatever order they come.
		if (inTurn[index + 1]?.freezeAt === count.freezeAt) continue;
		const at = count.freezeAt;
		const held = [...stores].filter((store) => !round.has(store) && moved(store, Number.NEGATIVE_INFINITY, at) !== 0);
		if (held.length > 0) continue;
		const counted = [...round.values()].reduce((sum, own) => sum + own.counted + moved(own.store, own.freezeAt, at), 0);
		rounds.push({ freezeAt: at, counted });
		round = new Map();
	}
	return rounds;
}
