import type { Dose, Metres } from '../../units/quantity.ts';
import type { Bar } from '../sprayers/us-customary.ts';
import { exceeds, figure, type Limit } from './limit.ts';
import { waitOf } from './time-limits.ts';

/** Width of the water at its narrowest beside the treated ground: Defra PB5621, local assessment for boom sprayers. */
export const waterWidths = ['under 3 m', '3 to 6 m', 'over 6 m'] as const;
export type WaterWidth = (typeof waterWidths)[number];

/** What lies at a margin. `none`: no water there. */
export const watersThere = ['wet', 'dry', 'none'] as const;
export type WaterThere = (typeof watersThere)[number];

/** At least so many percent less drift than the reference nozzle; 0: not a drift-reducing one. Bands from memory. */
export const driftReductions = [0, 25, 50, 75, 90] as const;
export type DriftReduction = (typeof driftReductions)[number];

/** What a distance of a label protects. */
export const marginKinds = ['water', 'hedge', 'other'] as const;
export type MarginKind = (typeof marginKinds)[number];

/** One margin of a field as a person assessed it before the treatment. What is left out was not said. */
export type MarginKept = {
	/** Which side, which water: `ditch in the north`. */
	readonly margin: string;
	readonly water?: WaterThere | undefined;
	readonly width?: WaterWidth | undefined;
	readonly driftReduction?: DriftReduction | undefined;
	/** At the nozzles, from the least to the most; one alone where it did not vary. */
	readonly pressureFromBar?: Bar | undefined;
	readonly pressureToBar?: Bar | undefined;
	/** Whether drift-reducing equipment was used within 30 m of the top of the bank; asked where the label asks for more than 5 m. */
	readonly lessDriftWithin30M?: boolean | undefined;
	/** From the top of the bank; left out only where there is no water. */
	readonly keptM?: Metres | undefined;
	readonly by: string;
};

export const doseClasses = ['quarter', 'half', 'three-quarter', 'full'] as const;
export type DoseClass = (typeof doseClasses)[number];

/**
 * Class of a dose by its share of the largest single dose that the label has for any crop: 0 to 25 % quarter, 25.1 to 50 %
 * half, 50.1 to 75 % three-quarter, above full; the share counts to a tenth of a percent. Source: Defra PB5621.
 */
export function doseClassOf(dosePerHa: Dose, largest: Dose): DoseClass {
	const percent = Math.round((dosePerHa / largest) * 1000) / 10;
	const found = [25, 50, 75].findIndex((most) => percent <= most);
	return doseClasses[found] ?? 'full';
}

/** The largest single dose of a label for any crop; null where none is on the books. */
export function largestSingleDose(limits: readonly Limit[]): Dose | null {
	const doses = limits.flatMap(({ kind, max, doseUnit }) =>
		kind === 'singleDose' && max !== undefined && max > 0 && doseUnit === undefined ? [max] : [],
	);
	return doses.length === 0 ? null : Math.max(...doses);
}

/** A label that asks for a distance to water and lets an assessment reduce it. */
export function isReducible(limit: Limit): boolean {
	return limit.kind === 'buffer' && limit.reducible === true && protectsWater(limit) && (waitOf(limit) ?? 0) > 0;
}

/** Labels that ask for more than these metres are used only with less drift near the bank. Great Britain, from memory. */
const WIDE_M = 5;
/** Of that equipment, at least so many percent less drift within 30 m of the bank. Great Britain, from memory. */
const LESS_DRIFT_PERCENT = 75;

/** A label whose distance to water is so wide that the equipment within 30 m of the bank is asked about. */
export function isWideFromWater(limit: Pick<Limit, 'kind' | 'margin' | 'min' | 'max'>): boolean {
	return limit.kind === 'buffer' && protectsWater(limit) && exceeds(waitOf(limit) ?? 0, WIDE_M);
}

/** It was said of water that there was no such equipment, or that what there was reduces drift by less. */
export function lacksEquipment({ water, driftReduction, lessDriftWithin30M }: MarginKept): boolean {
	if (water === 'none' || lessDriftWithin30M === undefined) return false;
	return !lessDriftWithin30M || (driftReduction !== undefined && driftReduction < LESS_DRIFT_PERCENT);
}

export function protectsWater({ margin = 'water' }: Pick<Limit, 'margin'>): boolean {
	return margin === 'water';
}

/** What a record keeps of the margins: as assessed, and what the label said of the dose and the distance then. */
export type Assessed = {
	readonly margins: readonly MarginKept[];
	/** Metres the label asks to keep from water; left out: it asks for none. */
	readonly labelM?: Metres | undefined;
	/** Left out: the books do not say. */
	readonly reducible?: boolean | undefined;
	/** Left out: the label asks for no distance, or its largest dose is not on the books. */
	readonly doseClass?: DoseClass | undefined;
	readonly largestDose?: Dose | undefined;
};

