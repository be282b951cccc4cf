import type { Formulation } from '../products/formulation.ts';

/** Partners of a mix that are placed by what they do, whatever their formulation. */
export const mixKinds = [
	'water conditioner',
	'antifoam',
	'compatibility agent',
	'drift retardant',
	'oil adjuvant',
	'surfactant',
	'liquid fertiliser',
	'micronutrient',
] as const;
export type MixKind = (typeof mixKinds)[number];

/** A place in the general mixing order; lower ranks go in first. */
export type MixPlace = {
	readonly rank: number;
	readonly group: string;
	readonly why: string;
	/** Who publishes this place, and who differs. */
	readonly source: string;
};

/**
 * The general mixing order, merged from published ones; the label wins over all of them. Part fill and agitation come
 * before rank 1, container rinsate and the last water after rank 15.
 *
 * Sources: South Dakota State University Extension, *Preparing Spray Solutions: Mixing Order*; Oklahoma State University
 * Extension, PSS-2789; North Dakota State University, *Weed Control Guide 2021* (second-hand); Manitoba Agriculture,
 * *Guide to Crop Protection* (2013 reprint); Utah State University Extension, *Using a Jar Test*, 2012; *SportsField
 * Management*, May 2021, p. 21 ("turf press"); GRDC, *Spray Application Manual*, module 7, 2025.
 */
const places = {
	firstAid: {
		rank: 1,
		group: 'antifoam and compatibility agents',
		why: 'They only work when they are in before what foams or clots.',
		source: 'South Dakota State, Oklahoma State; turf press puts antifoam last',
	},
	waterSolubleBag: {
		rank: 2,
		group: 'water-soluble bags',
		why: 'The film dissolves in plain water only: salts, oils and solvents stop it.',
		source: 'Manitoba, Utah State, turf press; South Dakota State puts them after ammonium sulphate',
	},
	waterConditioner: {
		rank: 3,
		group: 'water conditioners',
		why: 'Hardness and pH must be dealt with before a product meets the water.',
		source: 'South Dakota State, Oklahoma State, North Dakota State, GRDC; turf press puts them after granules',
	},
	solubleSolid: {
		rank: 4,
		group: 'soluble solids',
		why: 'They need free water to dissolve in.',
		source: 'North Dakota State; Utah State puts them near the end',
	},
	dispersibleSolid: {
		rank: 5,
		group: 'dispersible solids',
		why: 'Granules and powders must be wetted and dispersed before any oil or solvent coats them.',
		source: 'all of the published orders',
	},
	dryDriftRetardant: {
		rank: 6,
		group: 'dry drift retardants',
		why: 'They swell in water and need the agitation that is still free.',
		source: 'turf press',
	},
	capsule: {
		rank: 7,
		group: 'capsule suspensions',
		why: 'Capsules go in before the solvents that could soften them.',
		source: 'Oklahoma State, Utah State, North Dakota State, turf press; South Dakota State puts them after emulsions',
	},
	suspension: {
		rank: 8,
		group: 'suspensions',
		why: 'Fine solids in water: after the dry products, before oils and solvents.',
		source: 'all of the published orders; Manitoba puts them with the dry products',
	},
	waterEmulsion: {
		rank: 9,
		group: 'emulsions in water and micro-emulsions',
		why: 'Oil that is already in droplets: between suspensions and concentrates.',
		source: 'turf press; North Dakota State puts them with the concentrates',
	},
	liquidDriftRetardant: {
		rank: 10,
		group: 'liquid drift retardants',
		why: 'Before the concentrates, so that it spreads evenly.',
		source: 'turf press; South Dakota State puts them last',
	},
	oilConcentrate: {
		rank: 11,
		group: 'emulsifiable concentrates and oil dispersions',
		why: 'They form their emulsion in the nearly full tank; before the dry products they give a paste that floats.',
		source: 'North Dakota State, turf press; Michigan State on the paste',
	},
	solution: {
		rank: 12,
		group: 'solutions',
		why: 'They dissolve at any time; salts in them can upset what is not dispersed yet.',
		source: 'North Dakota State, Utah State; Oklahoma State and Manitoba put them before concentrates',
	},
	oilAdjuvant: {
		rank: 13,
		group: 'oil adjuvants',
		why: 'Oils follow the products they help.',
		source: 'South Dakota State, Oklahoma State, Manitoba, Utah State, turf press',
	},
	surfactant: {
		rank: 14,
		group: 'surfactants',
		why: 'They foam: last of the spray products.',
		source: 'South Dakota State, Oklahoma State, Utah State, turf press',
	},
	fertiliser: {
		rank: 15,
		group: 'liquid fertilisers and micronutrients',
		why: 'Their salts are safest when everything else is dispersed.',
		source: 'Utah State, turf press; Manitoba puts fertiliser first',
	},
} as const satisfies Record<string, MixPlace>;

const placeByKind: Readonly<Record<MixKind, MixPlace>> = {
	antifoam: places.firstAid,
	'compatibility agent': places.firstAid,
	'water conditioner': places.waterConditioner,
	'drift retardant': places.liquidDriftRetardant,
	'oil adjuvant': places.oilAdjuvant,
	surfactant: places.surfactant,
	'liquid fertiliser': places.fertiliser,
	micronutrient: places.fertiliser,
};

/** GL and GW stand in no published order: gels are placed as what they turn into, an emulsion or a solution. Common practice. */
const placeByCode: Readonly<Record<string, MixPlace>> = {
	SG: places.solubleSolid,
	SP: places.solubleSolid,
	ST: places.solubleSolid,
	EG: places.dispersibleSolid,
	EP: places.dispersibleSolid,
	WG: places.dispersibleSolid,
	WP: places.dispersibleSolid,
	WT: places.dispersibleSolid,
	CS: places.capsule,
	ZC: places.capsule,
	SC: places.suspension,
	SE: places.suspension,
	ZE: places.suspension,
	EW: places.waterEmulsion,
	ME: places.waterEmulsion,
	ZW: places.waterEmulsion,
	DC: places.oilConcentrate,
	EC: places.oilConcentrate,
	EO: places.oilConcentrate,
	GL: places.oilConcentrate,
	OD: places.oilConcentrate,
	GW: places.solution,
	SL: places.solution,
};

/**
 * The place of a mix partner in the general order: the bag first, then its kind, then its formulation. Null where the
 * formulation has no place in a spray tank, or its letters do not say.
 * Source: see the table above.
 */
export function mixPlace(partner: {
	readonly formulation: Formulation | null;
	readonly kind: MixKind | null;
	readonly waterSolubleBag: boolean;
}): MixPlace | null {
	const { formulation, kind, waterSolubleBag } = partner;
	if (waterSolubleBag) return places.waterSolubleBag;
	if (kind === 'drift retardant' && formulation?.state === 'solid') return places.dryDriftRetardant;
	if (kind !== null) return placeByKind[kind];
	return placeByCode[formulation?.treatedAs ?? formulation?.code ?? ''] ?? null;
}

/** No published order gives minutes by formulation ("a few minutes", "uniform before the next"): assumptions, to be set on the farm. */
const WAIT_LIQUID_S = 180;
const WAIT_SOLID_OR_BAG_S = 300;

/** Seconds a product is given to disperse before the next one goes in, where nobody has set them: 3 min, for solids and bags 5 min. */
export function usualWaitS(partner: {
	readonly formulation: Formulation | null;
	readonly waterSolubleBag: boolean;
}): number {
	return partner.waterSolubleBag || partner.formulation?.state === 'solid' ? WAIT_SOLID_OR_BAG_S : WAIT_LIQUID_S;
}
