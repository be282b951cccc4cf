import { M2_PER_ACRE, M2_PER_HECTARE } from '../../units/area.ts';
import {
	BAR_PER_PSI,
	KG_PER_POUND,
	KM_PER_MILE,
	L_PER_US_FLUID_OUNCE,
	L_PER_US_GALLON,
	M_PER_FOOT,
} from '../sprayers/us-customary.ts';

/** What a metric unit reads in on a farm with US customary units: `worth` of the metric unit are one of it. */
export type UsUnit = { readonly unit: string; readonly worth: number };

/** Gallons and pounds add up in a column; fluid ounces and ounces are what a jug and a scale show. */
export type Size = 'large' | 'small';

const OUNCES_PER_POUND = 16;
/** Short ton, as US seed and grain are sold. */
const POUNDS_PER_TON = 2000;
const HA_PER_ACRE = M2_PER_ACRE / M2_PER_HECTARE;
const M2_PER_SQUARE_FOOT = M_PER_FOOT ** 2;
const M3_PER_CUBIC_FOOT = M_PER_FOOT ** 3;
const KG_PER_OUNCE = KG_PER_POUND / OUNCES_PER_POUND;

const liquid: Readonly<Record<Size, UsUnit>> = {
	large: { unit: 'gal', worth: L_PER_US_GALLON },
	small: { unit: 'fl oz', worth: L_PER_US_FLUID_OUNCE },
};
const solid: Readonly<Record<Size, UsUnit>> = {
	large: { unit: 'lb', worth: KG_PER_POUND },
	small: { unit: 'oz', worth: KG_PER_OUNCE },
};
const volumesAndMasses: Readonly<Record<string, (size: Size) => UsUnit>> = {
	L: (size) => liquid[size],
	kg: (size) => solid[size],
	mL: () => ({ unit: 'fl oz', worth: L_PER_US_FLUID_OUNCE * 1000 }),
	g: () => ({ unit: 'oz', worth: KG_PER_OUNCE * 1000 }),
};

const others: Readonly<Record<string, UsUnit>> = {
	ha: { unit: 'ac', worth: HA_PER_ACRE },
	'm²': { unit: 'ft²', worth: M2_PER_SQUARE_FOOT },
	'm³': { unit: 'ft³', worth: M3_PER_CUBIC_FOOT },
	m: { unit: 'ft', worth: M_PER_FOOT },
	km: { unit: 'mi', worth: KM_PER_MILE },
	t: { unit: 'ton', worth: (POUNDS_PER_TON * KG_PER_POUND) / 1000 },
	'km/h': { unit: 'mph', worth: KM_PER_MILE },
	'L/min': { unit: 'gal/min', worth: L_PER_US_GALLON },
	bar: { unit: 'psi', worth: BAR_PER_PSI },
	// Active substances of US labels are counted in pounds an acre.
	'g/ha': { unit: 'lb/ac', worth: (KG_PER_POUND * 1000) / HA_PER_ACRE },
};

/** What doses and rates are given to, as US labels give them: an acre, 100 gal, 100 lb of seed, 1000 ft³ of a store. */
const dividers: Readonly<Record<string, UsUnit>> = {
	ha: { unit: 'ac', worth: HA_PER_ACRE },
	acre: { unit: 'ac', worth: 1 },
	'100 L': { unit: '100 gal', worth: L_PER_US_GALLON },
	'100 kg': { unit: '100 lb', worth: KG_PER_POUND },
	t: { unit: 'ton', worth: (POUNDS_PER_TON * KG_PER_POUND) / 1000 },
	unit: { unit: 'unit', worth: 1 },
	'm³': { unit: '1000 ft³', worth: 1000 * M3_PER_CUBIC_FOOT },
	'1000 m³': { unit: '1000 ft³', worth: M3_PER_CUBIC_FOOT },
	'm²': { unit: '1000 ft²', worth: 1000 * M2_PER_SQUARE_FOOT },
	'100 m²': { unit: '1000 ft²', worth: 10 * M2_PER_SQUARE_FOOT },
};

const NUTRIENT_RATE = /^kg (\S+)\/ha$/;

/** The US unit of a metric one; null where there is none (`%`, `h`, `treatments`) and the figure stays. */
export function usUnit(metric: string, size: Size = 'large'): UsUnit | null {
	const whole = others[metric] ?? volumesAndMasses[metric]?.(size);
	if (whole) return whole;
	const nutrient = NUTRIENT_RATE.exec(metric)?.[1];
	if (nutrient !== undefined) return { unit: `lb ${nutrient}/ac`, worth: KG_PER_POUND / HA_PER_ACRE };
	const [above = '', ...below] = metric.split('/');
	const [numerator, divider] = [volumesAndMasses[above]?.(size), dividers[below.join('/')]];
	if (!numerator || !divider) return null;
	return { unit: `${numerator.unit}/${divider.unit}`, worth: numerator.worth / divider.worth };
}

/** A figure in its US unit; the same figure where its unit has none. */
export function inUs(value: number, metric: string, size: Size = 'large'): { readonly value: number; unit: string } {
	if (metric === '°C') return { value: celsiusToFahrenheit(value), unit: '°F' };
	const us = usUnit(metric, size);
	return us ? { value: value / us.worth, unit: us.unit } : { value, unit: metric };
}

/** 0 °C is 32 °F, 100 °C is 212 °F. */
export function celsiusToFahrenheit(celsius: number): number {
	return celsius * 1.8 + 32;
}

/** Below a gallon or a pound (of all that are to read alike) fluid ounces and ounces are read. */
export function sizeFor(values: readonly number[], metric: string): Size {
	const large = usUnit(metric, 'large');
	const told = values.filter((value) => value !== 0);
	return large && told.length > 0 && told.every((value) => Math.abs(value) < large.worth) ? 'small' : 'large';
}
