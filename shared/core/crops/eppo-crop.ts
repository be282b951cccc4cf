/**
 * Crops by their EPPO code: code | name. Codes are those of the EPPO Global Database; this list of common crops is from memory
 * and only puts a name to a code. A code that is not in it stays a code.
 */
const table = `
TRZAX | Wheat
TRZAW | Winter wheat
TRZAS | Spring wheat
TRZDU | Durum wheat
TRZSP | Spelt
HORVX | Barley
HORVW | Winter barley
HORVS | Spring barley
AVESA | Oats
SECCE | Rye
SECCW | Winter rye
TTLSS | Triticale
ZEAMX | Maize
ORYSA | Rice
SORVU | Sorghum
PANMI | Millet
FAGES | Buckwheat
BRSNN | Oilseed rape
BRSNW | Winter oilseed rape
BRSNS | Spring oilseed rape
HELAN | Sunflower
LIUUT | Linseed
GLXMA | Soya beans
PIBSX | Peas
VICFX | Field beans
LUPAL | White lupins
LUPAN | Blue lupins
LENCU | Lentils
CIEAR | Chickpeas
SINAL | White mustard
CMASA | Camelina
CNISA | Hemp
ARHHY | Groundnuts
GOSHI | Cotton
BEAVA | Sugar beet
BEAVC | Fodder beet
SOLTU | Potatoes
DAUCS | Carrots
ALLCE | Onions
ALLPO | Leeks
ALLSA | Garlic
BRSOL | Cabbage
BRSOB | Cauliflower
BRSOK | Broccoli
BRSOF | Brussels sprouts
LACSA | Lettuce
SPQOL | Spinach
LYPES | Tomatoes
CUMSA | Cucumbers
PHSVX | Beans
ASPOF | Asparagus
FRAAN | Strawberries
LOLPE | Perennial ryegrass
LOLMU | Italian ryegrass
FESPR | Meadow fescue
DACGL | Cocksfoot
PHLPR | Timothy
MEDSA | Lucerne
TRFPR | Red clover
TRFRE | White clover
VICSA | Vetch
VITVI | Vines
MABSD | Apples
PYUCO | Pears
PRNDO | Plums
PRNAV | Sweet cherries
OLVEU | Olives
HUMLU | Hops
RIBNI | Blackcurrants
RUBID | Raspberries
SACOF | Sugar cane
NIOTA | Tobacco
`;

const names = new Map(
	table
		.split('\n')
		.filter(Boolean)
		.map((row) => row.split(' | ') as [string, string]),
);

/** The crop of an EPPO code, in any case of letters, or null for a code that is not listed. */
export function cropOfEppoCode(code: string): string | null {
	return names.get(code.trim().toUpperCase()) ?? null;
}

/** `Winter wheat (TRZAW)`; a code that is not listed, or a name, stays as it is. */
export function writtenCrop(designation: string): string {
	const crop = cropOfEppoCode(designation);
	return crop === null ? designation : `${crop} (${designation})`;
}

/** One crop of several designations, in words: a listed code with its name, else a name rather than a code; undefined: none. */
export function writtenAs(designations: readonly string[]): string | undefined {
	const listed = designations.find((each) => cropOfEppoCode(each) !== null);
	return listed === undefined
		? (designations.find((each) => /\p{Ll}/u.test(each)) ?? designations[0])
		: writtenCrop(listed);
}

/**
 * A crop and its EPPO code from what a register has in the columns for both. A name that is a listed code is the code; a
 * code without a name gets the listed one, or stands as the name itself.
 */
export function cropFrom(name: string | null, code: string | null): { crop: string | null; eppoCode: string | null } {
	const asCode = code ?? (name !== null && cropOfEppoCode(name) !== null ? name : null);
	const eppoCode = asCode?.trim().toUpperCase() ?? null;
	const said = name === asCode ? null : name;
	return { crop: said ?? (eppoCode && (cropOfEppoCode(eppoCode) ?? eppoCode)), eppoCode };
}

/** Five letters: the form of a code for a plant, which some crops' names have too. Source: EPPO Standard PM 1/5 (from memory). */
export function hasFormOfEppoCode(text: string): boolean {
	return /^[A-Z]{5}$/.test(text);
}
