/** The coding system a label's formulation letters belong to: the same letters can mean different things. */
export type FormulationCoding = 'international' | 'north american';

export type Formulation = {
	readonly code: string;
	readonly name: string;
	/** State as sold. `either`: the letters do not say (technical material, combi-packs, "others"). */
	readonly state: 'liquid' | 'solid' | 'either';
	/** Does it go into a spray tank with water? `ask`: the letters do not say. */
	readonly tank: 'yes' | 'seed only' | 'no' | 'ask';
	/** A North American label term: the international code it is handled as. */
	readonly treatedAs?: string;
	/** Two coding systems use these letters: what each one means, as an international code. */
	readonly ambiguous?: readonly { readonly coding: FormulationCoding; readonly means: string }[];
	/** No longer in the international list: accepted on import, not offered for a new product. */
	readonly dropped?: true;
	/** Sealed in water-soluble bags (suffix SB). The bag, not the code, decides the place in the mixing order. */
	readonly waterSolubleBag?: true;
};

/**
 * Codes and terms: CropLife International, *Catalogue of pesticide formulation types and international coding system*,
 * Technical Monograph 2, 7th ed., 2017 (read in reprint). State and tank use are a reading of each definition, from memory.
 */
const international: readonly Formulation[] = [
	{ code: 'AL', name: 'Any other liquid, applied undiluted', state: 'liquid', tank: 'no' },
	{ code: 'CS', name: 'Capsule suspension', state: 'liquid', tank: 'yes' },
	{ code: 'DC', name: 'Dispersible concentrate', state: 'liquid', tank: 'yes' },
	{
		code: 'DS',
		name: 'Powder for dry seed treatment',
		state: 'solid',
		tank: 'seed only',
		ambiguous: eitherCoding('DS', 'SG'),
	},
	{ code: 'DT', name: 'Tablet for direct application', state: 'solid', tank: 'no' },
	{ code: 'EC', name: 'Emulsifiable concentrate', state: 'liquid', tank: 'yes' },
	{ code: 'EG', name: 'Emulsifiable granule', state: 'solid', tank: 'yes' },
	{ code: 'EO', name: 'Emulsion, water in oil', state: 'liquid', tank: 'yes' },
	{ code: 'EP', name: 'Emulsifiable powder', state: 'solid', tank: 'yes' },
	{ code: 'ES', name: 'Emulsion for seed treatment', state: 'liquid', tank: 'seed only' },
	{ code: 'EW', name: 'Emulsion, oil in water', state: 'liquid', tank: 'yes' },
	{ code: 'FS', name: 'Flowable concentrate for seed treatment', state: 'liquid', tank: 'seed only' },
	{ code: 'GL', name: 'Emulsifiable gel', state: 'liquid', tank: 'yes' },
	{ code: 'GR', name: 'Granule', state: 'solid', tank: 'no' },
	{ code: 'GW', name: 'Water soluble gel', state: 'liquid', tank: 'yes' },
	{ code: 'KK', name: 'Combi-pack solid/liquid', state: 'either', tank: 'ask' },
	{ code: 'KL', name: 'Combi-pack liquid/liquid', state: 'liquid', tank: 'ask' },
	{ code: 'LS', name: 'Solution for seed treatment', state: 'liquid', tank: 'seed only' },
	{ code: 'ME', name: 'Micro-emulsion', state: 'liquid', tank: 'yes', ambiguous: eitherCoding('ME', 'CS') },
	{ code: 'OD', name: 'Oil dispersion', state: 'liquid', tank: 'yes' },
	{ code: 'OF', name: 'Oil miscible flowable concentrate', state: 'liquid', tank: 'no' },
	{ code: 'OL', name: 'Oil miscible liquid', state: 'liquid', tank: 'no' },
	{ code: 'OP', name: 'Oil dispersible powder', state: 'solid', tank: 'no' },
	{ code: 'SC', name: 'Suspension concentrate', state: 'liquid', tank: 'yes', ambiguous: eitherCoding('SC', 'SL') },
	{ code: 'SD', name: 'Suspension concentrate for direct application', state: 'liquid', tank: 'no' },
	{ code: 'SE', name: 'Suspo-emulsion', state: 'liquid', tank: 'yes' },
	{ code: 'SG', name: 'Water soluble granule', state: 'solid', tank: 'yes' },
	{ code: 'SL', name: 'Soluble concentrate', state: 'liquid', tank: 'yes' },
	{ code: 'SO', name: 'Spreading oil', state: 'liquid', tank: 'no' },
	{ code: 'SP', name: 'Water soluble powder', state: 'solid', tank: 'yes' },
	{ code: 'ST', name: 'Water soluble tablet', state: 'solid', tank: 'yes' },
	{ code: 'SU', name: 'Ultra-low volume suspension', state: 'liquid', tank: 'no' },
	{ code: 'TB', name: 'Tablet', state: 'solid', tank: 'ask' },
	{ code: 'TC', name: 'Technical material', state: 'either', tank: 'no' },
	{ code: 'TK', name: 'Technical concentrate', state: 'either', tank: 'no' },
	{ code: 'UL', name: 'Ultra-low volume liquid', state: 'liquid', tank: 'no' },
	{ code: 'WG', name: 'Water dispersible granule', state: 'solid', tank: 'yes' },
	{ code: 'WP', name: 'Wettable powder', state: 'solid', tank: 'yes' },
	{ code: 'WS', name: 'Water dispersible powder for slurry seed treatment', state: 'solid', tank: 'seed only' },
	{ code: 'WT', name: 'Water dispersible tablet', state: 'solid', tank: 'yes' },
	{ code: 'XX', name: 'Others', state: 'either', tank: 'ask' },
	{ code: 'ZC', name: 'Mixed formulation of CS and SC', state: 'liquid', tank: 'yes' },
	{ code: 'ZE', name: 'Mixed formulation of CS and SE', state: 'liquid', tank: 'yes' },
	{ code: 'ZW', name: 'Mixed formulation of CS and EW', state: 'liquid', tank: 'yes' },
];

