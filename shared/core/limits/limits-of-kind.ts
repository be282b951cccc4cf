import type { ApplicationKind } from '../loads/application-kind.ts';
import type { Limit, LimitKind } from './limit.ts';

/** Nothing is sprayed, so its volume is limited in nothing. */
const notSpread: readonly LimitKind[] = ['sprayVolume'];
/** What holds for a crop that stands, or for the ground right after a spray, asks nothing of seed. */
const notOnSeed: readonly LimitKind[] = [...notSpread, 'stage', 'timeOfDay', 'reentry', 'livestock'];

/** The label limits that mean something for a kind of application. */
export function limitsOfKind(kind: ApplicationKind, limits: readonly Limit[]): Limit[] {
	const without = kind === 'seed treatment' ? notOnSeed : kind === 'granules' ? notSpread : [];
	return limits.filter((limit) => !without.includes(limit.kind));
}
