import type { ProductAmount, StockAmount } from './quantity.ts';

/** Stock amounts are kept as whole microlitres (liquids sold by volume) or milligrams (products sold by mass). */
export const STOCK_PER_UNIT = 1_000_000;

/** The largest stock amount that stays exact in a double and in a STRICT column: about nine million tonnes or megalitres. */
export const LARGEST_STOCK_AMOUNT = Number.MAX_SAFE_INTEGER;

/** L or kg → whole µL or mg, rounded half away from zero. The one place where a computed amount becomes a kept one. */
export function toStockAmount(amount: ProductAmount): StockAmount {
	return Math.sign(amount) * Math.round(Math.abs(amount) * STOCK_PER_UNIT);
}

/** Whole µL or mg → L or kg. */
export function fromStockAmount(amount: StockAmount): ProductAmount {
	return amount / STOCK_PER_UNIT;
}
