import { M2_PER_ACRE, M2_PER_HECTARE } from '../../units/area.ts';
import { KG_PER_POUND, L_PER_US_FLUID_OUNCE, L_PER_US_GALLON, L_PER_US_PINT } from '../sprayers/us-customary.ts';

/** How a label gives a dose: by the area, by the mix, by the share of the mix, by the seed, or by a closed space. */
export type DoseWay = 'dosePerHa' | 'dosePer100L' | 'dosePercent' | SeedDoseWay | 'dosePerM3' | 'dosePerM2';
export type SeedDoseWay = 'dosePer100Kg' | 'dosePerUnit';

const HA_PER_ACRE = M2_PER_ACRE / M2_PER_HECTARE;

/**
 * The units doses are written in. `factor` times a figure in the unit is the dose in L or kg per hectare, in L or kg per
 * 100 L of mix, in % v/v, to 100 kg of seed or stored crop, to one unit of seed, to 1 m³ or to 1 m². Acres are international
 * acres, gallons, pints and fluid ounces those of the US. The usual unit of each way stands first.
 */
const units = {
	'L/ha': { of: 'L', way: 'dosePerHa', factor: 1 },
	'mL/ha': { of: 'L', way: 'dosePerHa', factor: 0.001 },
	'L/acre': { of: 'L', way: 'dosePerHa', factor: 1 / HA_PER_ACRE },
	'mL/acre': { of: 'L', way: 'dosePerHa', factor: 0.001 / HA_PER_ACRE },
	'fl oz/acre': { of: 'L', way: 'dosePerHa', factor: L_PER_US_FLUID_OUNCE / HA_PER_ACRE },
	'pt/acre': { of: 'L', way: 'dosePerHa', factor: L_PER_US_PINT / HA_PER_ACRE },
	'qt/acre': { of: 'L', way: 'dosePerHa', factor: (2 * L_PER_US_PINT) / HA_PER_ACRE },
	'gal/acre': { of: 'L', way: 'dosePerHa', factor: L_PER_US_GALLON / HA_PER_ACRE },
	'L/100 L': { of: 'L', way: 'dosePer100L', factor: 1 },
	'mL/100 L': { of: 'L', way: 'dosePer100L', factor: 0.001 },
	'% v/v': { of: 'L', way: 'dosePercent', factor: 1 },
	'L/100 kg': { of: 'L', way: 'dosePer100Kg', factor: 1 },
	'mL/100 kg': { of: 'L', way: 'dosePer100Kg', factor: 0.001 },
	'L/t': { of: 'L', way: 'dosePer100Kg', factor: 0.1 },
	'mL/t': { of: 'L', way: 'dosePer100Kg', factor: 0.0001 },
	'L/unit': { of: 'L', way: 'dosePerUnit', factor: 1 },
	'mL/unit': { of: 'L', way: 'dosePerUnit', factor: 0.001 },
	'mL/m³': { of: 'L', way: 'dosePerM3', factor: 0.001 },
	'mL/1000 m³': { of: 'L', way: 'dosePerM3', factor: 1e-6 },
	'L/1000 m³': { of: 'L', way: 'dosePerM3', factor: 0.001 },
	'mL/m²': { of: 'L', way: 'dosePerM2', factor: 0.001 },
	'mL/100 m²': { of: 'L', way: 'dosePerM2', factor: 1e-5 },
	'L/100 m²': { of: 'L', way: 'dosePerM2', factor: 0.01 },
	'kg/ha': { of: 'kg', way: 'dosePerHa', factor: 1 },
	'g/ha': { of: 'kg', way: 'dosePerHa', factor: 0.001 },
	'kg/acre': { of: 'kg', way: 'dosePerHa', factor: 1 / HA_PER_ACRE },
	'g/acre': { of: 'kg', way: 'dosePerHa', factor: 0.001 / HA_PER_ACRE },
	'oz/acre': { of: 'kg', way: 'dosePerHa', factor: KG_PER_POUND / 16 / HA_PER_ACRE },
	'lb/acre': { of: 'kg', way: 'dosePerHa', factor: KG_PER_POUND / HA_PER_ACRE },
	'kg/100 L': { of: 'kg', way: 'dosePer100L', factor: 1 },
	'g/100 L': { of: 'kg', way: 'dosePer100L', factor: 0.001 },
	'kg/100 kg': { of: 'kg', way: 'dosePer100Kg', factor: 1 },
	'g/100 kg': { of: 'kg', way: 'dosePer100Kg', factor: 0.001 },
	'kg/t': { of: 'kg', way: 'dosePer100Kg', factor: 0.1 },
	'g/t': { of: 'kg', way: 'dosePer100Kg', factor: 0.0001 },
	'kg/unit': { of: 'kg', way: 'dosePerUnit', factor: 1 },
	'g/unit': { of: 'kg', way: 'dosePerUnit', factor: 0.001 },
	'g/m³': { of: 'kg', way: 'dosePerM3', factor: 0.001 },
	'g/1000 m³': { of: 'kg', way: 'dosePerM3', factor: 1e-6 },
	'kg/1000 m³': { of: 'kg', way: 'dosePerM3', factor: 0.001 },
	'g/m²': { of: 'kg', way: 'dosePerM2', factor: 0.001 },
	'g/100 m²': { of: 'kg', way: 'dosePerM2', factor: 1e-5 },
	'kg/100 m²': { of: 'kg', way: 'dosePerM2', factor: 0.01 },
} as const satisfies Record<string, { of: 'L' | 'kg'; way: DoseWay; factor: number }>;

