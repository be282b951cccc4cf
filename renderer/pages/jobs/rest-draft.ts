import type { Job } from '../../../shared/contract/jobs.ts';
import type { Strategy } from '../../../shared/contract/jobs-plan.ts';
import { loadState, restOfLoad, standingLogs } from './job-words.ts';
import { toAre } from './log-draft.ts';

/** What is still open of a job while it is planned again. */
export type RestDraft = {
	readonly date: string | null;
	readonly toGo: Readonly<Record<string, number | null>>;
	/** The load that was broken off and whose mix goes into the next; null: none is carried on. */
	readonly carryFrom: number | null;
	readonly leftInTankL: number | null;
	readonly strategy: Strategy | null;
	readonly why: string;
	readonly overrideWhy: string;
};

export type RestRequest = {
	id: string;
	fields: { fieldId: string; areaHa: number }[];
	date?: string;
	strategy?: Strategy;
	leftInTankL?: number;
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

/** Mix in the tank when the rest begins, with sump and lines: what the broken-off load left, else the sump alone. */
export function mixLeft({ logs, plan }: Pick<Job, 'plan' | 'logs'>, carryFrom: number | null): number {
	const sumpL = plan.end?.unsprayableL ?? 0;
	if (carryFrom === null) return logs.some(({ state }) => state !== 'reversed') ? sumpL : 0;
	return sumpL + (standingLogs(logs, carryFrom).at(-1)?.stopped?.mixLeftL ?? 0);
}

export function newRest(job: Job): RestDraft {
	const carryFrom = brokenOffLoad(job);
	return {
		date: job.date,
		toGo: shownToGo(job, carryFrom),
		carryFrom,
		leftInTankL: mixLeft(job, carryFrom),
		strategy: null,
		why: '',
		overrideWhy: job.overrideWhy ?? '',
	};
}

export function shownToGo(job: Job, carryFrom: number | null): Record<string, number | null> {
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
	if (fields.length === 0 || draft.date === null) return null;
	return {
		id: job.id,
		fields,
		date: draft.date,
		...(draft.strategy === null ? {} : { strategy: draft.strategy }),
		...(draft.leftInTankL ? { leftInTankL: draft.leftInTankL } : {}),
		...(draft.carryFrom === null ? {} : { carryFrom: draft.carryFrom }),
	};
}
