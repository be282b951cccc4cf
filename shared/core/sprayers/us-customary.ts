import { M2_PER_ACRE, M2_PER_HECTARE } from '../../units/area.ts';
import type { Litres, LitresPerHectare, LitresPerMinute, Metres, Quantity } from '../../units/quantity.ts';

/**
 * US customary units of spraying, by their legal definitions (international foot 0.3048 m and pound 0.45359237 kg, 1959;
 * US gallon 231 in³). Inside and on the wire everything is metric: these stand at the edge, for screens and handbooks.
 */
export const M_PER_INCH = 0.0254;
export const M_PER_FOOT = 0.3048;
export const KM_PER_MILE = 1.609344;
export const L_PER_US_GALLON = 231 * 0.254 ** 3;
/** 128 fluid ounces in a US gallon. */
export const L_PER_US_FLUID_OUNCE = L_PER_US_GALLON / 128;
/** 8 liquid pints in a US gallon. */
export const L_PER_US_PINT = L_PER_US_GALLON / 8;
export const KG_PER_POUND = 0.45359237;
/** Pound-force per square inch: pound × standard gravity 9.80665 m/s² ÷ square inch; 1 bar is 100,000 Pa. */
export const BAR_PER_PSI = (KG_PER_POUND * 9.80665) / M_PER_INCH ** 2 / 100_000;

const ACRES_PER_HECTARE = M2_PER_HECTARE / M2_PER_ACRE;
const SECONDS_PER_HOUR = 3600;

export type KilometresPerHour = Quantity<'km/h'>;
export type Bar = Quantity<'bar'>;

export function gallonsPerAcreToLitresPerHectare(gallonsPerAcre: number): LitresPerHectare {
	return gallonsPerAcre * L_PER_US_GALLON * ACRES_PER_HECTARE;
}

export function litresPerHectareToGallonsPerAcre(volume: LitresPerHectare): number {
	return volume / L_PER_US_GALLON / ACRES_PER_HECTARE;
}

export function poundsPerAcreToKilogramsPerHectare(poundsPerAcre: number): Quantity<'kg/ha'> {
	return poundsPerAcre * KG_PER_POUND * ACRES_PER_HECTARE;
}

export function poundsPerGallonToGramsPerLitre(poundsPerGallon: number): Quantity<'g/L'> {
	return (poundsPerGallon * KG_PER_POUND * 1000) / L_PER_US_GALLON;
}

export function gallonsPerMinuteToLitresPerMinute(gallonsPerMinute: number): LitresPerMinute {
	return gallonsPerMinute * L_PER_US_GALLON;
}

export function litresPerMinuteToGallonsPerMinute(flow: LitresPerMinute): number {
	return flow / L_PER_US_GALLON;
}

export function fluidOuncesToLitres(fluidOunces: number): Litres {
	return fluidOunces * L_PER_US_FLUID_OUNCE;
}

export function milesPerHourToKilometresPerHour(milesPerHour: number): KilometresPerHour {
	return milesPerHour * KM_PER_MILE;
}

export function kilometresPerHourToMilesPerHour(speed: KilometresPerHour): number {
	return speed / KM_PER_MILE;
}

/** Feet per second → km/h; 88 ft/min is 1 mph. */
export function feetPerSecondToKilometresPerHour(feetPerSecond: number): KilometresPerHour {
	return (feetPerSecond * M_PER_FOOT * SECONDS_PER_HOUR) / 1000;
}

export function inchesToMetres(inches: number): Metres {
	return inches * M_PER_INCH;
}

export function metresToInches(length: Metres): number {
	return length / M_PER_INCH;
}

export function psiToBar(psi: number): Bar {
	return psi * BAR_PER_PSI;
}

export function barToPsi(pressure: Bar): number {
	return pressure / BAR_PER_PSI;
}
