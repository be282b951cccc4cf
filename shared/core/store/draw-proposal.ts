import { invariant } from '../../basics/result.ts';
import type { StockAmount } from '../../units/quantity.ts';
import type { ProductStock } from './stock-ledger.ts';

/** One step of a draw: from an opened container, as whole packs, or out of a pack that is opened for it. */
export type DrawStep =
	| {
			readonly from: 'opened container';
			readonly lotId: string;
			readonly containerId: string;
			readonly amount: StockAmount;
	  }
	| { readonly from: 'whole packs'; readonly lotId: string; readonly packs: number; readonly amount: StockAmount }
	| {
			readonly from: 'newly opened pack';
			readonly lotId: string;
			readonly amount: StockAmount;
			/** What stays in the pack, now an opened container. */
			readonly left: StockAmount;
	  };

export type DrawProposal = {
	readonly steps: readonly DrawStep[];
	/** What the book does not hold. */
	readonly beyondBook: StockAmount;
};

/**
 * Which packs to take an amount from: opened containers first, then whole packs, each from the batch that expires
 * first; the last pack is opened when only part of it is needed.
 *
 *   amount = Σ steps + beyond the book
 *
 * Takes the stock of one product and a whole amount in µL or mg. A proposal only: the operator names what was really
 * poured. Common practice (first expiring, first used).
 */
export function proposeDraw(stock: ProductStock, amount: StockAmount): DrawProposal {
	invariant(Number.isInteger(amount) && amount >= 0, `A draw of ${amount} is not a whole amount.`);
	const steps: DrawStep[] = [];
	let open = amount;
	for (const container of stock.opened) {
		const part = Math.min(open, container.left);
		if (part === 0) break;
		steps.push({ from: 'opened container', lotId: container.lotId, containerId: container.containerId, amount: part });
		open -= part;
	}
	for (const lot of stock.lots) {
		if (open === 0) break;
		const packs = Math.min(lot.count, Math.floor(open / lot.packSize));
		if (packs > 0) steps.push({ from: 'whole packs', lotId: lot.lotId, packs, amount: packs * lot.packSize });
		open -= packs * lot.packSize;
		if (open > 0 && packs < lot.count) {
			steps.push({ from: 'newly opened pack', lotId: lot.lotId, amount: open, left: lot.packSize - open });
			open = 0;
		}
	}
	return { steps, beyondBook: open };
}
