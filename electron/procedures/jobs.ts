import { findField } from '../../db/modules/fields.ts';
import {
	addJob,
	findJob,
	findJobByCode,
	type JobStored,
	jobFields,
	jobProducts,
	type LoadLogStored,
	listJobs,
	loadLogs,
	saveJob,
	standing,
} from '../../db/modules/jobs.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { setSpacesOfJob } from '../../db/modules/spaces.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Job, JobRow } from '../../shared/contract/jobs.ts';
import type { JobPlan } from '../../shared/contract/jobs-plan.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toIso } from './clock.ts';
import { expectedNow } from './end-of-job.ts';
import { given } from './given.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { closingOf, detailsOf, logDetails, overLoads, planOf, spacesIn } from './job-details.ts';
import { jobRows, standsAgainst } from './job-rows.ts';
import { type PlanInput, planJob } from './plan-job.ts';
import { deviationsFrom, followRecommendation, workOf } from './recommendations.ts';
import { shownDose } from './said-dose.ts';
import { doseOnGround, sowingsOf } from './seed-sowings.ts';
import { storeToldOf } from './stores.ts';
import { washingsOfJob } from './washings.ts';

type AddJobInput = PlanInput & { readonly key: string; readonly overrideWhy?: string | undefined };

export async function previewJob(context: QueryContext, input: PlanInput): Promise<Result<JobPlan>> {
	const planned = await planJob(context, input);
	if (!planned.ok) return planned;
	const { plan } = planned.value;
	if (input.recommendationId === undefined) return ok(plan);
	const apart = await deviationsFrom(context.db, input.recommendationId, workOf(planned.value));
	return apart.ok ? ok({ ...plan, deviations: [...apart.value] }) : apart;
}

/** Saves a job with its plan. A label limit that stands against it stops the plan, never the record of what was done. */
export async function addNewJob({ tx, farm, now, newId }: CommandContext, input: AddJobInput) {
	const { key: _, overrideWhy, ...wanted } = input;
	const planned = await planJob({ db: tx, farm, now }, wanted);
	if (!planned.ok) return planned;
	const { plan } = planned.value;
	const against = standsAgainst(plan, overrideWhy);
	if (against) return against;
	const id = newId();
	const rows = jobRows(planned.value, wanted, { id, farm, overrideWhy });
	const fixed = { id, farmId: farm.id, code: await freeCode(tx, id), closing: null, withdrawnWhy: null };
	await addJob(tx, { ...fixed, ...rows.job, createdAt: now, version: 1 }, rows.fields, rows.products);
	await setSpacesOfJob(tx, id, rows.spaces);
	if (wanted.recommendationId !== undefined) {
		const followed = await followRecommendation(tx, id, wanted.recommendationId, workOf(planned.value));
		if (!followed.ok) return followed;
	}
	const { loads, strategy, alternatives, warnings, limits } = plan;
	return ok({ id, loads, strategy, alternatives, warnings, limits });
}

/** Keeps why a job goes on against its warnings. An earlier reason stays in the book of changes. */
export async function giveReason(
	{ tx, farm, note, signedBy }: CommandContext,
	{ id, why, by }: { id: string; why: string; by?: string | undefined },
): Promise<Result<Job>> {
	const found = await findJob(tx, id);
	if (!found) return refuse('not.found', { what: 'job', id });
	if (found.job.closing) return refuse('job.closed', { id });
	if (by) signedBy(by);
	const before = detailsOf(found.job);
	await saveJob(tx, { ...found.job, details: JSON.stringify({ ...before, overrideWhy: why }) });
	note({ table: 'job', id, before: { overrideWhy: before.overrideWhy }, after: { overrideWhy: why } });
	return jobById(tx, farm, id);
}

export async function listAllJobs({ db }: QueryContext): Promise<Result<JobRow[]>> {
	const rows = await listJobs(db);
	const ids = rows.map(({ job }) => job.id);
	const fields = Map.groupBy(await jobFields(db, ids), ({ line }) => line.jobId);
	const products = Map.groupBy(await jobProducts(db, ids), ({ line }) => line.jobId);
	const logs = Map.groupBy(await loadLogs(db, ids), (log) => log.jobId);
	return ok(
		rows.map(({ job, sprayer }) => {
			const plan = planOf(job);
			const done = overLoads(plan, logs.get(job.id) ?? []);
			return {
				id: job.id,
				name: job.name,
				state: stateOf(job, plan, logs.get(job.id) ?? []),
				kind: job.kind,
				date: job.sprayDate,
				sprayer,
				fields: placesOf(job, fields.get(job.id)),
				products: (products.get(job.id) ?? []).map(({ name }) => name),
				areaHa: plan.totals.areaHa,
				loads: plan.loads.length,
				loadsLogged: done.size,
				nextLoad: plan.loads.find(({ load }) => !done.has(load))?.load ?? null,
			};
		}),
	);
}

function placesOf(job: JobStored, fields: readonly { readonly name: string }[] = []): string[] {
	return (detailsOf(job).indoors?.spaces ?? fields).map(({ name }) => name);
}

export async function getJob({ db, farm }: QueryContext, { id }: { id: string }): Promise<Result<Job>> {
	return jobById(db, farm, id);
}

