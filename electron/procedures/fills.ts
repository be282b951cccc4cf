import {
	addCleaning,
	addFill,
	addFillStep,
	type FillLogStored,
	type FillStepStored,
	fillSteps,
	lastFill,
} from '../../db/modules/fills.ts';
import { findJob } from '../../db/modules/jobs.ts';
import { findSprayer } from '../../db/modules/sprayers.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FillRow } from '../../shared/contract/fills.ts';
import type { FillGiven } from '../../shared/core/filling/fill-given.ts';
import { observeFill } from '../../shared/core/filling/fill-observation.ts';
import { type FillStep, type StepKind, stepStands } from '../../shared/core/filling/fill-steps.ts';
import type { FillContainer } from '../../shared/core/filling/handling.ts';
import { type Portion, WATER } from '../../shared/core/filling/tally.ts';
import type { CleanDownTask } from '../../shared/core/filling/yard-routines.ts';
import { rinse } from '../../shared/core/sprayers/rinsing.ts';
import { toInstant, toIso } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { planOf } from './job-details.ts';
import { sheetOf } from './load-card.ts';
import type { SprayerDetails } from './sprayers.ts';

type OfLoad = { readonly jobId: string; readonly load: number };

export async function sheet({ db, farm }: QueryContext, { jobId, load }: OfLoad) {
	return sheetOf(db, farm, jobId, load);
}

/** The steps since the last fill that was logged for this load. */
export async function steps({ db, farm }: QueryContext, { jobId, load }: OfLoad) {
	const logged = await lastFill(db, jobId, load);
	const rows = await fillSteps(db, jobId, load, logged?.lastSeq);
	return ok({ steps: rows.map(stepOf), logged: logged ? fillRow(logged, farm.zone) : null });
}

type StepInput = OfLoad & {
	readonly key: string;
	readonly at: string;
	readonly what: StepKind;
	readonly container?: number | undefined;
	readonly meteredL?: number | undefined;
	readonly undoes?: string | undefined;
	readonly who?: string | undefined;
};

/** Notes one step. One that says a thing twice is refused, so that two devices never count a container twice. */
export async function noteStep(context: CommandContext, input: StepInput): Promise<Result<{ id: string }>> {
	const { tx, farm, now, signedBy } = context;
	const found = await sheetOf(tx, farm, input.jobId, input.load);
	if (!found.ok) return found;
	const logged = await lastFill(tx, input.jobId, input.load);
	const noted = (await fillSteps(tx, input.jobId, input.load, logged?.lastSeq)).map(stepOf);
	const step = {
		what: input.what,
		container: input.container ?? null,
		meteredL: input.meteredL ?? null,
		undoes: input.undoes ?? null,
	};
	const hasInlet = found.value.portions === null;
	if (hasInlet ? step.what === 'begun' : inletSteps.has(step.what)) {
		const why = hasInlet ? 'this fill begins when its inlet is opened' : 'this fill has no inlet';
		return refuse('input.invalid', { path: 'what', why });
	}
	if (!stepStands(noted, step, containersOf(found.value).length)) {
		return refuse('fill.stepStands', { load: input.load, what: input.what });
	}
	const who = input.who ?? found.value.card.operator ?? farm.operator ?? farm.userId;
	signedBy(who);
	const id = input.key;
	const { userId, deviceId } = farm;
	await addFillStep(tx, {
		id,
		jobId: input.jobId,
		loadNumber: input.load,
		at: toInstant(input.at, farm.zone),
		...step,
		who,
		notedAt: now,
		userId,
		deviceId,
	});
	return ok({ id });
}

/** Ends a fill: one observation, worked out from its steps. */
export async function logFill(
	{ tx, farm, now, newId, signedBy }: CommandContext,
	{
		jobId,
		load,
		meteredL,
		operator,
		at,
	}: OfLoad & { meteredL?: number | undefined; operator: string; at?: string | undefined },
): Promise<Result<FillRow>> {
	const found = await sheetOf(tx, farm, jobId, load);
	if (!found.ok) return found;
	const job = await findJob(tx, jobId);
	invariant(job, 'a load card belongs to a job');
	const before = await lastFill(tx, jobId, load);
	const rows = await fillSteps(tx, jobId, load, before?.lastSeq);
	if (meteredL === undefined && found.value.portions === null) {
		return refuse('input.invalid', { path: 'meteredL', why: 'say what the meter reads' });
	}
	const seen = observeFill(rows.map(stepOf), containersOf(found.value), at ? toInstant(at, farm.zone) : now);
	const last = rows.at(-1);
	if (seen === null || last === undefined) return refuse('fill.notBegun', { load });
	signedBy(operator);
	const { stopsS, ...figures } = seen;
	const waters = (found.value.portions ?? []).filter(({ product }) => product === WATER);
	const row: FillLogStored = {
		id: newId(),
		farmId: farm.id,
		jobId,
		loadNumber: load,
		sprayerId: job.job.sprayerId,
		...figures,
		// The water of a slurry, or of each fill of a small tank, is no container.
		containers: Math.max(0, figures.containers - waters.length),
		stopsS: JSON.stringify(stopsS),
		meteredL: meteredL ?? waters.reduce((sum, { size }) => sum + size, 0),
		operator,
		lastSeq: last.seq,
		postedAt: now,
		userId: farm.userId,
		deviceId: farm.deviceId,
	};
	await addFill(tx, row);
	return ok(fillRow(row, farm.zone));
}

