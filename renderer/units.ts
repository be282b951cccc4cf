import { createContext, useContext } from 'react';
import type { DisplayUnits } from '../shared/core/display/display-units.ts';
import { sayInUs } from '../shared/core/display/say-in-us.ts';
import { inUs } from '../shared/core/display/us-unit.ts';
import { amount, figure, hectares, litres, signed } from './format.ts';

type Figure = number | null | undefined;

/** How the figures of this farm read on the page. Everything is asked for in metric units, as it comes over the wire. */
export type Units = {
	readonly units: DisplayUnits;
	/** What a metric unit is called here: `ha` or `ac`. */
	readonly name: (metric: string) => string;
	/** The figure itself. */
	readonly value: (value: number, metric: string) => number;
	/** A figure without its unit. */
	readonly figure: (value: Figure, metric: string, decimals?: number) => string;
	/** With its sign, for differences. */
	readonly signed: (value: Figure, metric: string, decimals: number) => string;
	/** `12.37`, `30.57`: an area without its unit. */
	readonly hectares: (value: Figure) => string;
	/** `12.37 ha`, `30.57 ac` */
	readonly area: (value: Figure) => string;
	/** Mix or water without its unit. */
	readonly litres: (value: Figure) => string;
	/** `1,875 L`, `495.3 gal` */
	readonly volume: (value: Figure) => string;
	/** An amount of product: `0.375 kg`; `13.2 oz`, from a quart or a pound on `2.642 gal`, `1.5 lb`. */
	readonly amount: (value: Figure, unit: string) => string;
	/** A sentence of the program with its quantities. */
	readonly say: (sentence: string) => string;
};

const metric: Units = {
	units: 'metric',
	name: (unit) => unit,
	value: (value) => value,
	figure: (value, _, decimals) => figure(value, decimals),
	signed: (value, _, decimals) => signed(value, decimals),
	hectares,
	area: (value) => `${hectares(value)} ha`,
	litres,
	volume: (value) => `${litres(value)} L`,
	amount,
	say: (sentence) => sentence,
};

const usCustomary: Units = {
	units: 'US customary',
	name: (unit) => inUs(0, unit).unit,
	value: (value, unit) => inUs(value, unit).value,
	figure: (value, unit, decimals) => figure(turned(value, unit), decimals),
	signed: (value, unit, decimals) => signed(turned(value, unit), decimals),
	hectares: (value) => hectares(turned(value, 'ha')),
	area: (value) => `${hectares(turned(value, 'ha'))} ac`,
	litres: gallons,
	volume: (value) => `${gallons(value)} gal`,
	amount: usAmount,
	say: sayInUs,
};

export const unitsIn: Readonly<Record<DisplayUnits, Units>> = { metric, 'US customary': usCustomary };

export const UnitsContext = createContext<Units>(metric);

export function useUnits(): Units {
	return useContext(UnitsContext);
}

function turned(value: Figure, unit: string): Figure {
	return typeof value === 'number' ? inUs(value, unit).value : value;
}

const WHOLE_FROM_GALLONS = 1000;

/** Gallons of mix: a gallon is four litres nearly, so the tenth stands longer. */
function gallons(value: Figure): string {
	const shown = turned(value, 'L');
	const told = typeof shown === 'number' ? Number(shown.toFixed(1)) : 0;
	return figure(shown, told < WHOLE_FROM_GALLONS && !Number.isInteger(told) ? 1 : 0);
}

const FLUID_OUNCES_PER_QUART = 32;
const OUNCES_PER_POUND = 16;
const SHORT_DIGITS = 3;

function usAmount(value: Figure, unit: string): string {
	const small = typeof value === 'number' ? inUs(value, unit, 'small') : null;
	const least = unit === 'kg' ? OUNCES_PER_POUND : FLUID_OUNCES_PER_QUART;
	if (small === null || small.value === 0 || Math.abs(small.value) >= least) {
		return amount(turned(value, unit), inUs(0, unit).unit);
	}
	const short = Number(small.value.toPrecision(SHORT_DIGITS));
	return `${figure(short, String(short).split('.')[1]?.length ?? 0)} ${small.unit}`;
}
