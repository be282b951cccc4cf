import type { ApplicationKind } from '../loads/application-kind.ts';
import type { Limit, LimitKind } from './limit.ts';

/** Nothing is sprayed, so its volume is limited in nothing. */
const notSpread: readonly LimitKind[] = ['sprayVolume'];
/** What holds for a crop that stands, or for the ground right after a spray, asks nothing of seed. */
const notOnSeed: readonly LimitKind[] = [...notSpread, 'stage', 'timeOfDay', 'flowering', 'reentry', 'livestock'];

/** The label limits that mean something for a kind of application. */
export function limitsOfKind(kind: ApplicationKind, limits: readonly Limit[]): Limit[] {
	if (kind === 'closed space') return [...limits];
	const without = kind === 'seed treatment' ? notOnSeed : kind === 'granules' ? notSpread : [];
	return limits.filter((limit) => !without.includes(limit.kind) && !isOfClosedSpaces(limit));
}

/** A single dose that the label gives for closed spaces says nothing about ground or seed. */
function isOfClosedSpaces({ doseUnit }: Limit): boolean {
	return doseUnit !== undefined;
}

/** The single doses with a maximum that a label gives for ground or seed. */
export function singleDoses(limits: readonly Limit[]): (Limit & { readonly max: number })[] {
	return limits.filter(
		(limit): limit is Limit & { readonly max: number } =>
			limit.kind === 'singleDose' && limit.max !== undefined && !isOfClosedSpaces(limit),
	);
}
