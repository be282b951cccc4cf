import type { z } from 'zod';
import {
	type JobStored,
	jobFields,
	jobProducts,
	type LoadLogStored,
	loadLogs,
	standing,
} from '../../db/modules/jobs.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { jobsContract } from '../../shared/contract/jobs.ts';
import type { PlannedCarrier, Seed } from '../../shared/contract/jobs-kinds.ts';
import type { Dosed, JobPlan, PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { toHectares } from '../../shared/units/area.ts';
import { given } from './given.ts';
import { detailsOf, type JobDetails, logDetails, overLoads, planOf, waterOnSeed } from './job-details.ts';
import { type PlanInput, type PlannedJob, planJob } from './plan-job.ts';
import { saidAs } from './said-dose.ts';

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };
type Wanted = Omit<z.output<(typeof jobsContract.previewRest)['~orpc']['inputSchema'] & z.ZodType>, 'id'>;

type Kept = {
	readonly loads: readonly PlannedLoad[];
	readonly carried: JobPlan['carried'];
	/** Ground of the loads that stay, by field. */
	readonly groundHa: ReadonlyMap<string, number>;
};

export type Rest = {
	readonly planned: PlannedJob;
	readonly kept: Kept;
	readonly first: number;
	/** All the seed of the job, what was treated and what is still to be; null: no seed. */
	readonly seed: Seed | null;
};

/** Plans what is still open of a job: tank loads, hopper fills or batches of seed, beside those that are logged. */
export async function planRest(books: Books, job: JobStored, wanted: Wanted): Promise<Result<Rest>> {
	const { db } = books;
	if (job.kind === 'closed space') return refuse('job.inOneGo', {});
	const plan = planOf(job);
	const logs = standing(await loadLogs(db, [job.id]));
	const { carryFrom } = wanted;
	if (carryFrom !== undefined && !brokenOff(plan, logs).includes(carryFrom)) {
		return refuse('load.noMixKept', { load: carryFrom });
	}
	const details = detailsOf(job);
	const kept = keptLoads(plan, logs, carryFrom);
	const input = { ...(await asPlanned(db, job, details)), ...changed(job, wanted) };
	const planned =
		job.kind === 'seed treatment'
			? await restOfSeed(books, { job, input, wanted, kept })
			: await restOnGround(books, input, wanted);
	if (!planned.ok) return planned;
	if (planned.value.plan.loads.length === 0) {
		const left = wanted.leftInHopperKg ?? wanted.leftInTankL ?? 0;
		return refuse('job.nothingToMix', { left, unit: wanted.leftInHopperKg === undefined ? 'L' : 'kg' });
	}
	const first = Math.max(0, ...kept.loads.map(({ load }) => load)) + 1;
	const seed = details.seed && { ...details.seed, amount: seedOf(kept.loads) + (wanted.seed ?? 0) };
	return ok({ planned: planned.value, kept, first, seed });
}

/** The job as it stands, as it is asked for again. The carrier from the store is no product of its own there. */
async function asPlanned(db: ReadDb, job: JobStored, details: JobDetails): Promise<Omit<PlanInput, 'fields'>> {
	const plan = planOf(job);
	const lines = await jobProducts(db, [job.id]);
	return {
		...given({
			storeId: details.storeId ?? undefined,
			customer: details.customer ?? undefined,
			reason: details.reason ?? undefined,
			operator: details.operator ?? undefined,
			growthStage: details.growthStage ?? undefined,
			bufferM: details.bufferM ?? undefined,
			carrier: plan.carrier && carrierAgain(plan),
			seed: details.seed ?? undefined,
		}),
		...(job.sprayVolume > 0 ? { sprayVolumeLPerHa: job.sprayVolume } : {}),
		forJob: job.id,
		kind: job.kind,
		sprayerId: job.sprayerId,
		products: lines
			.filter(({ line }) => line.productId !== plan.carrier?.productId)
			.map(({ line }): Dosed => saidAs(line.productId, details.doses[line.productId], line.dose)),
	};
}

/** The fertiliser as it was asked for: where water made up the volume its litres were said, else it fills the room. */
export function carrierAgain({ carrier, loads }: JobPlan): PlanInput['carrier'] {
	if (!carrier) return undefined;
	const { productId, name, densityKgPerL, lPerHa } = carrier;
	const withWater = loads.some(({ waterL }) => waterL > 0.5);
	return {
		...(productId === null ? { name } : { productId }),
		densityKgPerL,
		...(withWater ? { lPerHa: Math.round(lPerHa * 1e6) / 1e6 } : {}),
	};
}

