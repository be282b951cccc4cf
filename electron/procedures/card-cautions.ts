import { SLURRY_ORDER } from '../../shared/core/filling/slurry-order.ts';
import type { ApplicationKind } from '../../shared/core/loads/application-kind.ts';

const LABEL_FIRST = 'The product labels come first. This sheet informs; it permits nothing and replaces no label.';
const TRAINED = 'Only a trained and, where the law asks for it, licensed operator mixes and sprays.';

/** Said on every card and every plan of a spray, before anything else. */
const CAUTIONS: readonly string[] = [
	LABEL_FIRST,
	'Wear the protective equipment the labels ask for when opening, pouring and rinsing.',
	'Local rules on mixing places, buffer zones, wind and washings apply.',
	TRAINED,
];

/** Picking up what was spilled and covering seed: safety phrases SPe 5 and SPe 6, Regulation (EU) 547/2011, from memory. */
const ofKind: Readonly<Partial<Record<ApplicationKind, readonly string[]>>> = {
	granules: [
		LABEL_FIRST,
		'Wear the protective equipment the labels ask for when opening, filling and emptying the hopper; keep out of the dust.',
		'Calibrate with this product on this day: grain, damp, slope and speed change the rate. Empty the hopper every day.',
		'Pick up spilled granules and pellets at once: birds and other animals eat them.',
		'Local rules on filling places, buffer zones and wind apply.',
		'Only a trained and, where the law asks for it, licensed operator spreads them.',
	],
	'seed treatment': [
		LABEL_FIRST,
		'Wear the protective equipment the labels ask for when opening, treating and bagging; keep out of the dust.',
		'Treated seed is neither food nor feed: mark it, and keep it and its bags apart.',
		'Cover all of it with soil when sowing, at the ends of the rows too, and pick up spills at once: birds eat it.',
		'Local rules on treating places, marked bags and drilling in wind apply.',
		'Only a trained and, where the law asks for it, licensed operator treats seed.',
	],
	/** Fogs and gases in closed rooms: common practice. */
	'closed space': [
		LABEL_FIRST,
		'Wear the protective equipment the labels ask for, breathing protection too; never work in a treated space alone.',
		'Before the start: everyone and every animal out, doors and vents shut, every entrance marked with what, when and until when.',
		'Fogs and dusts burn: no flame, spark or hot surface, power off where the label says so.',
		'Enter again only after the time on the label and full ventilation; gases are measured first.',
		'Stored food, feed and surfaces that touch them are treated only where the label names them; keep to its waiting time.',
		'Only a trained and, where the law asks for it, licensed operator treats closed spaces; fumigants need a licence of their own in many places.',
	],
};

/** Jar test: Utah State University Extension, *Using a Jar Test*, 2012. Three partners or a fertiliser: common practice. */
const JAR_TEST = 'do a jar test first: shake, let stand 15 minutes, look for layers, clumps and heat.';
const PARTNERS_THAT_ASK = 3;
const SCORCH =
	'Liquid fertiliser scorches leaves and eyes: the labels and the crop’s stage say whether it may be sprayed on.';

/** Common practice. */
const MISSING =
	'A product is missing: stop. Go on without it only where the labels allow the rest alone, and plan the load again; nothing takes its place.';

/** What holds for one load of a job, the usual first, then what this mix asks for. */
export function cautionsOf(kind: ApplicationKind, partners: number): string[] {
	const usual = ofKind[kind] ?? (partners > 1 ? [...CAUTIONS, MISSING] : CAUTIONS);
	if (kind === 'seed treatment' && partners > 1) return [SLURRY_ORDER, ...usual];
	if (kind === 'spray in liquid fertiliser') return [...usual, `Liquid fertiliser as the carrier: ${JAR_TEST}`, SCORCH];
	if (kind === 'neat liquid') return [...usual, SCORCH];
	return kind === 'spray in water' && partners >= PARTNERS_THAT_ASK
		? [...usual, `${partners} partners in one mix: ${JAR_TEST}`]
		: [...usual];
}
