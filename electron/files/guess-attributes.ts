/** Which columns of a file hold the names, the codes and the mapped areas of its fields: by their headings and their values. */
import { cropOfEppoCode, hasFormOfEppoCode } from '../../shared/core/crops/eppo-crop.ts';
import type { Hectares } from '../../shared/units/quantity.ts';
import { type AreaUnit, guessAreaUnit, looksLikeArea } from './guess-area-unit.ts';
import { wordsOf } from './heading-words.ts';
import type { Attribute, AttributeValue } from './layer.ts';

/** The part of a boundary file that the guess looks at. */
export type Columns = {
	readonly attributes: readonly Attribute[];
	readonly records: readonly { readonly properties: Readonly<Record<string, AttributeValue>> }[];
};

export type AttributeGuess = {
	readonly name: string | null;
	readonly code: string | null;
	readonly mappedArea: string | null;
	readonly mappedAreaUnit: AreaUnit | null;
	readonly crop: string | null;
	/** The column with the crops' EPPO codes. */
	readonly cropCode: string | null;
	readonly variety: string | null;
};

type Column = {
	readonly name: string;
	readonly words: readonly string[];
	readonly values: readonly string[];
	readonly kind: string;
};

/** Headings of the languages in which field registers are published. Common practice; from memory. */
const nameWords =
	words(`name names fieldname namn navn naam nom nombre nome nazwa nazev nimi vards nev denumire naziv ime
	bezeichnung schlagname feldname flurname perceelsnaam marknavn skiftesnavn toponyme lieudit label title titel designation`);
const codeWords =
	words(`code kod kode id fid nr no num number nummer numero numer cislo ref reference ident identifier key
	uniqueid fieldid parcelid marknr fieldno schlagnr parcelle parcel gerk zkod inspireid`);
/** Field numbers of a farm: they name fields, though another farm in the same file has the same numbers. */
const fieldNumbers = words(
	'marknr schlagnr feldnr fieldno fieldnr fieldnumber perceelnr perceelsnr skiftesnr schlag field perceel mark',
);
/** Areas of another kind than the mapped one: they agree best with the measurement, as they are one. Common practice. */
const otherAreas = words('measured meas gps load treated sprayed worked machine');
/** Headings under which a season's crop and its variety stand. Common practice; from memory. */
const cropWords =
	words(`crop crops kultur kulturart hauptfrucht frucht fruchtart gewas gewass culture cultures cultivo cultura coltura
	uprawa plodina afgrode afgroede grode groda kasvi vilja main maincrop croptype cropname nutzung`);
const varietyWords = words(
	'variety varieties cultivar sorte ras variete variedad varieta odmiana odruda sort varietet',
);
/** A crop's own number says nothing to a reader. */
const numberWords = words('code kod nr no num id');
/** Row numbers that the writing program hands out anew each time. */
const rowNumbers = words('objectid fid ogcfid gid oid rowid index');

/**
 * Guesses the columns. `areasHa` are the measured areas, one for each record or null. With `given`, that column is the mapped
 * area and only its unit is guessed. Whatever is not sure is null: a square degree never passes for a hectare.
 */
export function guessAttributes(
	file: Columns,
	areasHa: readonly (Hectares | null)[],
	given?: string | undefined,
): AttributeGuess {
	const columns = file.attributes.map(({ name, kind }): Column => {
		const values = file.records.map(({ properties }) => String(properties[name] ?? '').trim());
		return { name, words: wordsOf(name), values, kind };
	});
	const area = given === undefined ? guessArea(file, areasHa) : { name: given, unit: unitOf(file, given, areasHa) };
	const others = columns.filter(({ name, kind }) => name !== area?.name && kind !== 'date');
	const code = bestOf(others, codeScore);
	const name = bestOf(others, nameScore);
	const rest = others.filter((column) => column.name !== (name ?? code) && column.name !== code);
	const cropCode = bestOf(rest, eppoScore);
	const spoken = rest.filter((column) => column.name !== cropCode);
	return {
		name: name ?? code,
		code: code === name ? null : code,
		mappedArea: area?.name ?? null,
		mappedAreaUnit: area?.unit ?? null,
		crop: bestOf(spoken, (column) => wordScore(column, cropWords)),
		cropCode,
		variety: bestOf(spoken, (column) => wordScore(column, varietyWords)),
	};
}

