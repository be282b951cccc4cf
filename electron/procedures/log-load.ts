import type { z } from 'zod';
import { addLoadLog, findJob, type LoadLogStored, loadLogs, standing } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import { bookAmount, bookAmounts, countAtOrAfter, type StoreId } from '../../db/modules/store.ts';
import { addRinse } from '../../db/modules/waste.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { jobsContract } from '../../shared/contract/jobs.ts';
import type { PlannedCarrier } from '../../shared/contract/jobs-kinds.ts';
import type { PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { tasksOf } from '../../shared/core/filling/handling.ts';
import { shareOnGround } from '../../shared/core/loads/share-on-ground.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toInstant } from './clock.ts';
import { type Draw, drawsOf, postDraws } from './draw-load.ts';
import { given } from './given.ts';
import type { CommandContext } from './handler.ts';
import { detailsOf, type LogDetails, logDetails, overLoads, planOf } from './job-details.ts';
import { checkApplied } from './limits.ts';
import { sheetOf } from './load-card.ts';
import { marginsOn } from './margins.ts';
import type { ProductDetails } from './products.ts';
import type { WeatherSeen } from './records.ts';
import { batchesOnShelf } from './shelf.ts';
import { checkAppliedInSpaces } from './space-limits.ts';
import { shortInStore } from './stores.ts';
import { type SpacePart, type Treated, treatedNow } from './treated-now.ts';
import { amountsOnGround, productCarriedIn, writeRecords } from './write-records.ts';

export type LogInput = z.output<(typeof jobsContract.logLoad)['~orpc']['inputSchema'] & z.ZodType>;

export type Ground = {
	readonly fieldId: string;
	readonly areaHa: number;
	readonly startedAt: number;
	readonly finishedAt: number;
	readonly weather: WeatherSeen | null;
};
/** `said`: entered, not taken over from the plan. */
export type Poured = {
	readonly productId: string;
	readonly amount: number;
	readonly said: boolean;
	readonly batches: readonly string[];
};

/**
 * Logs one load: the log, the store movements and one record line per field and product, all or nothing.
 * A load that was broken off is logged with the ground covered so far and may be gone on with later.
 */
export async function logLoad(context: CommandContext, input: LogInput) {
	const { tx, farm, signedBy } = context;
	const found = await findJob(tx, input.jobId);
	if (!found) return refuse('not.found', { what: 'job', id: input.jobId });
	const { job } = found;
	const plan = planOf(job);
	const load = plan.loads.find((line) => line.load === input.load);
	if (!load) return refuse('load.unknown', { load: input.load, loads: plan.loads.length });
	const startedAt = toInstant(input.startedAt, farm.zone);
	const finishedAt = toInstant(input.finishedAt, farm.zone);
	if (finishedAt < startedAt) {
		return refuse('load.timesReversed', { startedAt: input.startedAt, finishedAt: input.finishedAt });
	}
	const logs = standing(await loadLogs(tx, [job.id])).filter((log) => log.loadNumber === load.load);
	if (overLoads(plan, logs).has(load.load)) {
		return refuse('load.alreadyLogged', { load: load.load });
	}
	const { storeId: store, indoors } = detailsOf(job);
	const times = { startedAt, finishedAt, zone: farm.zone };
	const treated = treatedNow(load, indoors, logs, { input, ...times });
	if (!treated.ok) return treated;
	const { quantity } = treated.value;
	const poured = pouredNow(load, logs, input, { carrier: plan.carrier, quantity });
	if (!poured.ok) return poured;
	const ground = quantity === null ? groundNow(load, plan.loads, logs, input, times) : ok([]);
	if (!ground.ok) return ground;
	const strange = input.margins?.find(
		({ fieldId }) => fieldId && !plan.loads.some((each) => each.ground.some((part) => part.fieldId === fieldId)),
	);
	if (strange?.fieldId) return refuse('load.fieldNotInJob', { fieldId: strange.fieldId });
	signedBy(input.operator);
	const shelf = { store, poured: poured.value, occurredAt: startedAt };
	const short = input.allowShort ? null : await shortOf(context, shelf);
	if (short) return short;
	const batchShort = input.allowShort ? null : await batchShortOf(context, shelf);
	if (batchShort) return batchShort;
	const draws = await drawsOf(tx, load, { storeId: store, logs, poured: poured.value });
	const rinsedL = await rinsedBesideTheMeter(context, { input, logs });
	const logId = context.newId();
	const log = logRow(context, {
		id: logId,
		input,
		load,
		startedAt,
		finishedAt,
		poured: poured.value,
		ground: ground.value,
		...treated.value,
		draws,
		rinsedL,
	});
	await addLoadLog(tx, log);
	if (input.rinsed) {
		const rinse = { id: context.newId(), loadLogId: logId, how: input.rinsed };
		await addRinse(tx, { ...rinse, who: input.operator, notedAt: context.now });
	}
	await postDraws(context, draws, {
		kind: 'load',
		occurredAt: startedAt,
		who: input.operator,
		jobId: job.id,
		loadLogId: logId,
		loadNumber: load.load,
		storeId: store,
	});
	const carriedIn = await productCarriedIn(tx, job, load.load);
	// Mix carried in from a load that was broken off is on no record yet: all of it comes onto this ground.
	const share = (productId: string) => (carriedIn.has(productId) ? 1 : shareOnGround(load, job.sprayVolume));
	const amounts = await amountsOnGround(tx, {
		load,
		logs,
		ground: ground.value,
		poured: poured.value,
		over: log.state === 'complete',
		carriedIn,
	});
	const put = (productId: string) => (amounts.get(productId) ?? []).reduce((sum, each) => sum + each, 0);
	const books = { db: tx, farm, now: context.now };
	const findings =
		indoors === null
			? await checkApplied(books, {
					job,
					ground: ground.value,
					inFlower: input.flowering,
					marginsOn: (fieldId) => marginsOn(input.margins, { fieldId, enteredBy: input.operator }),
					put: poured.value.map(({ productId }) => ({ productId, amount: put(productId) * share(productId) })),
				})
			: await checkAppliedInSpaces(books, { job, spaces: treated.value.spaces, poured: poured.value });
	const recordIds = await writeRecords(context, {
		job,
		load,
		logs,
		log,
		input,
		ground: ground.value,
		...treated.value,
		poured: poured.value,
		findings,
		amounts,
		shareOnGround: share,
	});
	return ok({
		recordIds,
		drawn: poured.value.map(({ productId, amount }) => ({ productId, amount: fromStockAmount(amount) })),
		notAsNamed: draws.flatMap(({ productId, notAsNamed }) => (notAsNamed ? [{ productId, ...notAsNamed }] : [])),
		logId,
		findings: findings.filter(({ verdict }) => verdict === 'block' || verdict === 'warn'),
	});
}

/**
 * Water from the clean tank that rinsed the containers of this load: it is in the mix, and the meter did not see it. As the
 * card has it, once for a load; nothing where the meter was not read, or the rinse comes from the inlet.
 */
async function rinsedBesideTheMeter(
	{ tx, farm }: CommandContext,
	{ input, logs }: { readonly input: LogInput; readonly logs: readonly LoadLogStored[] },
): Promise<number> {
	if (input.actual?.meteredL === undefined || logs.some(({ meteredL }) => meteredL !== null)) return 0;
	const sheet = await sheetOf(tx, farm, input.jobId, input.load);
	const filled = sheet.ok ? sheet.value.given : null;
	if (!filled) return 0;
	const litres = tasksOf(filled.containers, filled.handling).reduce((sum, { cleanWaterL }) => sum + cleanWaterL, 0);
	return Math.round(litres * 1000) / 1000;
}

/** What went in now: what the operator says, else the plan less what went in before the stop. */
export function pouredNow(
	load: PlannedLoad,
	logs: readonly LoadLogStored[],
	input: Pick<LogInput, 'actual' | 'stopped'>,
	{ carrier, quantity }: { readonly carrier: PlannedCarrier | undefined; readonly quantity: number | null },
): Result<Poured[]> {
	const actual = input.actual?.products ?? [];
	const stranger = actual.find(({ productId }) => !load.products.some((line) => line.productId === productId));
	if (stranger) return refuse('load.productNotInJob', { productId: stranger.productId });
	// Product goes out as seed runs through, or a space is covered: what is broken off has had the share of what it treated.
	const planned = load.seed ?? load.space;
	const share = input.stopped && quantity !== null && planned ? Math.min(1, quantity / planned) : null;
	const byPlan = (amount: number, before: number) =>
		Math.max(0, Math.min(amount - before, share === null ? amount : Math.round(amount * share)));
	return ok(
		load.products.map(({ productId, amount, unit }) => {
			const before = logs
				.flatMap((log) => logDetails(log).products)
				.filter((line) => line.productId === productId)
				.reduce((sum, line) => sum + toStockAmount(line.amount), 0);
			const said = actual.find((line) => line.productId === productId);
			// Where a load is gone on with and nothing more goes in, the amount is what was said before the stop.
			const wasSaid = before > 0 && logs.every(({ confirmed }) => confirmed === 1);
			const metered = productId === carrier?.productId ? meteredCarrier(load, input, carrier, unit) : null;
			if (metered !== null && said?.amount === undefined) {
				return { productId, amount: toStockAmount(metered), said: true, batches: said?.batches ?? [] };
			}
			const poured = said?.amount === undefined ? byPlan(toStockAmount(amount), before) : toStockAmount(said.amount);
			return {
				productId,
				amount: poured,
				said: said?.amount !== undefined || (poured === 0 && wasSaid),
				batches: said?.batches ?? [],
			};
		}),
	);
}

/** Liquid fertiliser by the meter, in the unit it is kept in; null where it was not read, or water went through it too. */
function meteredCarrier(
	{ waterL }: PlannedLoad,
	{ actual }: Pick<LogInput, 'actual'>,
	{ densityKgPerL }: PlannedCarrier,
	unit: 'L' | 'kg',
): number | null {
	if (actual?.meteredL === undefined || waterL > 0.5) return null;
	return unit === 'kg' ? actual.meteredL * densityKgPerL : actual.meteredL;
}

/** The ground this log covers: what the operator says, else the load's ground less what was covered before the stop. */
function groundNow(
	load: PlannedLoad,
	loads: readonly PlannedLoad[],
	logs: readonly LoadLogStored[],
	input: LogInput,
	times: { startedAt: number; finishedAt: number; zone: string },
): Result<Ground[]> {
	const { startedAt, finishedAt, zone } = times;
	const said = input.actual?.fields;
	if (input.stopped && !said) {
		return refuse('input.invalid', {
			path: 'actual.fields',
			why: 'a load that was broken off needs the ground covered so far',
		});
	}
	if (!said) {
		const covered = logs.flatMap((log) => logDetails(log).ground);
		const rest = load.ground.map(({ fieldId, areaHa }) => {
			const before = covered.filter((part) => part.fieldId === fieldId).reduce((sum, part) => sum + part.areaHa, 0);
			return { fieldId, areaHa: areaHa - before, startedAt, finishedAt, weather: input.weather ?? null };
		});
		return ok(rest.filter(({ areaHa }) => areaHa > 1e-9));
	}
	const inJob = new Set(loads.flatMap(({ ground }) => ground.map(({ fieldId }) => fieldId)));
	const parts: Ground[] = [];
	for (const [index, part] of said.entries()) {
		if (!inJob.has(part.fieldId)) return refuse('load.fieldNotInJob', { fieldId: part.fieldId });
		const from = part.startedAt ? toInstant(part.startedAt, zone) : startedAt;
		const to = part.finishedAt ? toInstant(part.finishedAt, zone) : finishedAt;
		if (to < from) {
			return refuse('input.invalid', {
				path: `actual.fields[${index}].finishedAt`,
				why: 'is before the start on this field',
			});
		}
		const weather = part.weather ?? input.weather ?? null;
		if (part.areaHa > 0)
			parts.push({ fieldId: part.fieldId, areaHa: part.areaHa, startedAt: from, finishedAt: to, weather });
	}
	if (parts.length === 0 && !input.stopped) {
		return refuse('input.invalid', { path: 'actual.fields', why: 'a load that is finished covered some ground' });
	}
	return ok(parts);
}

type FromShelf = { readonly store: StoreId; readonly poured: readonly Poured[]; readonly occurredAt: number };

/**
 * What the book lacks for this load. A load from before a stock take is held against the book of its own time: the count
 * has taken its litres off already, and they are posted back when it is logged.
 */
async function shortOf(context: CommandContext, { store, poured, occurredAt }: FromShelf) {
	const { tx } = context;
	const book = await bookAmounts(tx, { store });
	for (const { productId, amount } of poured) {
		const counted = await countAtOrAfter(tx, { productId, storeId: store, at: occurredAt });
		const have = counted ? await bookAmount(tx, productId, { store, until: occurredAt }) : (book.get(productId) ?? 0);
		if (amount === 0 || have >= amount) continue;
		const product = (await findProducts<ProductDetails>(tx, [productId])).get(productId);
		return shortInStore(context, {
			storeId: store,
			product: product?.name ?? productId,
			productId,
			unit: product?.unit ?? '',
			have: fromStockAmount(have),
			need: fromStockAmount(amount),
		});
	}
	return null;
}

/** A batch that was named and does not stand on the shelf: one of the two is written wrongly. */
async function batchShortOf({ tx }: CommandContext, { store, poured, occurredAt }: FromShelf) {
	for (const { productId, amount, batches } of poured) {
		if (batches.length === 0 || amount === 0) continue;
		const counted = await countAtOrAfter(tx, { productId, storeId: store, at: occurredAt });
		const until = counted ? occurredAt : undefined;
		const shelf = await batchesOnShelf(tx, { store, productId, until }, batches);
		if (shelf.have >= amount) continue;
		const product = (await findProducts<ProductDetails>(tx, [productId])).get(productId);
		return refuse('store.batchShort', {
			product: product?.name ?? productId,
			productId,
			unit: product?.unit ?? '',
			batch: batches.join(', '),
			have: fromStockAmount(shelf.have),
			need: fromStockAmount(amount),
			batches: shelf.batches.length > 0 ? shelf.batches : ['none'],
		});
	}
	return null;
}

function amountIn({ spaceId, amount }: SpacePart) {
	return { spaceId, amount };
}

export type Logged = Treated & {
	readonly id: string;
	readonly input: LogInput;
	readonly load: PlannedLoad;
	readonly startedAt: number;
	readonly finishedAt: number;
	readonly poured: readonly Poured[];
	readonly ground: readonly Ground[];
};

function logRow(
	{ now }: CommandContext,
	{
		id,
		input,
		load,
		startedAt,
		finishedAt,
		poured,
		ground,
		quantity,
		spaces,
		draws,
		rinsedL,
	}: Logged & { draws: readonly Draw[]; rinsedL: number },
): LoadLogStored {
	const notAsNamed = new Map(draws.map((draw) => [draw.productId, draw.notAsNamed]));
	const details: LogDetails = {
		products: poured.map(({ productId, amount, batches }) => ({
			productId,
			amount: fromStockAmount(amount),
			...(batches.length > 0 ? { batches } : {}),
			...given({ notAsNamed: notAsNamed.get(productId) ?? undefined }),
		})),
		ground: ground.map(({ fieldId, areaHa }) => ({ fieldId, areaHa })),
		note: input.note ?? null,
		...(input.margins?.length ? { margins: input.margins } : {}),
		...(rinsedL > 0 ? { rinsedL } : {}),
		...(quantity === null ? {} : spaces.length === 0 ? { seed: quantity } : { spaces: spaces.map(amountIn) }),
		stopped: input.stopped
			? { why: input.stopped.why, mixLeftL: input.stopped.mixLeftL ?? null, mix: input.stopped.mix }
			: null,
	};
	return {
		id,
		jobId: input.jobId,
		loadNumber: load.load,
		state: input.stopped ? 'stopped' : 'complete',
		reverses: null,
		startedAt,
		finishedAt,
		operator: input.operator,
		meteredL: input.actual?.meteredL ?? null,
		confirmed: poured.every(({ said }) => said) ? 1 : 0,
		details: JSON.stringify(details),
		postedAt: now,
	};
}
