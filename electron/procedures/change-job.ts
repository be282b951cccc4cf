import type { z } from 'zod';
import { auditOf } from '../../db/modules/audit.ts';
import {
	findJob,
	type JobFieldStored,
	type JobStored,
	jobFields,
	jobProducts,
	type LoadLogStored,
	loadLogs,
	replaceLines,
	saveJob,
	standing,
} from '../../db/modules/jobs.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Job, jobsContract } from '../../shared/contract/jobs.ts';
import type { JobPlan, PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { toIso } from './clock.ts';
import { given } from './given.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { detailsOf, logDetails, overLoads, planOf } from './job-details.ts';
import { jobRows, standsAgainst } from './job-rows.ts';
import { jobById } from './jobs.ts';
import { type PlannedJob, planJob } from './plan-job.ts';
import { saidAs } from './said-dose.ts';

type Input<Name extends 'change' | 'replan' | 'previewRest'> = z.output<
	(typeof jobsContract)[Name]['~orpc']['inputSchema'] & z.ZodType
>;

/** The job as it may be changed: there, open, and at the version it was read at. */
async function openJob(db: ReadDb, id: string, version?: number): Promise<Result<JobStored>> {
	const found = await findJob(db, id);
	if (!found || found.job.withdrawnWhy !== null) return refuse('not.found', { what: 'job', id });
	if (found.job.closing) return refuse('job.closed', { id });
	if (version !== undefined && found.job.version !== version) return refuse('row.changed', { what: found.job.name });
	return ok(found.job);
}

/** Changes the plan of a job of which nothing is logged. The plan before goes into the book of changes, whole. */
export async function changeJob(context: CommandContext, input: Input<'change'>): Promise<Result<Job>> {
	const { tx, farm, now, signedBy } = context;
	const { key: _, id, version, overrideWhy, why, by, ...wanted } = input;
	const opened = await openJob(tx, id, version);
	if (!opened.ok) return opened;
	if (standing(await loadLogs(tx, [id])).length > 0) return refuse('job.begun', { id });
	const planned = await planJob({ db: tx, farm, now }, { ...wanted, forJob: id });
	if (!planned.ok) return planned;
	const against = standsAgainst(planned.value.plan, overrideWhy);
	if (against) return against;
	if (by) signedBy(by);
	const rows = jobRows(planned.value, wanted, { id, farm, overrideWhy });
	await keepEarlier(context, opened.value, why ?? null);
	await saveJob(tx, { ...opened.value, ...rows.job });
	await replaceLines(tx, id, rows.fields, rows.products);
	return jobById(tx, farm, id);
}

export async function previewRest(context: QueryContext, input: Input<'previewRest'>): Promise<Result<JobPlan>> {
	const opened = await openJob(context.db, input.id);
	if (!opened.ok) return opened;
	const rest = await planRest(context, opened.value, input);
	if (!rest.ok) return rest;
	const { planned, first } = rest.value;
	return ok({ ...planned.plan, loads: planned.plan.loads.map((load, index) => ({ ...load, load: first + index })) });
}

/** Plans what is still open again. Loads that are logged stay as they are, with their numbers. */
export async function replanJob(context: CommandContext, input: Input<'replan'>): Promise<Result<Job>> {
	const { tx, farm, now, signedBy } = context;
	const { id, version, overrideWhy, why, by, ...wanted } = input;
	const opened = await openJob(tx, id, version);
	if (!opened.ok) return opened;
	const job = opened.value;
	const rest = await planRest({ db: tx, farm, now }, job, wanted);
	if (!rest.ok) return rest;
	const { planned, kept, first } = rest.value;
	const details = detailsOf(job);
	const reason = overrideWhy ?? details.overrideWhy;
	const against = standsAgainst(planned.plan, reason);
	if (against) return against;
	if (by) signedBy(by);
	const renumbered = planned.plan.loads.map((load, index) => ({ ...load, load: first + index }));
	const plan: JobPlan = {
		...planned.plan,
		loads: [...kept.loads, ...renumbered],
		startsAt: first,
		carried: [...kept.carried, ...(wanted.carryFrom === undefined ? [] : [{ from: wanted.carryFrom, into: first }])],
	};
	await keepEarlier(context, job, why);
	await saveJob(tx, {
		...job,
		sprayDate: planned.date,
		plan: JSON.stringify({ ...plan, totals: totalsOf(plan) }),
		details: JSON.stringify({ ...details, overrideWhy: reason }),
	});
	await replaceLines(tx, id, await groundRows(tx, job, { kept: kept.groundHa, planned }));
	return jobById(tx, farm, id);
}

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };
type Kept = {
	readonly loads: readonly PlannedLoad[];
	readonly carried: JobPlan['carried'];
	/** Ground of the loads that stay, by field. */
	readonly groundHa: ReadonlyMap<string, number>;
};
type Rest = { readonly planned: PlannedJob; readonly kept: Kept; readonly first: number };
type Wanted = Omit<Input<'previewRest'>, 'id'>;

