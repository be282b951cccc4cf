import type { ApplicationKind, MachineKind } from '../shared/core/loads/application-kind.ts';

/** How products are brought out, as it is chosen and read. */
export const kindNames: Readonly<Record<ApplicationKind, string>> = {
	'spray in water': 'Spray in water',
	'spray in liquid fertiliser': 'Spray in liquid fertiliser',
	'neat liquid': 'Neat liquid',
	granules: 'Granules or pellets',
	'seed treatment': 'Seed treatment',
	'closed space': 'Closed space',
};

/** The same where there is little room. */
export const kindChoices: Readonly<Record<ApplicationKind, string>> = {
	'spray in water': 'Spray in water',
	'spray in liquid fertiliser': 'In fertiliser',
	'neat liquid': 'Neat liquid',
	granules: 'Granules',
	'seed treatment': 'Seed',
	'closed space': 'Closed space',
};

export const machineNames: Readonly<Record<MachineKind, string>> = {
	sprayer: 'Sprayer',
	'granule applicator': 'Granule applicator',
	'seed treater': 'Seed treater',
	'indoor applicator': 'Indoor applicator',
};

/** What one portion of such a job is called. */
export function portionWord(kind: ApplicationKind): 'load' | 'fill' | 'batch' | 'treatment' {
	if (kind === 'granules') return 'fill';
	if (kind === 'closed space') return 'treatment';
	return kind === 'seed treatment' ? 'batch' : 'load';
}

/** `Spray in liquid fertiliser (Fenlow N 28)`. */
export function broughtOut(kind: ApplicationKind, carrier: string | null): string {
	return carrier === null ? kindNames[kind] : `${kindNames[kind]} (${carrier})`;
}

/** What is left in the tank of such a job. */
export function restWord(kind: ApplicationKind): 'mix' | 'product' {
	return kind === 'neat liquid' ? 'product' : 'mix';
}
