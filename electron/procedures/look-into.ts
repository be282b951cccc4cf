import { findJob } from '../../db/modules/jobs.ts';
import { findTake } from '../../db/modules/stock-takes.ts';
import { ok, refuse } from '../../shared/basics/result.ts';
import type { Movement } from '../../shared/contract/store.ts';
import { mistakenFor } from '../../shared/core/store/mistaken-for.ts';
import { toIso, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { takeLines } from './stock-take.ts';
import { movements } from './store.ts';
import { storeToldOf } from './stores.ts';

const MOST_LINES = 1000;

/** What may lie behind a difference: what moved since the count before, which loads drew it, what it may be mistaken for. */
export async function lookInto(context: QueryContext, input: { takeId: string; productId: string }) {
	const { db, farm } = context;
	const found = await findTake(db, input.takeId);
	if (!found) return refuse('not.found', { what: 'stock take', id: input.takeId });
	const lines = await takeLines(db, farm, found);
	const line = lines.find(({ productId }) => productId === input.productId);
	if (!line) return refuse('not.found', { what: 'product', id: input.productId });
	const to = toLocalDate(found.take.freezeAt, farm.zone);
	const since = line.lastCountOn;
	const moved = await movements(context, {
		productId: input.productId,
		storeId: storeToldOf(farm, found.take.storeId),
		to,
		limit: MOST_LINES,
		...(since ? { from: since } : {}),
	});
	if (!moved.ok) return moved;
	const frozen = toIso(found.take.freezeAt, farm.zone);
	// What this stock take itself posted, at the freeze time, explains nothing.
	const before = moved.value.filter(
		(row) =>
			Date.parse(row.occurredAt) <= Date.parse(frozen) &&
			row.kind !== 'opening' &&
			!(row.kind === 'count adjustment' && row.occurredAt === frozen),
	);
	return ok({
		since,
		movements: before,
		loads: await loadsOf(context, before),
		mistakenFor: mistakenFor(line, lines),
	});
}

/** One line a load, with what it drew in all; taken back loads cancel and are left out. */
async function loadsOf({ db }: QueryContext, rows: readonly Movement[]) {
	const ofLoads = rows.filter(({ kind }) => kind === 'load' || kind === 'load reversal');
	const lines = [];
	for (const together of Map.groupBy(ofLoads, ({ jobId, load }) => `${jobId} ${load}`).values()) {
		const [first] = together;
		const amount = -together.reduce((sum, row) => sum + row.amount, 0);
		if (!first?.jobId || first.load === null || amount <= 0) continue;
		const found = await findJob(db, first.jobId);
		lines.push({
			jobId: first.jobId,
			job: found?.job.name ?? '?',
			load: first.load,
			on: first.occurredAt,
			amount: Number(amount.toFixed(6)),
			unit: first.unit,
		});
	}
	return lines;
}
