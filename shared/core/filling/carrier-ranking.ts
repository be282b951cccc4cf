import type { MixPlace } from './mix-ranking.ts';

/** What fills the tank around the products. */
export const mixCarriers = ['water', 'liquid fertiliser'] as const;
export type MixCarrier = (typeof mixCarriers)[number];

const SDSU = 'South Dakota State, for water, fertiliser or a mix of both';
const SDSU_OSU = 'South Dakota State, Oklahoma State, both also for other carriers than water';

type Change = Pick<MixPlace, 'rank' | 'why' | 'source'>;

/**
 * Where the order in liquid fertiliser differs from the one in water, by the group's place there. The salts of a
 * fertiliser stop bags and crystals from dissolving and bind the water that dry products wet in, so these are made up
 * with plain water before they go in; capsules follow the concentrates.
 *
 * Sources: South Dakota State University Extension, *Preparing Spray Solutions: Mixing Order*, the one order read that
 * names fertiliser as carrier: a third of the carrier, compatibility agent, dry products as a slurry with water, carrier to
 * 80 %, liquids and flowables, concentrates, capsules, surfactants and oils, the rest of the carrier. Oklahoma State
 * University Extension, PSS-2789: clean water or other carrier, dry products as a slurry. Manitoba Agriculture on bags and
 * fertiliser. What no published order says is marked as from memory.
 */
const changes: Readonly<Record<string, Change>> = {
	'antifoam and compatibility agents': {
		rank: 1,
		why: 'In the fertiliser before any product: it keeps the salts from clotting what follows.',
		source: SDSU,
	},
	'water-soluble bags': {
		rank: 2,
		why: 'Never into fertiliser: its salts stop the film. Dissolve the bag in plain water first, then add that.',
		source: 'Manitoba on bags and fertiliser; South Dakota State soaks them in a little water',
	},
	'water conditioners': {
		rank: 3,
		why: 'Dissolve in plain water first; in fertiliser it may not be needed: the label says so.',
		source: `${SDSU}; dissolving first is from memory`,
	},
	'soluble solids': {
		rank: 4,
		why: 'Dissolve in plain water first: fertiliser leaves no free water to dissolve in.',
		source: `${SDSU_OSU}, as other dry products`,
	},
	'dispersible solids': {
		rank: 5,
		why: 'As a slurry with plain water, two to one; dry into fertiliser they clot.',
		source: SDSU_OSU,
	},
	suspensions: {
		rank: 7,
		why: 'After the dry products, before concentrates.',
		source: SDSU_OSU,
	},
	'emulsions in water and micro-emulsions': {
		rank: 8,
		why: 'Oil that is already in droplets: between suspensions and concentrates.',
		source: 'as in water; no order in fertiliser names them',
	},
	solutions: {
		rank: 9,
		why: 'With the liquids, before concentrates. Amine salts can clot in cold fertiliser: dilute with water first.',
		source: `${SDSU} (liquids); diluting amines is from memory`,
	},
	'liquid drift retardants': {
		rank: 13,
		why: 'With the surfactants: last of the spray products.',
		source: SDSU,
	},
	'emulsifiable concentrates and oil dispersions': {
		rank: 11,
		why: 'After suspensions and solutions, agitation on; before the dry products they give a paste that floats.',
		source: `${SDSU}; Michigan State on the paste`,
	},
	'capsule suspensions': {
		rank: 12,
		why: 'After the concentrates in this order.',
		source: SDSU,
	},
};

/** The place of a mix partner when liquid fertiliser fills the tank; a group not named there keeps its place in water. */
export function placeInFertiliser(place: MixPlace): MixPlace {
	return { ...place, ...changes[place.group] };
}