async function planRest(books: Books, job: JobStored, wanted: Wanted): Promise<Result<Rest>> {
	const { db } = books;
	const plan = planOf(job);
	const logs = standing(await loadLogs(db, [job.id]));
	const { carryFrom } = wanted;
	if (carryFrom !== undefined && !brokenOff(plan, logs).includes(carryFrom)) {
		return refuse('load.noMixKept', { load: carryFrom });
	}
	if (job.kind === 'seed treatment' || job.kind === 'spray in liquid fertiliser') {
		const why = `the rest of a ${job.kind} is planned as a job of its own: close this one early first`;
		return refuse('input.invalid', { path: 'id', why });
	}
	const kept = keptLoads(plan, logs, carryFrom);
	const details = detailsOf(job);
	const lines = await jobProducts(db, [job.id]);
	const planned = await planJob(books, {
		...given({
			customer: details.customer ?? undefined,
			reason: details.reason ?? undefined,
			operator: details.operator ?? undefined,
			growthStage: details.growthStage ?? undefined,
			bufferM: details.bufferM ?? undefined,
			date: wanted.date ?? job.sprayDate,
			strategy: wanted.strategy,
			leftInTankL: wanted.leftInTankL,
		}),
		...(job.sprayVolume > 0 ? { sprayVolumeLPerHa: job.sprayVolume } : {}),
		forJob: job.id,
		kind: job.kind,
		sprayerId: job.sprayerId,
		fields: wanted.fields,
		products: lines.map(({ line }) => saidAs(line.productId, details.doses[line.productId], line.dose)),
	});
	if (!planned.ok) return planned;
	if (planned.value.plan.loads.length === 0) {
		return refuse('job.nothingToMix', { leftL: wanted.leftInTankL ?? 0 });
	}
	return ok({ planned: planned.value, kept, first: Math.max(0, ...kept.loads.map(({ load }) => load)) + 1 });
}

/** Loads that were broken off with the mix kept and are still to be gone on with. */
function brokenOff(plan: JobPlan, logs: readonly LoadLogStored[]): number[] {
	const over = overLoads(plan, logs);
	return [...new Set(logs.map(({ loadNumber }) => loadNumber))].filter((load) => !over.has(load));
}

/**
 * The loads with a log that stands. One whose mix is carried on is over with the ground it covered; one that is over
 * keeps the ground it covered; one still to be gone on with keeps its own.
 */
function keptLoads(plan: JobPlan, logs: readonly LoadLogStored[], carryFrom: number | undefined): Kept {
	const over = overLoads(plan, logs);
	const groundHa = new Map<string, number>();
	const loads = plan.loads.flatMap((load): PlannedLoad[] => {
		const own = logs.filter(({ loadNumber }) => loadNumber === load.load);
		if (own.length === 0) return [];
		const covered = Map.groupBy(
			own.flatMap((log) => logDetails(log).ground),
			({ fieldId }) => fieldId,
		);
		const isOver = over.has(load.load) || load.load === carryFrom;
		const done = [...covered].map(([fieldId, parts]) => ({
			fieldId,
			areaHa: parts.reduce((sum, { areaHa }) => sum + areaHa, 0),
		}));
		for (const { fieldId, areaHa } of isOver ? done : load.ground) {
			groundHa.set(fieldId, (groundHa.get(fieldId) ?? 0) + areaHa);
		}
		if (load.load !== carryFrom) return [load];
		const areaHa = done.reduce((sum, part) => sum + part.areaHa, 0);
		const ground = load.ground
			.filter(({ fieldId }) => covered.has(fieldId))
			.map((part) => ({
				...part,
				areaHa: done.find(({ fieldId }) => fieldId === part.fieldId)?.areaHa ?? 0,
				finishesField: false,
			}));
		return [{ ...load, areaHa, ground }];
	});
	return { loads, carried: plan.carried, groundHa };
}

