import { type JobStored, type LoadLogStored, standing } from '../../db/modules/jobs.ts';
import type { StoreId } from '../../db/modules/store.ts';
import type { Job } from '../../shared/contract/jobs.ts';
import type { NotAsNamed } from '../../shared/contract/jobs-drawn.ts';
import type { PlannedSpace, Seed } from '../../shared/contract/jobs-kinds.ts';
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
	/** What is treated, where it is a closed space. */
	readonly space: PlannedSpace | null;
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
	return {
		end: null,
		toAnswer: [],
		carried: [],
		startsAt: 1,
		...(JSON.parse(job.plan) as Omit<JobPlan, 'end' | 'toAnswer' | 'carried' | 'startsAt'> & Partial<JobPlan>),
	};
}

/** The first jobs did not hold these. */
type KeptLater = 'customer' | 'storeId' | 'doses' | 'seed' | 'space';

export function detailsOf(job: JobStored): JobDetails {
	return {
		customer: null,
		storeId: null,
		doses: {},
		seed: null,
		space: null,
		...(JSON.parse(job.details) as Omit<JobDetails, KeptLater> & Partial<JobDetails>),
	};
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
	/** Litres that rinsed the containers from the clean tank, beside what the meter read. */
	readonly rinsedL?: number;
	/** Seed treated, kg or units. */
	readonly seed?: number;
	/** Of a closed space: m³, m² or t. */
	readonly space?: number;
	readonly stopped: {
		readonly why: string;
		readonly mixLeftL: number | null;
		readonly mix: 'kept' | 'disposed';
	} | null;
};

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
	space,
}: Pick<JobDetails, 'seed' | 'space'>): { amount: number; per: number } | null {
	if (space) return { amount: space.amount, per: spaceDoses[space.unit].per };
	return seed && { amount: seed.amount, per: SEED_PER_DOSE[seed.unit] };
}

/** How much of it a load is planned for, or a log treated. */
export function quantityIn({
	seed,
	space,
}: {
	readonly seed?: number | undefined;
	readonly space?: number | undefined;
}): number | undefined {
	return seed ?? space;
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
