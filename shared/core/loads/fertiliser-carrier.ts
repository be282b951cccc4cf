import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Kilograms, Litres, LitresPerHectare, Quantity } from '../../units/quantity.ts';
import type { Load } from './load-contents.ts';
import { NOTHING_L } from './tank-limits.ts';

export type KilogramsPerLitre = Quantity<'kg/L'>;

export type Carrier = {
	readonly densityKgPerL: KilogramsPerLitre;
	/** Null: all the mix that is not product is fertiliser. */
	readonly lPerHa: LitresPerHectare | null;
};

export type CarrierShare = { readonly carrierL: Litres; readonly carrierKg: Kilograms; readonly waterL: Litres };

/**
 * Liquid fertiliser and water that go into each load.
 *
 *   fertiliser [L]  = fertiliser [L/ha] × new mix ÷ spray volume, or all the room the products leave
 *   water [L]       = new mix − products − fertiliser
 *   fertiliser [kg] = fertiliser [L] × density
 *
 * Takes loads as planned with water alone. Refuses more fertiliser than the spray volume has room for.
 */
export function shareCarrier(
	loads: readonly Pick<Load, 'newMixL' | 'waterL'>[],
	sprayVolumeLPerHa: LitresPerHectare,
	{ densityKgPerL, lPerHa }: Carrier,
): Result<CarrierShare[]> {
	const shares: CarrierShare[] = [];
	for (const { newMixL, waterL: room } of loads) {
		const carrierL = lPerHa === null ? room : (lPerHa * newMixL) / sprayVolumeLPerHa;
		if (carrierL > room + Math.max(NOTHING_L, newMixL * BINARY_NOISE)) {
			return refuse('load.noRoomForCarrier', {
				carrierLPerHa: lPerHa,
				roomLPerHa: Math.floor((room / newMixL) * sprayVolumeLPerHa * 100) / 100,
				sprayVolumeLPerHa,
			});
		}
		shares.push({ carrierL, carrierKg: carrierL * densityKgPerL, waterL: Math.max(0, room - carrierL) });
	}
	return ok(shares);
}

const BINARY_NOISE = 1e-12;

/** The density of a mix with fertiliser; products and water count as 1 kg/L, which they nearly are. */
export function mixDensity(share: CarrierShare, newMixL: Litres): KilogramsPerLitre {
	return newMixL > 0 ? (share.carrierKg + newMixL - share.carrierL) / newMixL : 1;
}

/**
 * The spray volume to set a sprayer or to choose nozzles by when that is done with water.
 *
 *   as water [L/ha] = spray volume × √density
 *
 * A heavier liquid flows slower through a nozzle; tables and calibrations are for water.
 * Source: University of Nebraska-Lincoln, *Setting the Sprayer Flow Rate for Non-Water Solutions*, 2016; Oklahoma State
 * University Extension, *Using Water to Calibrate Sprayers for Fertilizers*; tests/reference/other-kinds.test.ts.
 */
export function asWater(sprayVolume: LitresPerHectare, density: KilogramsPerLitre): LitresPerHectare {
	return sprayVolume * Math.sqrt(density);
}