export async function fillOfLoad({ db, farm }: QueryContext, { jobId, load }: OfLoad): Promise<Result<FillRow | null>> {
	const row = await lastFill(db, jobId, load);
	return ok(row ? fillRow(row, farm.zone) : null);
}

export async function cleanDown(
	{ tx, farm, now, newId, signedBy }: CommandContext,
	{
		jobId,
		load,
		tasks,
		operator,
		at,
	}: OfLoad & { tasks: readonly CleanDownTask[]; operator: string; at?: string | undefined },
): Promise<Result<{ id: string }>> {
	const found = await findJob(tx, jobId);
	if (!found) return refuse('not.found', { what: 'job', id: jobId });
	const loads = planOf(found.job).loads.length;
	if (load > loads) return refuse('load.unknown', { load, loads });
	signedBy(operator);
	const id = newId();
	await addCleaning(tx, {
		id,
		farmId: farm.id,
		sprayerId: found.job.sprayerId,
		kind: 'after filling',
		jobId,
		loadNumber: load,
		at: at ? toInstant(at, farm.zone) : now,
		details: JSON.stringify({ tasks: [...new Set(tasks)] }),
		who: operator,
		postedAt: now,
		userId: farm.userId,
		deviceId: farm.deviceId,
	});
	return ok({ id });
}

export type RinsedOut = {
	readonly residualL: number;
	readonly rinsesL: readonly number[];
	readonly factor: number;
	readonly washings: string;
	readonly note: string | null;
};

/** Logs that a sprayer was rinsed out: how much weaker the rest is now, and where the washings went. */
export async function rinseOut(
	{ tx, farm, now, newId, signedBy }: CommandContext,
	input: {
		sprayerId: string;
		at?: string | undefined;
		residualL: number;
		rinsesL: number[];
		washings: string;
		note?: string | undefined;
		operator: string;
	},
): Promise<Result<{ id: string; factor: number }>> {
	const sprayer = await findSprayer<SprayerDetails>(tx, input.sprayerId);
	if (!sprayer) return refuse('not.found', { what: 'sprayer', id: input.sprayerId });
	signedBy(input.operator);
	const { residualL, rinsesL, washings } = input;
	const { factor } = rinse({ residualL, rinsesL });
	const details: RinsedOut = { residualL, rinsesL, factor, washings, note: input.note ?? null };
	const id = newId();
	await addCleaning(tx, {
		id,
		farmId: farm.id,
		sprayerId: sprayer.id,
		kind: 'sprayer rinsed out',
		jobId: null,
		loadNumber: null,
		at: input.at ? toInstant(input.at, farm.zone) : now,
		details: JSON.stringify(details),
		who: input.operator,
		postedAt: now,
		userId: farm.userId,
		deviceId: farm.deviceId,
	});
	return ok({ id, factor });
}

const inletSteps: ReadonlySet<StepKind> = new Set(['inlet opened', 'inlet stopped', 'meter read']);

function containersOf({ given, portions }: { given: FillGiven | null; portions: Portion[] | null }): FillContainer[] {
	return given ? [...given.containers] : (portions ?? []).map((portion) => ({ ...portion, volumeL: 0 }));
}

function stepOf({ id, at, what, container, meteredL, undoes }: FillStepStored): FillStep {
	return { id, at, what, container, meteredL, undoes };
}

function fillRow(row: FillLogStored, zone: string): FillRow {
	const { id, jobId, loadNumber, meteredL, runningS, containers, handlingS, operator } = row;
	return {
		id,
		jobId,
		load: loadNumber,
		startedAt: toIso(row.startedAt, zone),
		finishedAt: toIso(row.finishedAt, zone),
		meteredL,
		runningS,
		stopsS: JSON.parse(row.stopsS) as number[],
		containers,
		handlingS,
		operator,
	};
}
