import type { Quantity } from '../../units/quantity.ts';

export type Celsius = Quantity<'°C'>;
export type DeltaTBand = 'suitable' | 'marginal' | 'unsuitable';

/** Where the formula holds (Stull 2011), except where it is dry and cold together. */
export const DELTA_T_VALID = {
	temperatureC: { from: -20, to: 50 },
	humidityPercent: { from: 5, to: 99 },
} as const;

/** Guideline: 2–8 suitable, 8–10 marginal (Australian Bureau of Meteorology guidance, as reported; 10 is the upper limit of most schemes). */
const SUITABLE_FROM = 2;
const SUITABLE_TO = 8;
const MARGINAL_TO = 10;
/** Stull and the psychrometer equation differ by up to 0.7 °C: this close to an edge neither side is sure. */
const NEAR_EDGE = 0.5;

/**
 * Wet-bulb temperature and delta T (dry bulb − wet bulb) from air temperature and relative humidity.
 *
 *   Tw = T·atan(0.151977·√(RH + 8.313659)) + atan(T + RH) − atan(RH − 1.676331)
 *        + 0.00391838·RH^1.5·atan(0.023101·RH) − 4.686035          (°C, %, radians, sea-level pressure)
 *
 * Degrees Celsius out, not rounded. The band is a guideline beside wind and signs of inversion, never a permission.
 * Mean absolute error under 0.3 °C; valid for the ranges of `DELTA_T_VALID`.
 * Source: R. Stull, *J. Applied Meteorology and Climatology* 50 (2011) 2267–2269.
 */
export function deltaT({
	temperatureC,
	humidityPercent,
}: {
	readonly temperatureC: Celsius;
	readonly humidityPercent: number;
}): { wetBulbC: number; deltaT: number; band: DeltaTBand } {
	const wetBulbC =
		temperatureC * Math.atan(0.151977 * Math.sqrt(humidityPercent + 8.313659)) +
		Math.atan(temperatureC + humidityPercent) -
		Math.atan(humidityPercent - 1.676331) +
		0.00391838 * humidityPercent ** 1.5 * Math.atan(0.023101 * humidityPercent) -
		4.686035;
	const difference = temperatureC - wetBulbC;
	return { wetBulbC, deltaT: difference, band: bandOf(difference) };
}

/**
 * The band of a delta T: suitable from 2 to 8, marginal from 8 to 10 and within 0.5 of an edge (2, 8 or 10), else
 * unsuitable. So 1.5–2.5 and 7.5–10.5 are marginal.
 */
export function bandOf(deltaT: Celsius): DeltaTBand {
	const nearAnEdge = [SUITABLE_FROM, SUITABLE_TO, MARGINAL_TO].some((edge) => Math.abs(deltaT - edge) <= NEAR_EDGE);
	if (nearAnEdge || (deltaT > SUITABLE_TO && deltaT < MARGINAL_TO)) return 'marginal';
	return deltaT > SUITABLE_FROM && deltaT < SUITABLE_TO ? 'suitable' : 'unsuitable';
}
