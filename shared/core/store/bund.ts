import type { Litres } from '../../units/quantity.ts';

/** Source: HSE Agriculture Information Sheet 16, Guidance on storing pesticides (read in a secondary copy). */
export const BUND_FACTOR = 1.1;
export const BUND_FACTOR_SENSITIVE = 1.85;

/**
 * What the bund of a store must hold.
 *
 *   bund = 110 % of the most that is likely to be stored; 185 % in an environmentally sensitive area
 */
export function bundNeeded(storedL: Litres, sensitive: boolean): Litres {
	return storedL * (sensitive ? BUND_FACTOR_SENSITIVE : BUND_FACTOR);
}
