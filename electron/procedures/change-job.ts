import type { z } from 'zod';
import { auditOf } from '../../db/modules/audit.ts';
import {
	findJob,
	type JobFieldStored,
	type JobStored,
	jobFields,
	jobProducts,
	loadLogs,
	replaceLines,
	saveJob,
	standing,
} from '../../db/modules/jobs.ts';
import { setSpacesOfJob } from '../../db/modules/spaces.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Job, jobsContract } from '../../shared/contract/jobs.ts';
import type { JobPlan, PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { toIso } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { detailsOf, planOf } from './job-details.ts';
import { jobRows, standsAgainst } from './job-rows.ts';
import { jobById } from './jobs.ts';
import { type PlannedJob, planJob } from './plan-job.ts';
import { planRest, planWithRest } from './plan-rest.ts';

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
	await setSpacesOfJob(tx, id, rows.spaces);
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
	const { planned, kept, seed } = rest.value;
	const details = detailsOf(job);
	const reason = overrideWhy ?? details.overrideWhy;
	const against = standsAgainst(planned.plan, reason);
	if (against) return against;
	if (by) signedBy(by);
	await keepEarlier(context, job, why);
	await saveJob(tx, {
		...job,
		sprayDate: planned.date,
		plan: JSON.stringify(planWithRest(rest.value, wanted.carryFrom)),
		details: JSON.stringify({ ...details, overrideWhy: reason, seed }),
	});
	// Seed is no ground yet: where it is to be sown stays as it was said.
	if (seed === null) await replaceLines(tx, id, await groundRows(tx, job, { kept: kept.groundHa, planned }));
	return jobById(tx, farm, id);
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