/** Of the columns whose figures are areas of these fields, one with an area's heading, then the one nearest to the measured. */
function guessArea(file: Columns, areasHa: readonly (Hectares | null)[]): { name: string; unit: AreaUnit } | null {
	const fitting = file.attributes.flatMap(({ name }) => {
		if (isOtherArea(name)) return [];
		const guess = guessAreaUnit(name, valuesOf(file, name), areasHa);
		return guess ? [{ name, ...guess, named: looksLikeArea(name) }] : [];
	});
	fitting.sort((one, other) => Number(other.named) - Number(one.named) || one.deviation - other.deviation);
	return fitting[0] ?? null;
}

/** Whether a heading speaks of the mapped area, in whatever unit. */
export function speaksOfMappedArea(heading: string): boolean {
	return looksLikeArea(heading) && !isOtherArea(heading);
}

function isOtherArea(heading: string): boolean {
	return wordsOf(heading).some((word) => otherAreas.has(word));
}

function unitOf(file: Columns, name: string, areasHa: readonly (Hectares | null)[]): AreaUnit | null {
	return guessAreaUnit(name, valuesOf(file, name), areasHa)?.unit ?? null;
}

function valuesOf({ records }: Columns, name: string): AttributeValue[] {
	return records.map(({ properties }) => properties[name] ?? null);
}

/** Names may repeat, but a column in which most do names crops or places. A heading that is nothing but "name" always counts. */
function nameScore({ words: heading, values }: Column): number {
	const said = heading.filter((word) => nameWords.has(word)).length;
	if (filled(values) < 0.5) return 0;
	if (said === 0) return fieldNumbers.has(heading.join('')) && distinct(values) > 0.3 ? distinct(values) : 0;
	const plain = heading.length === 1 || heading.join('') === 'fieldname';
	return plain ? 3 + distinct(values) : distinct(values) > 0.5 ? 1 + distinct(values) : 0;
}

/** Codes must tell the fields apart. */
function codeScore({ words: heading, values }: Column): number {
	const joined = heading.join('');
	const said = heading.some((word) => codeWords.has(word)) || codeWords.has(joined);
	if (!said || filled(values) < 0.9 || distinct(values) < 0.95) return 0;
	return rowNumbers.has(joined) ? 1 : 2 + (heading.length === 1 ? 1 : 0);
}

/** Codes of five letters under a heading that says so; else most of them must be listed crops: WHEAT has five letters too. */
function eppoScore({ words: heading, values, kind }: Column): number {
	const some = values.filter((value) => value !== '');
	if (kind !== 'text' || some.length === 0) return 0;
	const formed = some.filter(hasFormOfEppoCode).length;
	if (formed < 0.9 * some.length) return 0;
	const different = [...new Set(some)];
	const listed = different.filter((value) => cropOfEppoCode(value) !== null).length;
	return heading.some((word) => word.startsWith('eppo')) ? 2 : listed > different.length / 2 ? 1 : 0;
}

/** A column of words under such a heading, with words in most of its values; figures and three capitals are someone's list of codes. */
function wordScore({ words: heading, values, kind }: Column, wanted: ReadonlySet<string>): number {
	const joined = heading.join('');
	if (kind !== 'text' || (!heading.some((word) => wanted.has(word)) && !wanted.has(joined))) return 0;
	if (heading.some((word) => numberWords.has(word))) return 0;
	const some = values.filter((value) => value !== '');
	const spoken = some.filter((value) => /\p{L}{4}|\p{L}\p{Ll}{2}/u.test(value)).length;
	return some.length > 0 && spoken > some.length / 2 ? 1 + filled(values) : 0;
}

function bestOf(columns: readonly Column[], score: (column: Column) => number): string | null {
	let [best, highest]: [string | null, number] = [null, 0];
	for (const column of columns) {
		const reached = score(column);
		if (reached > highest) [best, highest] = [column.name, reached];
	}
	return best;
}

function filled(values: readonly string[]): number {
	return values.length === 0 ? 0 : values.filter((value) => value !== '').length / values.length;
}

/** Share of the filled values that stand only once. */
function distinct(values: readonly string[]): number {
	const some = values.filter((value) => value !== '');
	return some.length === 0 ? 0 : new Set(some).size / some.length;
}

function words(text: string): ReadonlySet<string> {
	return new Set(text.split(/\s+/));
}