export type DoseUnit = keyof typeof units;
export const doseUnits = Object.keys(units) as readonly DoseUnit[] as readonly [DoseUnit, ...DoseUnit[]];

/** A dose as it was said. */
export type SaidDose = { readonly value: number; readonly unit: DoseUnit };

/** How a dose on seed of one unit is given: kilograms of seed, or units of so many grains. */
export function seedDoseWay(seedUnit: 'kg' | 'unit'): SeedDoseWay {
	return seedUnit === 'kg' ? 'dosePer100Kg' : 'dosePerUnit';
}

/**
 * The units a dose of a product sold by the litre or by the kilogram may be written in, the usual one first: on the ground
 * or in the mix, or with `only` in that way.
 */
export function doseUnitsOf(unit: 'L' | 'kg', only?: DoseWay): readonly DoseUnit[] {
	return doseUnits.filter((each) => {
		const { of, way } = units[each];
		return of === unit && (only === undefined ? groundWays.includes(way) : way === only);
	});
}

const usCustomary: ReadonlySet<string> = new Set<DoseUnit>([
	'fl oz/acre',
	'pt/acre',
	'qt/acre',
	'gal/acre',
	'oz/acre',
	'lb/acre',
]);

/** Whether a dose is given as US labels give it. */
export function isUsCustomary(unit: string): boolean {
	return usCustomary.has(unit);
}

/** The units of US labels first, for a farm in the US; left out for the others. */
export function unitsInUse(
	all: readonly DoseUnit[],
	{ american }: { readonly american: boolean },
): readonly DoseUnit[] {
	const metric = all.filter((unit) => !usCustomary.has(unit));
	return american ? [...all.filter((unit) => usCustomary.has(unit)), ...metric] : metric;
}

const groundWays: readonly DoseWay[] = ['dosePerHa', 'dosePer100L', 'dosePercent'];

/** The unit a dose is written in where nobody chose one. */
export function plainDoseUnit(unit: 'L' | 'kg', way: DoseWay = 'dosePerHa'): DoseUnit {
	return doseUnits.find((each) => units[each].of === unit && units[each].way === way) ?? `${unit}/ha`;
}

/** A dose as it was said → how the planning of loads takes it. */
export function doseOf({ value, unit }: SaidDose): { readonly way: DoseWay; readonly figure: number } {
	const { way, factor } = units[unit];
	return { way, figure: value * factor };
}

/** The dose in a unit of the same way, to a millionth; in the plain unit of that way where the unit is of another. */
export function sayDose(
	{ way, figure }: { readonly way: DoseWay; readonly figure: number },
	unit: 'L' | 'kg',
	wanted?: DoseUnit,
): SaidDose {
	const fits = wanted !== undefined && units[wanted].way === way && units[wanted].of === unit;
	const chosen = fits ? wanted : plainDoseUnit(unit, way);
	return { value: Number((figure / units[chosen].factor).toPrecision(9)), unit: chosen };
}