/** The margins of a field beside one product of the mix, as its label stands now. */
export function assessed(
	margins: readonly MarginKept[],
	{ limits, dosePerHa }: { readonly limits: readonly Limit[]; readonly dosePerHa: Dose | null },
): Assessed {
	const [widest] = limits
		.filter((limit) => limit.kind === 'buffer' && protectsWater(limit) && (waitOf(limit) ?? 0) > 0)
		.sort((a, b) => (waitOf(b) ?? 0) - (waitOf(a) ?? 0));
	if (widest === undefined) return { margins };
	const largest = largestSingleDose(limits);
	return {
		margins,
		labelM: waitOf(widest) ?? 0,
		...(widest.reducible === undefined ? {} : { reducible: widest.reducible }),
		...(largest === null || dosePerHa === null
			? {}
			: { doseClass: doseClassOf(dosePerHa, largest), largestDose: largest }),
	};
}

/** A dose below the full class together with less than the label's distance: its ground waits 48 h for a second one. */
export function isShrunk({ margins, labelM = 0, reducible, doseClass = 'full' }: Assessed): boolean {
	return reducible === true && doseClass !== 'full' && margins.some((row) => isShort(row, labelM));
}

/** Less than these metres kept from water. */
export function isShort({ water, keptM }: MarginKept, metres: Metres): boolean {
	return water !== 'none' && keptM !== undefined && exceeds(metres, keptM);
}

/** The least that was kept at any of them; null: nowhere was anything to keep. */
export function narrowestKept({ margins }: Pick<Assessed, 'margins'>): Metres | null {
	const kept = margins.flatMap(({ keptM }) => keptM ?? []);
	return kept.length === 0 ? null : Math.min(...kept);
}

/** What an assessment of water still lacks to be held against a table of distances, in words. */
export function notAssessed({ water, width, driftReduction }: MarginKept): string[] {
	if (water === 'dry' || water === 'none') return [];
	return [
		...(water === undefined ? ['whether it was wet or dry'] : []),
		...(width === undefined ? ['the width of the water'] : []),
		...(driftReduction === undefined ? ['the drift-reduction class of the nozzles'] : []),
	];
}

/** What is good to have of an assessment and was not said of every margin at water. */
export const openItems = ['pressure at the margins', 'less drift within 30 m'] as const;

export function leftOpen({ margins, labelM = 0 }: Pick<Assessed, 'margins' | 'labelM'>): (typeof openItems)[number][] {
	const atWater = margins.filter(({ water }) => water !== 'none');
	const [pressure, equipment] = openItems;
	const noPressure = atWater.some((row) => row.pressureFromBar === undefined && row.pressureToBar === undefined);
	const noEquipment = exceeds(labelM, WIDE_M) && atWater.some((row) => row.lessDriftWithin30M === undefined);
	return [...(noPressure ? [pressure] : []), ...(noEquipment ? [equipment] : [])];
}

/** `2 to 3 bar`; null: not said. */
function pressureWords({ pressureFromBar: from, pressureToBar: to }: MarginKept): string | null {
	if (from === undefined) return to === undefined ? null : `up to ${figure(to)} bar`;
	return to === undefined || to === from ? `${figure(from)} bar` : `${figure(from)} to ${figure(to)} bar`;
}

/** `ditch in the north: wet, under 3 m wide, 75 % less drift, 2 to 3 bar, 1 m kept` */
export function marginWords(kept: MarginKept): string {
	const { margin, water, width, driftReduction, lessDriftWithin30M: within, keptM } = kept;
	const parts = [
		water === 'none' ? 'no water' : water,
		width && `${width} wide`,
		driftReduction === undefined
			? ''
			: driftReduction === 0
				? 'no drift-reducing nozzles'
				: `${driftReduction} % less drift`,
		pressureWords(kept),
		within === undefined ? '' : `${within ? '' : 'no '}drift-reducing equipment within 30 m`,
		keptM === undefined ? '' : `${keptM} m kept`,
	];
	return `${margin}: ${parts.filter(Boolean).join(', ')}`;
}

/** The margins, who assessed them, and what the label asked for, in one line. */
export function assessedWords(assessed: Assessed): string {
	const by = [...new Set(assessed.margins.map((margin) => margin.by))].join(' and ');
	return [`${assessed.margins.map(marginWords).join('; ')}, by ${by}`, labelWords(assessed)].filter(Boolean).join('. ');
}

/** What stands beside the margins on a record: what the label asked for, and the class of the dose. */
export function labelWords({ labelM, reducible, doseClass }: Assessed): string {
	const may = reducible === undefined ? '' : reducible ? ', which an assessment may reduce' : ', not to be reduced';
	if (labelM === undefined) return '';
	const asks = `The label asks for ${labelM} m${may}`;
	return doseClass === undefined ? asks : `${asks}; ${doseClass} dose class`;
}
