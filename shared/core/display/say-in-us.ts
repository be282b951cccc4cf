import { writtenFigure } from '../../basics/written-figure.ts';
import { inUs, sizeFor } from './us-unit.ts';

const FIGURE = String.raw`[-−+±]?\d(?:[\d,]*\d)?(?:\.\d+)?`;
/** What stands between two figures that share the unit behind the second. */
const JOINT = ' ?[–±] ?| of | to | or | and | of mix instead of ';
const PER = 'ha|acre|100 L|100 kg|t|unit|1000 m³|m³|100 m²|m²';
const UNIT = String.raw`kg \p{L}[\p{L}\d]*\/ha|(?:mL|L|kg|g)\/(?:${PER})|km\/h|L\/min|°C|bar|ha|m²|m³|mL|km|kg|L|g|m|t`;
const SPACE = '[ \u00a0]';
/** `2.4 of 3 L/ha`, `200 L/ha`; not `480 g/L`, which is what a product holds, nor `5 metres`. */
const QUANTITY = new RegExp(
	String.raw`(?<![\p{L}\d.,/-])(?:(${FIGURE})(${JOINT}))?(${FIGURE})${SPACE}(${UNIT})(?![\p{L}\d/²³])`,
	'gu',
);
/** Figures that lean on the unit of the quantity before them: `…: 0.6 left`, `2 L/ha instead of 1.5`. */
const LEANING = new RegExp(String.raw`(?<= instead of | with |: )(${FIGURE})(?=[.)]|$| left| too much| \()`, 'u');

/**
 * A sentence or figure of this program, `2.5 L/ha`, in US customary units. What is near each other reads in the
 * same unit, so that it can still be compared; as many digits are kept as they had, three at least.
 */
export function sayInUs(text: string): string {
	const found = [...text.matchAll(QUANTITY)];
	if (found.length === 0) return text;
	const byUnit = new Map(
		[...Map.groupBy(found, ([, , , , unit = '']) => unit)].map(([unit, all]) => [unit, figuresOf(all)]),
	);
	const sizeOf = (figures: readonly number[], unit: string) => {
		const most = Math.max(...figures.map(Math.abs));
		const alike = byUnit.get(unit)?.filter((other) => isLike(Math.abs(other), most)) ?? [];
		return sizeFor([...figures, ...alike], unit);
	};
	let said = '';
	let at = 0;
	let last: ((figure: string) => string) | null = null;
	const plain = (until: number) => {
		const between = text.slice(at, until);
		return last === null ? between : between.replace(LEANING, last);
	};
	for (const match of found) {
		const [whole, first, joint = '', second = '', unit = ''] = match;
		const size = sizeOf(figuresOf([match]), unit);
		const inUnit = (figure: string) => write(inUs(read(figure), unit, size).value, { figure, unit });
		said += plain(match.index);
		said += `${first === undefined ? '' : inUnit(first) + joint}${inUnit(second)} ${inUs(0, unit, size).unit}`;
		at = match.index + whole.length;
		last = inUnit;
	}
	return said + plain(text.length);
}

const ALIKE = 8;

/** Near enough to be held against each other: a dose and its limit, not a dose and a spray volume. */
function isLike(one: number, other: number): boolean {
	return one <= ALIKE * other && other <= ALIKE * one;
}

function figuresOf(matches: readonly RegExpExecArray[]): number[] {
	return matches.flatMap(([, first, , second]) => [first, second].flatMap((one) => (one ? [read(one)] : [])));
}

function read(figure: string): number {
	return Number(figure.replace(/[,+±]/g, '').replace('−', '-'));
}

const LEAST_DIGITS = 3;
const MOST_DIGITS = 6;
const MOST_DECIMALS = 9;

/** With the sign it had, thousands apart, and no zeros that say nothing. */
function write(value: number, was: { readonly figure: string; readonly unit: string }): string {
	const size = Math.abs(value);
	const text =
		was.unit === 'm' && size >= 1
			? writtenFigure(size, 1)
			: writtenFigure(Number(size.toPrecision(digitsFor(size, was))), MOST_DECIMALS);
	const [sign = ''] = /^[-−+±]/.exec(was.figure) ?? [];
	return `${sign === '' && value < 0 ? '−' : sign}${text}`;
}

/** As many as it had, three at least; two of lengths and areas that are less than one: those are measured no finer. */
function digitsFor(size: number, { figure, unit }: { readonly figure: string; readonly unit: string }): number {
	const had = figure.replace(/^\D*0*\.?0*/, '').replace(/\D/g, '').length;
	const least = size < 1 && (unit === 'm' || unit === 'ha') ? had + 1 : LEAST_DIGITS;
	return Math.min(MOST_DIGITS, Math.max(least, had, 1));
}
