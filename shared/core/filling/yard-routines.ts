import type { ApplicationKind } from '../loads/application-kind.ts';

/** Routines of the filling place. Common practice; the label and the site's own rules come first. */

/** What can go wrong while a tank is filled, as it is logged. */
export const incidentKinds = ['overflow', 'foam over the side', 'spill', 'splash', 'leak', 'blocked foil'] as const;
export type IncidentKind = (typeof incidentKinds)[number];

/** What can go wrong with what is filled in this way: granules neither foam nor splash, seed is treated by the batch. */
export function incidentKindsOf(kind: ApplicationKind): readonly IncidentKind[] {
	if (kind === 'granules') return ['spill', 'leak'];
	return kind === 'seed treatment' ? ['spill', 'splash', 'leak', 'blocked foil'] : incidentKinds;
}

/** When foam rises or the tank runs over, in this order. Common practice. */
export const TROUBLE_ROUTINE = [
	{ do: 'Stop everything', how: 'Put down what is in your hand. Lid on, nobody near the splash.' },
	{ do: 'Shut the water', how: 'The inlet valve first, then the pump.' },
	{ do: 'Stop the agitation', how: 'It feeds the foam.' },
	{ do: 'Contain it', how: 'Tray, absorbent or earth around it. Keep it from drains, ditches and the well.' },
	{
		do: 'Antifoam, or wait',
		how: 'Antifoam only where the labels of this mix allow it; else wait until it has settled.',
	},
] as const;

/** When the last container is done. Common practice. */
export const cleanDownTasks = [
	'hopper and bowl washed',
	'drip tray emptied back into the tank',
	'overflow container emptied back into the tank',
	'containers on the drain rack',
] as const;
export type CleanDownTask = (typeof cleanDownTasks)[number];

/** Whom to tell when something got out, by where it got to. Common practice; the numbers stand on the sheet of the store. */
export const WHOM_TO_TELL = [
	{ when: 'Always', tell: 'whoever is in charge on the farm, at once; do not wait until it is cleaned up.' },
	{
		when: 'On skin, in eyes, swallowed, breathed in',
		tell: 'emergency services or the poisons centre, with the label in hand; first aid as the label says.',
	},
	{
		when: 'In a drain, ditch, pond, well or stream',
		tell: 'the environment or water authority, and whoever draws water downstream.',
	},
	{ when: 'In a public sewer', tell: 'the sewerage company.' },
	{ when: 'On a road, or on a neighbour’s ground', tell: 'the police or road authority; the neighbour.' },
] as const;

/** What to do first with what got out. Common practice. */
export const SPILL_CAUTIONS = [
	'Protective equipment of the concentrate before anything is touched; nobody and no animal near it.',
	'Dam it with sand, earth or absorbent; close drains. Never hose it away.',
	'What was soaked up, and what it was soaked up with, is hazardous waste: into a marked drum, kept under lock.',
] as const;
