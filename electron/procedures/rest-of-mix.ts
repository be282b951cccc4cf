import { lastRinsedOut } from '../../db/modules/fills.ts';
import { findJob, type JobStored, jobProducts, type LoadLogStored, loadLogs, standing } from '../../db/modules/jobs.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import { findSprayer, type SprayerRow } from '../../db/modules/sprayers.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { JobPlan } from '../../shared/contract/jobs-plan.ts';
import { needsTank } from '../../shared/core/loads/application-kind.ts';
import { type WashedOut, washedOut } from '../../shared/core/sprayers/washed-out.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import type { RinsedOut } from './fills.ts';
import { closingOf, logDetails, planOf } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import type { SprayerDetails } from './sprayers.ts';

/** What is left of a job's mix, and what washing it out brings out. */
export type RestOfMix = {
	readonly job: JobStored;
	readonly plan: JobPlan;
	readonly sprayer: SprayerRow<SprayerDetails>;
	/** Logs that stand. */
	readonly logs: readonly LoadLogStored[];
	/** The last of them: its mix is what is left. */
	readonly last: LoadLogStored;
	readonly leftL: number;
	readonly residualL: number;
	readonly rinsesL: readonly number[];
	/** When the rinses were noted, where they are taken from the books. */
	readonly rinsedAt: number | null;
	readonly out: WashedOut;
	/** In the washings, µL or mg. */
	readonly held: readonly { readonly product: ProductRow<ProductDetails>; readonly amount: number }[];
};

type Said = {
	readonly jobId: string;
	readonly leftL?: number | undefined;
	readonly residualL?: number | undefined;
	readonly rinsesL?: readonly number[] | undefined;
};

/**
 * The rest of a job's mix by what was said, else by what the books know: the sprayer's unsprayable and the mix left that
 * was reported; the rinses of the last rinsing out, where it came after the last load.
 */
export async function restOfMix(db: ReadDb, said: Said): Promise<Result<RestOfMix>> {
	const found = await findJob(db, said.jobId);
	if (!found) return refuse('not.found', { what: 'job', id: said.jobId });
	const { job } = found;
	if (!needsTank(job.kind)) {
		return refuse('input.invalid', { path: 'jobId', why: `a job of ${job.kind} makes up no mix to wash out` });
	}
	const sprayer = await findSprayer<SprayerDetails>(db, job.sprayerId);
	if (!sprayer) return refuse('not.found', { what: 'sprayer', id: job.sprayerId });
	const logs = standing(await loadLogs(db, [job.id]));
	const last = logs.toSorted((a, b) => a.finishedAt - b.finishedAt || a.postedAt - b.postedAt).at(-1);
	if (!last) {
		const why = 'no load of this job is logged, so no mix is known to wash out: log the load first';
		return refuse('input.invalid', { path: 'jobId', why });
	}
	const closing = closingOf(job);
	const leftL = said.leftL ?? (closing?.leftL || sprayer.unsprayableL);
	if (leftL <= 0) return refuse('input.invalid', { path: 'leftL', why: 'say how much mix was left in the tank' });
	const cleaned = said.rinsesL ? null : await lastRinsedOut(db, sprayer.id);
	const rinsed = cleaned && cleaned.at >= last.finishedAt ? (JSON.parse(cleaned.details) as RinsedOut) : null;
	const residualL = said.residualL ?? rinsed?.residualL ?? sprayer.unsprayableL;
	const rinsesL = said.rinsesL ?? rinsed?.rinsesL ?? [];
	const out = washedOut({ leftL, residualL, rinsesL });
	const plan = planOf(job);
	return ok({
		job,
		plan,
		sprayer,
		logs,
		last,
		leftL,
		residualL,
		rinsesL,
		rinsedAt: rinsed ? (cleaned?.at ?? null) : null,
		out,
		held: await heldIn(db, { job, plan, logs, last, mixL: out.mixL }),
	});
}

type Mix = Pick<RestOfMix, 'job' | 'plan' | 'logs' | 'last'> & { readonly mixL: number };

/** The products in so much mix, as strong as the load it is left of: what was poured ÷ the new mix, by the meter where it was read. */
async function heldIn(db: ReadDb, { job, plan, logs, last, mixL }: Mix): Promise<RestOfMix['held']> {
	const load = plan.loads.find((line) => line.load === last.loadNumber);
	const ofLoad = logs.filter(({ loadNumber }) => loadNumber === last.loadNumber);
	const metered = ofLoad.filter(({ meteredL }) => meteredL !== null);
	const waterL = metered.reduce((sum, log) => sum + (log.meteredL ?? 0) + (logDetails(log).rinsedL ?? 0), 0);
	const madeUpL = metered.length > 0 ? waterL + (load?.displacementL ?? 0) : (load?.newMixL ?? 0);
	const lines = await jobProducts(db, [job.id]);
	const products = await findProducts<ProductDetails>(
		db,
		lines.map(({ line }) => line.productId),
	);
	return lines.flatMap(({ line: { productId, dose } }) => {
		const product = products.get(productId);
		const poured = ofLoad
			.flatMap((log) => logDetails(log).products)
			.filter((part) => part.productId === productId)
			.reduce((sum, part) => sum + toStockAmount(part.amount), 0);
		const perL = madeUpL > 0 ? poured / madeUpL : toStockAmount(dose) / job.sprayVolume;
		const amount = Math.round(perL * mixL);
		return product && amount > 0 ? [{ product, amount }] : [];
	});
}

/** What the washings hold, as it goes over the wire. */
export function heldWords({ held }: Pick<RestOfMix, 'held'>) {
	return held.map(({ product: { id: productId, name, unit }, amount }) => ({
		productId,
		name,
		unit,
		amount: fromStockAmount(amount),
	}));
}
