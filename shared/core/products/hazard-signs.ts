import { hazardCode, partsOf } from './hazard-codes.ts';

/** The nine signs of the international system, by name. Source: UN GHS annex 1; Regulation (EC) No 1272/2008, annex V. */
export const hazardSigns = {
	GHS01: 'exploding bomb',
	GHS02: 'flame',
	GHS03: 'flame over circle',
	GHS04: 'gas cylinder',
	GHS05: 'corrosion',
	GHS06: 'skull and crossbones',
	GHS07: 'exclamation mark',
	GHS08: 'health hazard',
	GHS09: 'environment',
} as const;
export type HazardSign = keyof typeof hazardSigns;

/** Statements whose exclamation mark gives way to the corrosion sign: skin and eye irritation. */
const irritation = ['H315', 'H319', 'H320'];
const skinSensitisation = 'H317';
const respiratorySensitisation = 'H334';

/**
 * The signs that go with some codes, each once, in the order of their numbers.
 *
 * Signs that give way to others are left out: the exclamation mark where the skull stands; for irritation where the
 * corrosion sign stands; for skin sensitisation and irritation where the health sign stands for the airways.
 * Source: Regulation (EC) No 1272/2008, article 26(1)(b) to (d); UN GHS 1.4.10.5.3.1. Signs that are only optional
 * (article 26(1)(a) and (e)) stay.
 */
export function signsOf(codes: readonly string[]): HazardSign[] {
	const known = codes.flatMap(partsOf).flatMap((part) => hazardCode(part) ?? []);
	const signs = new Set(known.flatMap((each) => each.signs));
	const airways = known.some(({ code }) => code === respiratorySensitisation);
	const givesWay = (code: string) => {
		if (signs.has('GHS06')) return true;
		if (irritation.includes(code)) return signs.has('GHS05') || airways;
		return code === skinSensitisation && airways;
	};
	const marked = known.filter((each) => each.signs.includes('GHS07'));
	if (marked.every(({ code }) => givesWay(code))) signs.delete('GHS07');
	return [...signs].sort();
}