/** Totals over the loads that stay and those planned again; what is in the store stands as it was found now. */
function totalsOf({ loads, totals }: JobPlan): JobPlan['totals'] {
	const sum = (of: (load: PlannedLoad) => number) => loads.reduce((total, load) => total + of(load), 0);
	return {
		areaHa: sum(({ areaHa }) => areaHa),
		mixL: sum(({ newMixL }) => newMixL),
		waterL: sum(({ waterL }) => waterL),
		products: totals.products.map((line) => ({
			...line,
			amount: Number(
				sum(({ products }) => products.find(({ productId }) => productId === line.productId)?.amount ?? 0).toFixed(6),
			),
		})),
	};
}

/** The ground of the job: what the loads that stay hold of each field, and what is still to go there. */
async function groundRows(
	db: ReadDb,
	job: JobStored,
	{ kept, planned }: { readonly kept: ReadonlyMap<string, number>; readonly planned: PlannedJob },
): Promise<JobFieldStored[]> {
	const before = await jobFields(db, [job.id]);
	const open = new Map(planned.fields.map(({ row, areaHa }) => [row.field.id, areaHa]));
	const ids = [...new Set([...before.map(({ line }) => line.fieldId), ...open.keys()])];
	return ids.flatMap((fieldId, position): JobFieldStored[] => {
		const areaHa = (kept.get(fieldId) ?? 0) + (open.get(fieldId) ?? 0);
		const was = before.find(({ line }) => line.fieldId === fieldId)?.line;
		if (areaHa <= 0) return [];
		const same = was && Math.abs(toHectares(was.areaM2) - areaHa) < 1e-6;
		return [
			{
				jobId: job.id,
				fieldId,
				position,
				areaM2: toSquareMetres(areaHa),
				areaBasis: same ? was.areaBasis : 'given for this job',
			},
		];
	});
}

type EarlierPlan = {
	readonly version: number;
	readonly date: string;
	readonly sprayVolumeLPerHa: number;
	readonly fields: readonly { readonly field: string; readonly areaHa: number }[];
	readonly products: readonly { readonly product: string; readonly unit: 'L' | 'kg'; readonly dosePerHa: number }[];
	readonly loads: readonly PlannedLoad[];
};
type Replaced = { readonly plan: EarlierPlan; readonly why: string | null };

/** The plan as it stood, whole, into the audit line of this command, which nobody can change. */
async function keepEarlier({ tx, note }: CommandContext, job: JobStored, why: string | null): Promise<void> {
	const plan: EarlierPlan = {
		version: job.version,
		date: job.sprayDate,
		sprayVolumeLPerHa: job.sprayVolume,
		fields: (await jobFields(tx, [job.id])).map(({ line, name }) => ({ field: name, areaHa: toHectares(line.areaM2) })),
		products: (await jobProducts(tx, [job.id])).map(({ line, name, unit }) => ({
			product: name,
			unit,
			dosePerHa: line.dose,
		})),
		loads: planOf(job).loads,
	};
	note({ table: 'job', id: job.id, before: job.version, after: job.version + 1 });
	note({ table: 'job plan', id: job.id, before: JSON.stringify({ plan, why } satisfies Replaced), after: null });
}

export async function earlierPlans({ db, farm }: QueryContext, { id }: { id: string }) {
	if (!(await findJob(db, id))) return refuse('not.found', { what: 'job', id });
	const lines = await auditOf(db, ['jobs.change', 'jobs.replan'], id);
	return ok(
		lines.flatMap(({ at, who, changes }) => {
			const kept = (JSON.parse(changes) as { table: string; id: string; before: string }[]).find(
				(change) => change.table === 'job plan' && change.id === id,
			);
			if (!kept) return [];
			const { plan, why } = JSON.parse(kept.before) as Replaced;
			return [{ ...plan, why, by: who, replacedAt: toIso(at, farm.zone) }];
		}),
	);
}
