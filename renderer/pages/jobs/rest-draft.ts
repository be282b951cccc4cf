import type { Job } from '../../../shared/contract/jobs.ts';
import type { Strategy } from '../../../shared/contract/jobs-plan.ts';
import { needsTank } from '../../../shared/core/loads/application-kind.ts';
import { loadState, restOfLoad, standingLogs } from './job-words.ts';
import { toAre } from './log-draft.ts';

/** What is still open of a job while it is planned again. */
export type RestDraft = {
	readonly date: string | null;
	readonly toGo: Readonly<Record<string, number | null>>;
	/** The load that was broken off and whose mix goes into the next; null: none is carried on. */
	readonly carryFrom: number | null;
	readonly leftInTankL: number | null;
	readonly leftInHopperKg: number | null;
	/** Seed still to be treated; null: no seed, or none is said. */
	readonly seed: number | null;
	readonly strategy: Strategy | null;
	readonly why: string;
	readonly overrideWhy: string;
};

export type RestRequest = {
	id: string;
	fields?: { fieldId: string; areaHa: number }[];
	seed?: number;
	date?: string;
	strategy?: Strategy;
	leftInTankL?: number;
	leftInHopperKg?: number;
	carryFrom?: number;
};

/** The load that stands broken off with its mix kept, where there is one. */
export function brokenOffLoad({ plan, logs }: Pick<Job, 'plan' | 'logs'>): number | null {
	return plan.loads.find(({ load }) => loadState(logs, load) === 'broken off')?.load ?? null;
}

/** Ground still to go by field: what no log covers; a load that is gone on with keeps what is left of its own. */
export function groundToGo(job: Pick<Job, 'fields' | 'plan' | 'logs'>, carryFrom: number | null): Map<string, number> {
	const begun = brokenOffLoad(job);
	const load = begun === carryFrom ? undefined : job.plan.loads.find((each) => each.load === begun);
	const held = load ? restOfLoad(load, standingLogs(job.logs, load.load)).ground : [];
	return new Map(
		job.fields.map(({ fieldId, areaHa, treatedHa }) => {
			const heldHa = held.find((part) => part.fieldId === fieldId)?.areaHa ?? 0;
			const open = areaHa - treatedHa - heldHa;
			return [fieldId, open > 1e-5 ? open : 0];
		}),
	);
}

/**
 * Mix in the tank when the rest begins, with sump and lines: what the broken-off load left, by the ground it did not reach
 * where nobody said it, else the sump alone.
 */
export function mixLeft(
	{ logs, plan, sprayVolumeLPerHa }: Pick<Job, 'plan' | 'logs' | 'sprayVolumeLPerHa'>,
	carryFrom: number | null,
): number {
	const sumpL = plan.end?.unsprayableL ?? 0;
	if (carryFrom === null) return logs.some(({ state }) => state !== 'reversed') ? sumpL : 0;
	const own = standingLogs(logs, carryFrom);
	const told = own.at(-1)?.stopped?.mixLeftL ?? null;
	const load = plan.loads.find((each) => each.load === carryFrom);
	const openHa = load ? restOfLoad(load, own).ground.reduce((sum, { areaHa }) => sum + areaHa, 0) : 0;
	return sumpL + (told ?? Math.round(openHa * sprayVolumeLPerHa));
}

/** Granules in the hopper when the rest begins: what the ground not covered would have had. */
export function hopperLeft({ logs, plan }: Pick<Job, 'plan' | 'logs'>, carryFrom: number | null): number | null {
	const load = plan.loads.find((each) => each.load === carryFrom);
	if (load?.hopperKg === undefined) return null;
	const openHa = restOfLoad(load, standingLogs(logs, load.load)).ground.reduce((sum, { areaHa }) => sum + areaHa, 0);
	return Math.round((load.hopperKg * openHa * 10) / load.areaHa) / 10;
}

/** Seed still to be treated: all but what the logs treated, and what a batch that is gone on with still holds. */
export function seedToGo(job: Pick<Job, 'seed' | 'plan' | 'logs'>, carryFrom: number | null): number | null {
	if (job.seed === null) return null;
	const treated = (logs: Job['logs']) => logs.reduce((sum, { seed = 0 }) => sum + seed, 0);
	const begun = brokenOffLoad(job);
	const load = begun === carryFrom ? undefined : job.plan.loads.find((each) => each.load === begun);
	const held = load ? (load.seed ?? 0) - treated(standingLogs(job.logs, load.load)) : 0;
	const open = job.seed.amount - treated(job.logs.filter(({ state }) => state !== 'reversed')) - held;
	return open > 0 ? Math.round(open * 1000) / 1000 : null;
}

/** What carrying on a load that was broken off, or leaving it to be gone on with, makes of the rest. */
export function carriedOn(job: Job, carryFrom: number | null): Partial<RestDraft> {
	return {
		carryFrom,
		leftInTankL: mixLeft(job, carryFrom),
		leftInHopperKg: hopperLeft(job, carryFrom),
		toGo: shownToGo(job, carryFrom),
		seed: seedToGo(job, carryFrom),
	};
}

export function newRest(job: Job): RestDraft {
	const carryFrom = brokenOffLoad(job);
	return {
		date: job.date,
		toGo: shownToGo(job, carryFrom),
		carryFrom,
		leftInTankL: mixLeft(job, carryFrom),
		leftInHopperKg: hopperLeft(job, carryFrom),
		seed: seedToGo(job, carryFrom),
		strategy: null,
		why: '',
		overrideWhy: job.overrideWhy ?? '',
	};
}

function shownToGo(job: Job, carryFrom: number | null): Record<string, number | null> {
	return Object.fromEntries(
		[...groundToGo(job, carryFrom)].map(([fieldId, areaHa]) => [fieldId, toAre(areaHa) || null]),
	);
}

/** What is sent: the plan's own figure, unrounded, where it stands; null while nothing is to go. */
export function restRequest(draft: RestDraft, job: Job): RestRequest | null {
	const own = groundToGo(job, draft.carryFrom);
	const fields = job.fields.flatMap(({ fieldId }) => {
		const typed = draft.toGo[fieldId] ?? 0;
		const exact = own.get(fieldId) ?? 0;
		const areaHa = typed === toAre(exact) ? exact : typed;
		return areaHa > 0 ? [{ fieldId, areaHa }] : [];
	});
	const onSeed = job.seed !== null;
	if ((onSeed ? !draft.seed : fields.length === 0) || draft.date === null) return null;
	return {
		id: job.id,
		...(onSeed ? {} : { fields }),
		...(onSeed && draft.seed ? { seed: draft.seed } : {}),
		date: draft.date,
		...(draft.strategy === null ? {} : { strategy: draft.strategy }),
		...(draft.leftInTankL && needsTank(job.kind) ? { leftInTankL: draft.leftInTankL } : {}),
		...(draft.leftInHopperKg && job.kind === 'granules' ? { leftInHopperKg: draft.leftInHopperKg } : {}),
		...(draft.carryFrom === null ? {} : { carryFrom: draft.carryFrom }),
	};
}