export async function jobById(db: ReadDb, farm: FarmRow, id: string): Promise<Result<Job>> {
	const found = await findJob(db, id);
	if (!found) return refuse('not.found', { what: 'job', id });
	const { job, sprayer } = found;
	const plan = planOf(job);
	const logs = await loadLogs(db, [id]);
	const season = seasonOf(job.sprayDate, farm.seasonStartMonth);
	const sowings = await sowingsOf(db, id);
	const treated = treatedByField(logs);
	for (const { fieldId, areaHa } of sowings) treated.set(fieldId, (treated.get(fieldId) ?? 0) + areaHa);
	const fields = [];
	const ground = [];
	for (const { line, name } of await jobFields(db, [id])) {
		const row = await findField(db, line.fieldId, season);
		ground.push({ row, areaHa: toHectares(line.areaM2) });
		fields.push({
			fieldId: line.fieldId,
			name,
			areaHa: toHectares(line.areaM2),
			mappedHa: row?.field.mappedM2 ? toHectares(row.field.mappedM2) : null,
			measuredHa: row?.boundary ? toHectares(row.boundary.areaM2) : null,
			crop: row?.crop?.crop ?? null,
			treatedHa: treated.get(line.fieldId) ?? 0,
		});
	}
	const { doses, ...details } = detailsOf(job);
	const plannedHa = fields.reduce((sum, { areaHa }) => sum + areaHa, 0);
	const lines = await jobProducts(db, [id]);
	const end = await expectedNow(db, farm, { job, plan, logs, ground, lines });
	const reversed = new Set(logs.map((log) => log.reverses));
	return ok({
		id,
		name: job.name,
		state: stateOf(job, plan, logs),
		kind: job.kind,
		date: job.sprayDate,
		sprayerId: job.sprayerId,
		sprayer,
		sprayVolumeLPerHa: job.sprayVolume,
		...details,
		storeId: storeToldOf(farm, details.storeId),
		fields,
		products: lines.map(({ line, name, formulation, unit }) => ({
			productId: line.productId,
			name,
			formulation,
			unit,
			dosePerHa: doseOnGround(line.dose, details, plannedHa),
			dose: shownDose(doses[line.productId], { unit }, line.dose),
		})),
		sowings,
		washings: await washingsOfJob(db, id, farm.zone),
		plan: { ...plan, end },
		logs: logs
			.filter((log) => log.state !== 'reversal')
			.map((log) => {
				const { products, ground, note, seed, margins, stopped } = logDetails(log);
				const spaces = details.indoors?.spaces && spacesIn(log, details.indoors).map((space) => ({ ...space }));
				const carriedOn = stopped !== null && plan.carried.some(({ from }) => from === log.loadNumber);
				return {
					id: log.id,
					load: log.loadNumber,
					state: reversed.has(log.id) ? ('reversed' as const) : (log.state as 'complete' | 'stopped'),
					startedAt: toIso(log.startedAt, farm.zone),
					finishedAt: toIso(log.finishedAt, farm.zone),
					operator: log.operator,
					meteredL: log.meteredL,
					confirmed: log.confirmed === 1,
					products: products.map(({ productId, amount, batches, notAsNamed }) => ({
						productId,
						amount,
						...(batches ? { batches: [...batches] } : {}),
						...(notAsNamed ? { notAsNamed } : {}),
					})),
					fields: ground.map(({ fieldId, areaHa }) => ({ fieldId, areaHa })),
					...given({ seed, spaces: spaces ?? undefined, margins: margins && [...margins] }),
					stopped: carriedOn ? { ...stopped, mix: 'carried on' as const } : stopped,
					note,
				};
			}),
		closing: closingOf(job),
		version: job.version,
	});
}

export async function findCard({ db }: QueryContext, { code }: { code: string }) {
	const [, job = '', load = '1'] = /^([A-Z0-9]+)(?:-(\d+))?$/.exec(code.trim().toUpperCase()) ?? [];
	const jobId = await findJobByCode(db, job);
	if (!jobId) return refuse('not.found', { what: 'load card', id: code });
	return ok({ jobId, load: Number(load) });
}

/** Withdraws a job of which nothing was logged. The row stays, with the reason. */
export async function removeJob({ tx, note }: CommandContext, { id, why }: { id: string; why: string }) {
	const found = await findJob(tx, id);
	if (!found) return refuse('not.found', { what: 'job', id });
	if (standing(await loadLogs(tx, [id])).length > 0) {
		return refuse('input.invalid', { path: 'id', why: 'loads of this job are logged: reverse them first' });
	}
	await saveJob(tx, { ...found.job, withdrawnWhy: why });
	note({ table: 'job', id, before: null, after: { withdrawnWhy: why } });
	return ok({ id });
}

function treatedByField(logs: readonly LoadLogStored[]): Map<string, number> {
	const treated = new Map<string, number>();
	for (const log of standing(logs)) {
		for (const { fieldId, areaHa } of logDetails(log).ground)
			treated.set(fieldId, (treated.get(fieldId) ?? 0) + areaHa);
	}
	return treated;
}

function stateOf(job: JobStored, plan: JobPlan, logs: readonly LoadLogStored[]): Job['state'] {
	if (job.closing) return 'closed';
	if (standing(logs).length === 0) return 'planned';
	return overLoads(plan, logs).size >= plan.loads.length ? 'done' : 'in progress';
}

/** Letters and digits that are not mistaken for one another on a wet sheet. */
const CODE_LETTERS = 'ACDEFHJKLMNPRTUVWXY3479';
const CODE_LENGTH = 5;

/** A short code for the cards of a job, from its id; the next one where it is taken. */
async function freeCode(tx: ReadDb, id: string): Promise<string> {
	const digits = id.replaceAll('-', '');
	for (let shift = 0; shift < digits.length; shift++) {
		const number = Number.parseInt(
			(digits.slice(20) + digits.slice(0, 12)).slice(shift, shift + 10).padEnd(10, '7'),
			16,
		);
		let rest = number;
		let code = '';
		while (code.length < CODE_LENGTH) {
			code += CODE_LETTERS[rest % CODE_LETTERS.length];
			rest = Math.floor(rest / CODE_LETTERS.length);
		}
		if (!(await findJobByCode(tx, code))) return code;
	}
	invariant(false, 'no free card code was found');
}
