import { type JobStored, type LoadLogStored, standing } from '../../db/modules/jobs.ts';
import type { StoreId } from '../../db/modules/store.ts';
import type { Job } from '../../shared/contract/jobs.ts';
import type { NotAsNamed } from '../../shared/contract/jobs-drawn.ts';
import type { PlannedIndoors, PlannedSpace } from '../../shared/contract/jobs-indoors.ts';
import type { Seed } from '../../shared/contract/jobs-kinds.ts';
import type { MarginOnField } from '../../shared/contract/jobs-margins.ts';
import type { JobPlan, PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { spaceDoses } from '../../shared/core/loads/closed-space.ts';
import { SEED_PER_DOSE } from '../../shared/core/loads/seed.ts';
import type { KeptDose } from './said-dose.ts';

/** What a job keeps beside its columns. */
export type JobDetails = {
	/** For whom, where it is contract work. */
	readonly customer: string | null;
	/** The store its loads draw from; null: the first. */
	readonly storeId: StoreId;
	readonly reason: string | null;
	readonly operator: string | null;
	readonly growthStage: string | null;
	readonly nozzle: string | null;
	readonly pressureBar: number | null;
	readonly speedKmh: number | null;
	readonly boomHeightM: number | null;
	readonly bufferM: number | null;
	readonly overrideWhy: string | null;
	/** Doses as they were said, by product; without one it was said per hectare. */
	readonly doses: Readonly<Record<string, KeptDose>>;
	/** What is treated, where it is seed. */
	readonly seed: Seed | null;
	/** What is treated, where it is closed spaces. */
	readonly indoors: PlannedIndoors | null;
};

export type JobClosing = NonNullable<Job['closing']>;

/** What was said at the end of a job; null while it is open. */
export function closingOf({ closing }: Pick<JobStored, 'closing'>): JobClosing | null {
	// Jobs closed before washings were asked for say nothing of them.
	return closing
		? { washings: null, ...(JSON.parse(closing) as Omit<JobClosing, 'washings'> & Partial<JobClosing>) }
		: null;
}

export function planOf(job: JobStored): JobPlan {
	// Plans saved before an item was kept lack it.
	const kept = JSON.parse(job.plan) as Omit<JobPlan, 'end' | 'toAnswer' | 'carried' | 'startsAt'> & Partial<JobPlan>;
	const plan = { end: null, toAnswer: [], carried: [], startsAt: 1, ...kept };
	if (!plan.loads.some(({ space, spaces }) => space !== undefined && !spaces)) return plan;
	const spaces = detailsOf(job).indoors?.spaces.map(({ spaceId, name, amount }) => ({ spaceId, name, amount })) ?? [];
	return { ...plan, loads: plan.loads.map((load) => ({ ...load, spaces })) };
}

/** The first jobs did not hold these. */
type KeptLater = 'customer' | 'storeId' | 'doses' | 'seed' | 'indoors';

/** Jobs of one closed space alone held it with the unit of its doses and the mix. */
type OneSpace = { readonly space?: (PlannedSpace & Omit<PlannedIndoors, 'spaces'>) | null };

export function detailsOf(job: JobStored): JobDetails {
	const { space, ...kept } = JSON.parse(job.details) as Omit<JobDetails, KeptLater> & Partial<JobDetails> & OneSpace;
	return { customer: null, storeId: null, doses: {}, seed: null, indoors: space ? ofOneSpace(space) : null, ...kept };
}

function ofOneSpace({ unit, mixL, ...space }: NonNullable<OneSpace['space']>): PlannedIndoors {
	return { unit, mixL, spaces: [space] };
}

/** What the log of a load keeps beside its columns. */
export type LogDetails = {
	readonly products: readonly {
		readonly productId: string;
		readonly amount: number;
		readonly batches?: readonly string[];
		/** What the plan named for it and was not there. */
		readonly notAsNamed?: NotAsNamed;
	}[];
	readonly ground: readonly { fieldId: string; areaHa: number }[];
	readonly note: string | null;
	/** Distances kept, as they were assessed. */
	readonly margins?: readonly MarginOnField[];
	/** Litres that rinsed the containers from the clean tank, beside what the meter read. */
	readonly rinsedL?: number;
	/** Seed treated, kg or units. */
	readonly seed?: number;
	/** Of each closed space: m³, m² or t. */
	readonly spaces?: readonly SpaceTreated[];
	readonly stopped: {
		readonly why: string;
		readonly mixLeftL: number | null;
		readonly mix: 'kept' | 'disposed';
	} | null;
};

export type SpaceTreated = { readonly spaceId: string; readonly amount: number };

/** What some logs treated of each closed space of their job. */
export function spacesTreated(
	logs: readonly LoadLogStored[],
	indoors: Pick<PlannedIndoors, 'spaces'>,
): Map<string, number> {
	const treated = new Map<string, number>();
	for (const log of logs) {
		for (const { spaceId, amount } of spacesIn(log, indoors)) {
			treated.set(spaceId, (treated.get(spaceId) ?? 0) + amount);
		}
	}
	return treated;
}

/** What one log treated of each closed space; a log of a job that could have only one says how much, not of which. */
export function spacesIn(log: LoadLogStored, { spaces }: Pick<PlannedIndoors, 'spaces'>): readonly SpaceTreated[] {
	const { spaces: said, space } = JSON.parse(log.details) as LogDetails & { readonly space?: number };
	const [only] = spaces;
	return said ?? (only && space !== undefined ? [{ spaceId: only.spaceId, amount: space }] : []);
}

export function logDetails(log: LoadLogStored): LogDetails {
	return JSON.parse(log.details) as LogDetails;
}

/** Water that went onto the seed of one log: as it was measured, else the share of the batch; null: none was planned. */
export function waterOnSeed(
	{ seed, slurryL, waterL }: Pick<PlannedLoad, 'seed' | 'slurryL' | 'waterL'>,
	log: { readonly meteredL: number | null; readonly seed: number | undefined },
): number | null {
	if (slurryL === undefined || !seed) return null;
	return log.meteredL ?? Math.round(((waterL * (log.seed ?? 0)) / seed) * 1e6) / 1e6;
}

/** What a job treats that is no ground, and how much of it one dose is for; null: it treats ground. */
export function quantityOf({
	seed,
	indoors,
}: Pick<JobDetails, 'seed' | 'indoors'>): { amount: number; per: number } | null {
	if (indoors) return { amount: inAll(indoors), per: spaceDoses[indoors.unit].per };
	return seed && { amount: seed.amount, per: SEED_PER_DOSE[seed.unit] };
}

/** Of all its closed spaces together. */
export function inAll({ spaces }: { readonly spaces: readonly { readonly amount: number }[] }): number {
	return spaces.reduce((sum, { amount }) => sum + amount, 0);
}

/** Seed, or of closed spaces, treated so far by the logs that stand, in its own unit. */
export function quantityTreated(logs: readonly LoadLogStored[]): number {
	return standing(logs).reduce((sum, log) => {
		const { seed, spaces = [], space } = logDetails(log) as LogDetails & { readonly space?: number };
		return sum + (seed ?? space ?? inAll({ spaces }));
	}, 0);
}

/** Loads that are over: logged in full, or broken off with the mix disposed of. */
export function finishedLoads(logs: readonly LoadLogStored[]): Set<number> {
	const over = standing(logs).filter((log) => log.state === 'complete' || logDetails(log).stopped?.mix === 'disposed');
	return new Set(over.map((log) => log.loadNumber));
}

/** Loads that are over, also one that was broken off and whose mix went into a later load. */
export function overLoads({ carried }: JobPlan, logs: readonly LoadLogStored[]): Set<number> {
	const logged = new Set(standing(logs).map((log) => log.loadNumber));
	const over = finishedLoads(logs);
	for (const { from } of carried) if (logged.has(from)) over.add(from);
	return over;
}
