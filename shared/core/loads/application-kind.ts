import { formulationOf } from '../products/formulation.ts';
import type { UseType } from '../records/rule-sets.ts';
import type { PlanWarning } from './loads-request.ts';

/** How a job brings its products out. */
export const applicationKinds = [
	'spray in water',
	'spray in liquid fertiliser',
	'neat liquid',
	'granules',
	'seed treatment',
	'closed space',
] as const;
export type ApplicationKind = (typeof applicationKinds)[number];

/** What a farm brings products out with. */
export const machineKinds = ['sprayer', 'granule applicator', 'seed treater', 'indoor applicator'] as const;
export type MachineKind = (typeof machineKinds)[number];

/** The machine a kind of job needs. */
export function machineFor(kind: ApplicationKind): MachineKind {
	if (kind === 'granules') return 'granule applicator';
	if (kind === 'closed space') return 'indoor applicator';
	return kind === 'seed treatment' ? 'seed treater' : 'sprayer';
}

/** Is a tank filled for it? */
export function needsTank(kind: ApplicationKind): boolean {
	return machineFor(kind) === 'sprayer';
}

/** The type of use its records name: seed treatment and closed spaces are types of their own, all else goes on land. */
export function typeOfUse(kind: ApplicationKind): UseType {
	if (kind === 'closed space') return kind;
	return kind === 'seed treatment' ? 'seed or plant reproductive material' : 'treatment of surfaces';
}

type ProductOfKind = {
	readonly name: string;
	readonly formulation: string;
	readonly isFertiliser: boolean;
};

/**
 * Products whose formulation does not go with the way they are brought out: one for a spray tank that is to be spread dry
 * or put on seed, a concentrate that is to go out undiluted. The label decides; the code only asks for a second look.
 * What does not go into water is warned of where its room in the tank is worked out.
 */
export function formulationWarnings(kind: ApplicationKind, products: readonly ProductOfKind[]): PlanWarning[] {
	return products.flatMap(({ name, formulation, isFertiliser }) => {
		const known = formulationOf(formulation);
		if (known === null || isFertiliser || known.tank === 'ask') return [];
		const warn = (code: string, what: string) => [
			{ code, message: `${name}: ${known.code} (${known.name}) ${what}. Check the label.`, record: name },
		];
		if (kind === 'granules' && known.tank !== 'no') return warn('product.notGranule', 'is not made to be spread dry');
		if (kind === 'seed treatment' && known.tank !== 'seed only') {
			return warn('product.notForSeed', 'is not made for treating seed');
		}
		if (kind === 'closed space' && known.tank === 'seed only') {
			return warn('product.onlyForSeed', 'is made for treating seed');
		}
		if (kind === 'neat liquid' && known.tank !== 'no') {
			return warn('product.usuallyDiluted', 'is made to be diluted, and this job puts it out neat');
		}
		return [];
	});
}
