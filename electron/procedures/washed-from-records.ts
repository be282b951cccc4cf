import { listRecords, type RecordStored } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { splitWithoutLoss } from '../../shared/units/split.ts';
import { dosePut, putOnGround } from './dose-put.ts';
import type { CommandContext } from './handler.ts';
import { logDetails, overLoads } from './job-details.ts';
import { recordDetails } from './records.ts';
import type { RestOfMix } from './rest-of-mix.ts';

/** What the washings take off each record line, by record, in µL or mg. */
export type Leaving = ReadonlyMap<string, { readonly row: RecordStored; readonly amount: number }>;

/**
 * The records of a job's loads hold all that was poured, with what stayed in the tank. What its washings hold was never on
 * that ground: it is taken off those it stands on, then off all in proportion, so that all lines of the job still add up to
 * what was poured. Of a load that was broken off, what stands on no record yet goes first.
 */
export async function leavingRecords(db: ReadDb, rest: RestOfMix): Promise<Result<Leaving>> {
	const { job, plan, logs, last, held } = rest;
	const records = await listRecords(db, { jobId: job.id });
	const over = overLoads(plan, logs);
	const leaving = new Map<string, { row: RecordStored; amount: number }>();
	for (const { product, amount } of held) {
		const own = records.filter(({ productId }) => productId === product.id);
		const lines = own.filter(({ washingsId, loadNumber }) => washingsId === null && over.has(loadNumber));
		const open = over.has(last.loadNumber) ? 0 : notRecorded(rest, product.id, own);
		const needed = Math.max(0, amount - open);
		const onRecords = lines.reduce((sum, row) => sum + row.amount, 0);
		if (needed > onRecords) {
			return refuse('washings.moreThanMixed', {
				held: fromStockAmount(amount),
				mixed: fromStockAmount(onRecords + open),
				unit: product.unit,
				product: product.name,
			});
		}
		const stayed = lines.map((row) => Math.max(0, row.amount - toStockAmount(putOnGround(row))));
		const first = Math.min(
			needed,
			stayed.reduce((sum, each) => sum + each, 0),
		);
		const ofStayed = splitWithoutLoss(first, stayed);
		const ofAll = splitWithoutLoss(
			needed - first,
			lines.map((row, index) => row.amount - (ofStayed[index] ?? 0)),
		);
		for (const [index, row] of lines.entries()) {
			leaving.set(row.recordId, { row, amount: (ofStayed[index] ?? 0) + (ofAll[index] ?? 0) });
		}
	}
	return ok(leaving);
}

/** What was poured into the load that was broken off and is on no ground yet. */
function notRecorded({ logs, last }: RestOfMix, productId: string, own: readonly RecordStored[]): number {
	const ofLoad = logs.filter(({ loadNumber }) => loadNumber === last.loadNumber);
	const poured = ofLoad
		.flatMap((log) => logDetails(log).products)
		.filter((line) => line.productId === productId)
		.reduce((sum, line) => sum + toStockAmount(line.amount), 0);
	const recorded = own
		.filter(({ loadNumber }) => loadNumber === last.loadNumber)
		.reduce((sum, row) => sum + row.amount, 0);
	return Math.max(0, poured - recorded);
}

/** The next version of a record line with another amount, and the dose that makes. */
export function withAmount(
	{ farm, now, newId, note }: CommandContext,
	{ seq: _, hash: __, ...row }: RecordStored,
	{ amount, why, who }: { readonly amount: number; readonly why: string; readonly who: string },
) {
	const dosePerHa = dosePut({ ...row, amount });
	const details = JSON.stringify({ ...recordDetails(row), dosePerHa });
	note({
		table: 'spray_record',
		id: row.recordId,
		before: { amount: fromStockAmount(row.amount) },
		after: { amount: fromStockAmount(amount) },
	});
	const { userId, deviceId } = farm;
	return { ...row, id: newId(), version: row.version + 1, amount, details, why, who, writtenAt: now, userId, deviceId };
}
