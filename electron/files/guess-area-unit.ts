/** In which unit a column of figures gives the areas of the fields, judged by the measured areas and the heading. */
import { M2_PER_UNIT } from '../../shared/units/area.ts';
import type { Hectares } from '../../shared/units/quantity.ts';
import { wordsOf } from './heading-words.ts';
import type { AttributeValue } from './layer.ts';

export type AreaUnit = keyof typeof M2_PER_UNIT;
export type UnitGuess = {
	readonly unit: AreaUnit /** Median of |figure ÷ measured − 1|. */;
	readonly deviation: number;
};

/**
 * Units that can be told apart by size. US survey acres and feet differ from the international ones by 4 parts per million,
 * which no column of figures shows: who means them says so.
 */
const tellable = ['ha', 'm2', 'ac', 'ft2', 'km2'] as const satisfies readonly AreaUnit[];

/** Headings in the languages of field registers. Whole words, or beginnings (with a dash). Common practice; from memory. */
const areaWords =
	`area- areal- flache- flaeche- groesse- grosse- surf- superf- opp opperv- vym- pow powierz- plocha- hectar- hektar-
	ha acre- ac terulet- suprafat- povrsin- pinta- ala pind- plot- shapearea sqm sqft m2 ft2 size`.split(/\s+/);

const unitWords: Readonly<Record<string, AreaUnit>> = {
	ha: 'ha',
	hectare: 'ha',
	hectares: 'ha',
	hektar: 'ha',
	m2: 'm2',
	qm: 'm2',
	sqm: 'm2',
	ac: 'ac',
	acre: 'ac',
	acres: 'ac',
	ft2: 'ft2',
	sqft: 'ft2',
	km2: 'km2',
};

/** Rounding to 0.01 ha is 2 % of half a hectare and more of less. */
const SMALL_FIELD_HA = 0.5;
/** Declared areas differ from measured ones by up to 2 % in the middle (registers of four countries), single fields by more. */
const MEDIAN_WITHIN = 0.1;
const FIELD_WITHIN = 0.25;
/** Without an area's heading the figures must fit closely, and in several fields. */
const UNNAMED = { least: 5, medianWithin: 0.03, fieldWithin: 0.1 };
/** A heading that names the unit is believed while the figures don't contradict it by more than this factor. */
const NAMED_UNIT_FACTOR = 2;

/** The unit, or null where the figures are no areas of these fields or the unit is not sure. */
export function guessAreaUnit(
	heading: string,
	values: readonly AttributeValue[],
	areasHa: readonly (Hectares | null)[],
): UnitGuess | null {
	const ratios = ratiosOf(values, areasHa);
	if (ratios.length === 0) return null;
	const named = looksLikeArea(heading);
	const rule = named ? { least: 1, medianWithin: MEDIAN_WITHIN, fieldWithin: FIELD_WITHIN } : UNNAMED;
	if (ratios.length < rule.least) return null;
	const said = unitOfHeading(heading);
	for (const unit of tellable) {
		const deviations = ratios.map((ratio) => Math.abs((ratio * M2_PER_UNIT[unit]) / 10_000 - 1));
		const within = deviations.filter((deviation) => deviation <= rule.fieldWithin).length / deviations.length;
		const middle = medianOf(ratios.map((ratio) => (ratio * M2_PER_UNIT[unit]) / 10_000));
		if (Math.abs(middle - 1) <= rule.medianWithin && within >= 0.6) {
			// A heading that says hectares over figures in acres: one of the two is wrong.
			return said === null || said === unit ? { unit, deviation: medianOf(deviations) } : null;
		}
	}
	return named && said ? byHeading(said, ratios) : null;
}

/** Whether a heading speaks of area. */
export function looksLikeArea(heading: string): boolean {
	const words = wordsOf(heading);
	return [...words, words.join('')].some((word) =>
		areaWords.some((known) => (known.endsWith('-') ? word.startsWith(known.slice(0, -1)) : word === known)),
	);
}

function unitOfHeading(heading: string): AreaUnit | null {
	return (
		wordsOf(heading)
			.map((word) => unitWords[word])
			.find((unit) => unit !== undefined) ?? null
	);
}

function byHeading(unit: AreaUnit, ratios: readonly number[]): UnitGuess | null {
	const inUnit = ratios.map((ratio) => (ratio * M2_PER_UNIT[unit]) / 10_000);
	const middle = medianOf(inUnit);
	if (middle > NAMED_UNIT_FACTOR || middle < 1 / NAMED_UNIT_FACTOR) return null;
	return { unit, deviation: medianOf(inUnit.map((ratio) => Math.abs(ratio - 1))) };
}

/** Figure per measured hectare, of the fields large enough to tell, else of all. */
function ratiosOf(values: readonly AttributeValue[], areasHa: readonly (Hectares | null)[]): number[] {
	const pairs = values.flatMap((value, index) => {
		const figure =
			typeof value === 'number'
				? value
				: typeof value === 'string'
					? Number(value.trim().replace(',', '.'))
					: Number.NaN;
		const measured = areasHa[index] ?? null;
		return figure > 0 && Number.isFinite(figure) && measured !== null && measured > 0 ? [{ figure, measured }] : [];
	});
	const large = pairs.filter(({ measured }) => measured >= SMALL_FIELD_HA);
	return (large.length >= 3 ? large : pairs).map(({ figure, measured }) => figure / measured);
}

function medianOf(figures: readonly number[]): number {
	const inOrder = figures.toSorted((one, other) => one - other);
	const middle = Math.floor(inOrder.length / 2);
	const upper = inOrder[middle] ?? Number.NaN;
	return inOrder.length % 2 === 1 ? upper : ((inOrder[middle - 1] ?? upper) + upper) / 2;
}
