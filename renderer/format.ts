/** How figures and dates are written on the page. Numbers on the wire stay unrounded; this is the only rounding for the eye. */

import { monthNames } from '../shared/basics/calendar.ts';

const MISSING = '–';

/** `1,875` or `12.37`; a missing figure is a dash. */
export function figure(value: number | null | undefined, decimals = 0): string {
	if (value === null || value === undefined || !Number.isFinite(value)) return MISSING;
	const rounded = Math.abs(value) < 0.5 * 10 ** -decimals ? 0 : value;
	return rounded
		.toLocaleString('en-GB', { minimumFractionDigits: decimals, maximumFractionDigits: decimals })
		.replace('-', '−');
}

/** `12.37`: hectares to the are, as legal areas are written. */
export function hectares(value: number | null | undefined): string {
	return figure(value, 2);
}

/** Whether hectares as they are written come to another total than is written under them: they are added up before rounding. */
export function addedUpApart(values: readonly (number | null | undefined)[]): boolean {
	const ares = (value: number) => Math.round(Number(value.toFixed(2)) * 100);
	const known = values.filter((value) => typeof value === 'number');
	return known.reduce((sum, value) => sum + ares(value), 0) !== ares(known.reduce((sum, value) => sum + value, 0));
}

/** Litres of mix: whole from 100 L up, one decimal below. */
export function litres(value: number | null | undefined): string {
	return figure(
		value,
		value !== null && value !== undefined && Math.abs(value) < 100 && !Number.isInteger(value) ? 1 : 0,
	);
}

/** An amount of product with its unit: `15.0 L`, `0.375 kg`. As many decimals as it needs, one at least, three at most. */
export function amount(value: number | null | undefined, unit: string): string {
	return `${bareAmount(value)} ${unit}`;
}

/** A dose as it was said: `1.25 L/ha`, `250 mL/100 L`, `0.1 % v/v`. */
export function doseWords({ value, unit }: { readonly value: number; readonly unit: string }): string {
	return `${bareDose(value)} ${unit}`;
}

/** A dose without its unit. */
export function bareDose(value: number): string {
	return figure(value, [0, 1, 2, 3].find((decimals) => Math.abs(value - Number(value.toFixed(decimals))) < 5e-7) ?? 4);
}

/** An amount of product without its unit. */
export function bareAmount(value: number | null | undefined): string {
	if (value === null || value === undefined || !Number.isFinite(value)) return MISSING;
	if (value === 0) return '0';
	const needed = [1, 2, 3].find((decimals) => Math.abs(value - Number(value.toFixed(decimals))) < 5e-7) ?? 3;
	return figure(value, needed);
}

/** With its sign, for differences: `+0.31`, `−0.22`, `0.00`. */
export function signed(value: number | null | undefined, decimals: number): string {
	const text = figure(value, decimals);
	return value !== null && value !== undefined && value > 0 && Number(value.toFixed(decimals)) > 0 ? `+${text}` : text;
}

/** `1 min 50 s`, `45 s`, `12 min`. */
export function duration(seconds: number | null | undefined): string {
	if (seconds === null || seconds === undefined || !Number.isFinite(seconds)) return MISSING;
	const whole = Math.round(Math.abs(seconds));
	const minutes = Math.floor(whole / 60);
	const rest = whole % 60;
	if (minutes === 0) return `${rest} s`;
	return rest === 0 ? `${minutes} min` : `${minutes} min ${rest} s`;
}

/** `1:50`, for places with no room. */
export function clock(seconds: number): string {
	const whole = Math.round(Math.abs(seconds));
	return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

/** `15 April 2027` from a local date. */
export function longDate(date: string | null | undefined): string {
	const parts = date ? /^(\d{4})-(\d{2})-(\d{2})/.exec(date) : null;
	const month = monthNames[Number(parts?.[2]) - 1];
	return parts && month ? `${Number(parts[3])} ${month} ${parts[1]}` : MISSING;
}

/** `15 Apr 2027`, for tables. */
export function shortDate(date: string | null | undefined): string {
	return longDate(date).replace(/([A-Z][a-z]{2})[a-z]+/, '$1');
}

/** `14:05` of an instant that carries its own offset or none. */
export function timeOfDay(instant: string | null | undefined): string {
	return (instant && /T(\d{2}:\d{2})/.exec(instant)?.[1]) ?? MISSING;
}

/** Today in this computer's zone, as a local ISO date. */
export function today(): string {
	const now = new Date();
	return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, '0')}-${String(now.getDate()).padStart(2, '0')}`;
}

/** `1 load`, `3 loads`. */
export function count(many: number, one: string, several = `${one}s`): string {
	return `${figure(many)} ${many === 1 ? one : several}`;
}

/** The word as it begins a sentence. */
export function capital(word: string): string {
	return word.charAt(0).toUpperCase() + word.slice(1);
}

/** `Quillon 480 SL`; a name that ends in its formulation code does not say it twice. */
export function productName(name: string, formulation: string): string {
	return `${name} ${formulationAfter(name, formulation)}`.trim();
}

/** The formulation code to stand behind a name; nothing where the name ends in it. */
export function formulationAfter(name: string, formulation: string): string {
	return name.toUpperCase().endsWith(` ${formulation.toUpperCase()}`) ? '' : formulation;
}
