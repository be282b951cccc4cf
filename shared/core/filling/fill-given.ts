import type { Litres, LitresPerMinute } from '../../units/quantity.ts';
import type { FillContainer, Handling } from './handling.ts';

/** What a fill is computed from. */
export type FillGiven = {
	/** What stands in the tank when the load is ready: mix carried in, water and product. */
	readonly totalL: Litres;
	/** All the water of the load, rinse water included. */
	readonly waterL: Litres;
	readonly carriedInL: Litres;
	readonly inflowLPerMin: LitresPerMinute;
	/** Tank level at which the first container is opened. */
	readonly startL: Litres;
	readonly containers: readonly FillContainer[];
	readonly handling: Handling;
	/** The last litres, kept free for closing down: every container is done before. */
	readonly closeReserveL: Litres;
	/** What still runs in after the valve is shut. */
	readonly valveRunOnL: Litres;
	/** The least water in which the labels allow the products to stand. */
	readonly leastWaterL: Litres;
};

/** The litres of one fill, by where they come from. */
export type FillLitres = {
	readonly productL: Litres;
	readonly cleanRinseL: Litres;
	/** What runs through the inlet meter in all. */
	readonly meteredL: Litres;
	/** What may have run through the meter when the last container is done. */
	readonly meteredByCloseL: Litres;
};

/** Level comparisons are exact but for the last digits of a double. */
export const LAST_DIGITS_L = 1e-6;