/** Met in a farm's store beside the tank products: slug pellets, dusts, store fogging, mole and rat gas. From memory. */
const storeOnly: readonly Formulation[] = [
	{ code: 'DP', name: 'Dustable powder', state: 'solid', tank: 'no' },
	{ code: 'FU', name: 'Smoke generator', state: 'solid', tank: 'no' },
	{ code: 'GE', name: 'Gas generating product', state: 'solid', tank: 'no' },
	{ code: 'GF', name: 'Gel for seed treatment', state: 'liquid', tank: 'seed only' },
	{ code: 'HN', name: 'Hot fogging concentrate', state: 'liquid', tank: 'no' },
	{ code: 'KN', name: 'Cold fogging concentrate', state: 'liquid', tank: 'no' },
	{ code: 'RB', name: 'Bait, ready for use', state: 'solid', tank: 'no' },
];

/** AB to CL: Ctgb (NL), *Evaluation Manual PPP*, ch. 2 app. 3, 2014, which still lists them. The others, and all terms: from memory. */
const droppedCodes: readonly Formulation[] = [
	{ code: 'AB', name: 'Grain bait', state: 'solid', tank: 'no', dropped: true },
	{ code: 'BB', name: 'Block bait', state: 'solid', tank: 'no', dropped: true },
	{ code: 'CF', name: 'Capsule suspension for seed treatment', state: 'liquid', tank: 'seed only', dropped: true },
	{ code: 'CG', name: 'Encapsulated granule', state: 'solid', tank: 'no', dropped: true },
	{ code: 'CL', name: 'Contact liquid or gel', state: 'liquid', tank: 'no', dropped: true },
	{ code: 'FG', name: 'Fine granule', state: 'solid', tank: 'no', dropped: true },
	{ code: 'GG', name: 'Macrogranule', state: 'solid', tank: 'no', dropped: true },
	{ code: 'MG', name: 'Microgranule', state: 'solid', tank: 'no', dropped: true },
	{ code: 'SS', name: 'Water soluble powder for seed treatment', state: 'solid', tank: 'seed only', dropped: true },
	{ code: 'WSB', name: 'Water-soluble bag', state: 'either', tank: 'yes', dropped: true, waterSolubleBag: true },
];