function changed(job: JobStored, wanted: Wanted) {
	return given({
		date: wanted.date ?? job.sprayDate,
		strategy: wanted.strategy,
		leftInTankL: wanted.leftInTankL,
		leftInHopperKg: wanted.leftInHopperKg,
	});
}

type Input = Omit<PlanInput, 'fields'>;

function restOnGround(books: Books, input: Input, { fields, seed }: Wanted) {
	if (seed !== undefined) {
		return refuse('input.invalid', { path: 'seed', why: 'only a seed treatment has seed' });
	}
	return planJob(books, { ...input, fields });
}

type OfSeed = {
	readonly job: JobStored;
	readonly input: Input;
	readonly wanted: Wanted;
	readonly kept: Kept;
};

/** The batches are those of the seed still to be treated; the ground, where it is known, gets all the seed of the job. */
async function restOfSeed(books: Books, { job, input, wanted, kept }: OfSeed): Promise<Result<PlannedJob>> {
	const { seed } = input;
	const amount = wanted.seed;
	const lacks = (path: string, why: string) => refuse('input.invalid', { path, why });
	if (amount === undefined || !seed) return lacks('seed', 'say how much seed is still to be treated');
	if (wanted.fields.length > 0) return lacks('fields', 'where treated seed goes is said when it is sown');
	const rest = await planJob(books, { ...input, seed: { ...seed, amount }, fields: [] });
	const fields = (await jobFields(books.db, [job.id])).map(({ line }) => ({
		fieldId: line.fieldId,
		areaHa: toHectares(line.areaM2),
	}));
	if (!rest.ok || fields.length === 0) return rest;
	const whole = await planJob(books, { ...input, seed: { ...seed, amount: seedOf(kept.loads) + amount }, fields });
	if (!whole.ok) return whole;
	const { limits, toAnswer, totals } = whole.value.plan;
	const { plan } = rest.value;
	return ok({ ...rest.value, plan: { ...plan, limits, toAnswer, totals: { ...plan.totals, areaHa: totals.areaHa } } });
}

function seedOf(loads: readonly PlannedLoad[]): number {
	return loads.reduce((sum, { seed = 0 }) => sum + seed, 0);
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
		if (load.seed !== undefined) return [isOver ? treatedBatch(load, own) : load];
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

/** A batch that is over, with the seed that was treated and what went onto it. */
function treatedBatch(load: PlannedLoad, own: readonly LoadLogStored[]): PlannedLoad {
	const logs = own.map(logDetails);
	const amountOf = (productId: string) =>
		logs
			.flatMap(({ products }) => products)
			.filter((line) => line.productId === productId)
			.reduce((sum, { amount }) => sum + amount, 0);
	const seed = logs.reduce((sum, line) => sum + (line.seed ?? 0), 0);
	const waterL = own.reduce(
		(sum, log) => sum + (waterOnSeed(load, { meteredL: log.meteredL, seed: logDetails(log).seed }) ?? 0),
		0,
	);
	return {
		...load,
		seed,
		...(load.slurryL === undefined || !load.seed ? {} : { waterL, slurryL: (load.slurryL * seed) / load.seed }),
		products: load.products.map((line) => ({ ...line, amount: amountOf(line.productId) })),
	};
}

/** The plan of the whole job: loads that stay with their numbers, then those planned again. */
export function planWithRest({ planned, kept, first }: Rest, carryFrom: number | undefined): JobPlan {
	const loads = [...kept.loads, ...planned.plan.loads.map((load, index) => ({ ...load, load: first + index }))];
	const { carrier } = planned.plan;
	return {
		...planned.plan,
		loads,
		totals: totalsOf(planned.plan, loads),
		...(carrier ? { carrier: carrierOfAll(carrier, loads) } : {}),
		startsAt: first,
		carried: [...kept.carried, ...(carryFrom === undefined ? [] : [{ from: carryFrom, into: first }])],
	};
}

/** Totals over the loads that stay and those planned again; what is in the store stands as it was found now. */
function totalsOf({ totals }: JobPlan, loads: readonly PlannedLoad[]): JobPlan['totals'] {
	const sum = (of: (load: PlannedLoad) => number) => loads.reduce((total, load) => total + of(load), 0);
	return {
		...totals,
		areaHa: loads.some(({ seed }) => seed !== undefined) ? totals.areaHa : sum(({ areaHa }) => areaHa),
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

function carrierOfAll(carrier: PlannedCarrier, loads: readonly PlannedLoad[]): PlannedCarrier {
	const litres = loads.reduce((sum, { carrierL = 0 }) => sum + carrierL, 0);
	return { ...carrier, litres, kg: litres * carrier.densityKgPerL };
}
