import type { Hectares, Litres } from '../../units/quantity.ts';

/** Areas and litres are sums of the same figures in another order: equal but for the last digits. */
const LAST_DIGITS = 1e-9;

/**
 * Share of what is made up for a load that reaches its ground. The rest fills sump and lines: the first load brings it, and
 * it is carried from load to load.
 *
 *   share = area × spray volume ÷ new mix
 *
 * 1 for a load that only goes on from the one before; above 1 where mix left from before is sprayed with it. Without water
 * to spray in there is nothing to share: 1.
 */
export function shareOnGround(
	load: { readonly areaHa: Hectares; readonly newMixL: Litres },
	sprayVolumeLPerHa: number,
): number {
	if (!(sprayVolumeLPerHa > 0) || !(load.newMixL > 0) || !(load.areaHa > 0)) return 1;
	const share = (load.areaHa * sprayVolumeLPerHa) / load.newMixL;
	return Math.abs(share - 1) < LAST_DIGITS ? 1 : share;
}

/**
 * What of a product lies on the ground, where some of what was logged stayed in the tank. What washings took out of the
 * tank since then was taken off what stayed first.
 *
 *   on the ground = amount − (stayed − (logged − amount)), never more than the amount where some stayed
 */
export function amountOnGround(amount: number, kept: { readonly stayed: number; readonly logged: number }): number {
	if (kept.stayed <= 0) return amount - kept.stayed;
	return amount - Math.min(kept.stayed, Math.max(0, kept.stayed - (kept.logged - amount)));
}
