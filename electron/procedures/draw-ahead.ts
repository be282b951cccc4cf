import { findJob, loadLogs, standing } from '../../db/modules/jobs.ts';
import { lotsOf } from '../../db/modules/store.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { DrawnProduct } from '../../shared/contract/jobs-drawn.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { drawsOf, partOf } from './draw-load.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf, planOf } from './job-details.ts';
import { type LogInput, pouredNow } from './log-load.ts';

type AheadInput = {
	readonly jobId: string;
	readonly load: number;
	readonly products: NonNullable<NonNullable<LogInput['actual']>['products']>;
};

/** Out of what a load would be drawn now. */
export async function drawAhead({ db }: QueryContext, input: AheadInput): Promise<Result<DrawnProduct[]>> {
	const found = await findJob(db, input.jobId);
	if (!found) return refuse('not.found', { what: 'job', id: input.jobId });
	const plan = planOf(found.job);
	const load = plan.loads.find((line) => line.load === input.load);
	if (!load) return refuse('load.unknown', { load: input.load, loads: plan.loads.length });
	const logs = standing(await loadLogs(db, [input.jobId])).filter((log) => log.loadNumber === load.load);
	const poured = pouredNow(
		load,
		logs,
		{ actual: { products: input.products } },
		{ carrier: plan.carrier, quantity: null },
	);
	if (!poured.ok) return poured;
	const draws = await drawsOf(db, load, { storeId: detailsOf(found.job).storeId, logs, poured: poured.value });
	const lots = await lotsOf(db);
	return ok(
		draws.map(({ productId, amount, by, postings, notAsNamed }) => ({
			productId,
			amount: fromStockAmount(amount),
			parts: postings.map((posting) => partOf(posting, lots)),
			by,
			notAsNamed,
		})),
	);
}
