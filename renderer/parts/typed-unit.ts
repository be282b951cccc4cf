import type { DisplayUnits } from '../../shared/core/display/display-units.ts';
import { inUs, sizeFor } from '../../shared/core/display/us-unit.ts';
import {
	BAR_PER_PSI,
	KG_PER_POUND,
	KM_PER_MILE,
	L_PER_US_FLUID_OUNCE,
	L_PER_US_GALLON,
	L_PER_US_PINT,
	M_PER_FOOT,
	M_PER_INCH,
} from '../../shared/core/sprayers/us-customary.ts';
import { M2_PER_ACRE, M2_PER_HECTARE } from '../../shared/units/area.ts';
import { type ReadQuantity, readQuantity, writeQuantity } from './quantity.ts';

const HA_PER_ACRE = M2_PER_ACRE / M2_PER_HECTARE;
const LITRES: Readonly<Record<string, number>> = {
	l: 1,
	ml: 0.001,
	gal: L_PER_US_GALLON,
	qt: 2 * L_PER_US_PINT,
	pt: L_PER_US_PINT,
	floz: L_PER_US_FLUID_OUNCE,
};
const KILOGRAMS: Readonly<Record<string, number>> = {
	kg: 1,
	g: 0.001,
	t: 1000,
	lb: KG_PER_POUND,
	oz: KG_PER_POUND / 16,
};
const AREAS: Readonly<Record<string, number>> = { ha: 1, ac: HA_PER_ACRE, 'm²': 1 / M2_PER_HECTARE };

/** Units that may be typed into an entry, by the unit of the entry: what one of them is worth in it. Gallons and what is below them are those of the US. */
const typedUnits: Readonly<Record<string, Readonly<Record<string, number>>>> = {
	L: LITRES,
	kg: KILOGRAMS,
	ha: AREAS,
	'L/ha': per(LITRES, AREAS),
	'kg/ha': per(KILOGRAMS, AREAS),
	'L/min': per(LITRES, { min: 1 }),
	m: { m: 1, cm: 0.01, mm: 0.001, ft: M_PER_FOOT, in: M_PER_INCH },
	'km/h': { 'km/h': 1, mph: KM_PER_MILE, 'm/s': 3.6 },
	bar: { bar: 1, psi: BAR_PER_PSI, kpa: 0.01 },
	s: { s: 1, min: 60 },
};

function per(
	above: Readonly<Record<string, number>>,
	below: Readonly<Record<string, number>>,
): Readonly<Record<string, number>> {
	return Object.fromEntries(
		Object.entries(above).flatMap(([unit, worth]) =>
			Object.entries(below).map(([each, many]) => [`${unit}/${each}`, worth / many]),
		),
	);
}

const FAHRENHEIT = /^°?f$/;
/** Digits a converted figure is kept to: more than any jug, meter or counter shows; of pressure, speed and warmth fewer are shown. */
const KEPT_DIGITS = 7;
const FEWER: Readonly<Record<string, number>> = { bar: 4, 'km/h': 4, '°C': 3 };

const FIGURE_ALONE = /^[-−\d.,'’\s]*\d[-−\d.,'’\s]*$/;
const FIGURE_AND_LETTERS = /^\s*([-−\d.,'’\s]*\d[.,]?)\s*([a-z°²"/.\s]+)$/i;

function lettersOf(typed: string): string | undefined {
	return FIGURE_AND_LETTERS.exec(typed)?.[2];
}

/** A quantity typed with a unit of its own: `800 gal`, `15 gal/ac`, `40 psi`, `12 fl oz`. Without one it is in that of the entry. */
export function readTyped(typed: string, unit?: string): ReadQuantity & { readonly converted?: true } {
	const [, figure = typed, letters = ''] = FIGURE_AND_LETTERS.exec(typed) ?? [];
	const said = plain(letters);
	if (said === '' || unit === undefined || said === plain(unit)) return readQuantity(figure);
	const read = readQuantity(figure);
	if (read.state !== 'read') return read;
	if (unit === '°C' && FAHRENHEIT.test(said)) return converted((read.value - 32) / 1.8, unit);
	const worth = typedUnits[unit]?.[said];
	if (worth === undefined) return { state: 'unclear', why: `${letters.trim()} is no unit for this: it is in ${unit}` };
	return converted(read.value * worth, unit);
}

/** How an entry is written and read: its value stays in the unit it is asked in, what stands in it may be in another. */
export type Entry = {
	readonly unit: string | undefined;
	readonly write: (value: number | null) => string;
	readonly read: (typed: string) => ReturnType<typeof readTyped>;
};

/** Digits an entry shows of a value in other units; of a flow, pressure, speed or warmth no more than a dial does. */
const SHOWN_DIGITS = 6;
const FEWER_SHOWN: Readonly<Record<string, number>> = { bar: 3, 'km/h': 3, '°C': 3, 'L/min': 4 };

/** An area of an acre or more to a thousandth: that is four square metres. */
function toShow(value: number, { unit, digits }: { readonly unit: string; readonly digits: number }): number {
	const shown = Number(value.toPrecision(digits));
	return unit === 'ha' && Math.abs(shown) >= 1 ? Number(shown.toFixed(3)) : shown;
}

/** In the units of the farm; small amounts (by what stands there at first) in fluid ounces and ounces. */
export function entryIn(units: DisplayUnits, unit: string | undefined, first: number | null): Entry {
	const plainly: Entry = { unit, write: writeQuantity, read: (typed) => readTyped(typed, unit) };
	if (units === 'metric' || unit === undefined) return plainly;
	const size = first === null ? 'large' : sizeFor([first], unit);
	const own = inUs(0, unit, size).unit;
	if (own === unit || readTyped(`1 ${own}`, unit).state !== 'read') return plainly;
	const digits = FEWER_SHOWN[unit] ?? SHOWN_DIGITS;
	return {
		unit: own,
		write: (value) => (value === null ? '' : writeQuantity(toShow(inUs(value, unit, size).value, { unit, digits }))),
		read: (typed) => {
			const letters = lettersOf(typed)?.trim() ?? '';
			const read = readTyped(FIGURE_ALONE.test(typed) ? `${typed} ${own}` : typed, unit);
			if (read.state !== 'read') return read;
			const inOwn = letters === '' || plain(letters) === plain(own);
			return { state: 'read', value: read.value, ...(inOwn ? {} : { converted: true as const }) };
		},
	};
}

function converted(value: number, unit: string) {
	const digits = FEWER[unit] ?? KEPT_DIGITS;
	return { state: 'read', value: Number(value.toPrecision(digits)), converted: true } as const;
}

/** `Gal. / Acre` and `gal/ac` are one. */
function plain(letters: string): string {
	return letters
		.toLowerCase()
		.replace(/[\s.]/g, '')
		.replace(/acres?/, 'ac')
		.replace(/gallons?/, 'gal')
		.replace(/lbs|pounds?/, 'lb')
		.replace(/^gpa$/, 'gal/ac')
		.replace(/^gpm$/, 'gal/min')
		.replace('"', 'in')
		.replace(/^inch(es)?$/, 'in')
		.replace('m2', 'm²');
}
