/** Routines of the filling place. Common practice; the label and the site's own rules come first. */

/** What can go wrong while a tank is filled, as it is logged. */
export const incidentKinds = ['overflow', 'foam over the side', 'spill', 'splash', 'leak', 'blocked foil'] as const;
export type IncidentKind = (typeof incidentKinds)[number];

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