/**
 * North American label terms. DF, WDG, DG: common on US and Canadian labels. F, FL, S, SN: legend of OMAFRA
 * Publication 75, *Guide to Weed Control*, 2021, table 3-1.
 */
const northAmerican: readonly Formulation[] = [
	{ code: 'DF', name: 'Dry flowable', state: 'solid', tank: 'yes', treatedAs: 'WG' },
	{ code: 'DG', name: 'Dispersible granule', state: 'solid', tank: 'yes', treatedAs: 'WG' },
	{ code: 'F', name: 'Flowable', state: 'liquid', tank: 'yes', treatedAs: 'SC' },
	{ code: 'FL', name: 'Flowable', state: 'liquid', tank: 'yes', treatedAs: 'SC' },
	{ code: 'S', name: 'Solution', state: 'liquid', tank: 'yes', treatedAs: 'SL' },
	{ code: 'SN', name: 'Solution', state: 'liquid', tank: 'yes', treatedAs: 'SL' },
	{ code: 'WDG', name: 'Water dispersible granule', state: 'solid', tank: 'yes', treatedAs: 'WG' },
];

/** Every formulation on the list, by code. */
export const formulations: readonly Formulation[] = [
	...international,
	...storeOnly,
	...northAmerican,
	...droppedCodes,
].toSorted((a, b) => (a.code < b.code ? -1 : 1));

const byCode = new Map(formulations.map((formulation) => [formulation.code, formulation]));

/**
 * What a label's formulation code means; null for letters on no list. Case and surrounding blanks do not matter.
 *
 * The suffix SB (`WP-SB`, `WP SB`) marks a product sealed in water-soluble bags and is answered as `waterSolubleBag`.
 * An `ambiguous` answer is still usable where only the state matters (both meanings share it); the mixing order is
 * where the coding system must be asked for.
 * Source: see the tables above.
 */
export function formulationOf(code: string): Formulation | null {
	const letters = code.trim().toUpperCase();
	const listed = byCode.get(letters);
	if (listed !== undefined) return listed;
	const bagged = /^([A-Z]{1,3})[\s/-]*SB$/.exec(letters)?.[1];
	const content = bagged === undefined ? undefined : byCode.get(bagged);
	return content === undefined ? null : { ...content, waterSolubleBag: true };
}

/** The formulation that ambiguous letters stand for in one coding system; any other formulation is answered as it is. */
export function meaningIn(formulation: Formulation, coding: FormulationCoding): Formulation {
	const means = formulation.ambiguous?.find((meaning) => meaning.coding === coding)?.means;
	if (means === undefined) return formulation;
	const { ambiguous: _, ...settled } = formulationOf(means) ?? formulation;
	return formulation.waterSolubleBag === true ? { ...settled, waterSolubleBag: true } : settled;
}

/** Is it poured as a liquid? Follows the code, never the unit it is sold in. Null where the letters do not say. */
export function isLiquid(code: string): boolean | null {
	const state = formulationOf(code)?.state ?? 'either';
	return state === 'either' ? null : state === 'liquid';
}

/**
 * North American meanings of ME (micro-encapsulated), SC (soluble concentrate) and DS (dry soluble): OMAFRA
 * Publication 75, *Guide to Weed Control*, 2021, table 3-1.
 */
function eitherCoding(international: string, northAmerican: string): NonNullable<Formulation['ambiguous']> {
	return [
		{ coding: 'international', means: international },
		{ coding: 'north american', means: northAmerican },
	];
}
