import { addLoadLog, findJob, loadLogs, standing } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import { addRecords, listRecords } from '../../db/modules/records.ts';
import { listSowings } from '../../db/modules/seed-sowings.ts';
import { listCounts, listMovements, type NewMovement, post, shelves } from '../../db/modules/store.ts';
import { listWashings, standingWashings } from '../../db/modules/washings.ts';
import { ok, refuse } from '../../shared/basics/result.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { closeAgain } from './close-again.ts';
import type { CommandContext } from './handler.ts';
import { logDetails } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import { foundOnShelf } from './shelf.ts';
import { detailsOfWashings } from './washings.ts';

/** Takes back every standing log of a load: the store is refilled by mirror movements, the records get a reversed version. */
export async function reverseLoad(
	context: CommandContext,
	input: { jobId: string; load: number; why: string; by: string },
) {
	const { tx, farm, now, newId, signedBy } = context;
	const found = await findJob(tx, input.jobId);
	if (!found) return refuse('not.found', { what: 'job', id: input.jobId });
	const logs = standing(await loadLogs(tx, [input.jobId])).filter((log) => log.loadNumber === input.load);
	if (logs.length === 0) return refuse('load.notLogged', { load: input.load });
	const [sown] = await listSowings(tx, { jobId: input.jobId });
	if (sown) return refuse('job.seedSown', { field: sown.field });
	const [washed] = standingWashings(await listWashings(tx, { jobId: input.jobId }));
	if (washed) return refuse('job.washedOut', { field: detailsOfWashings(washed).fields[0]?.field ?? '?' });
	signedBy(input.by);
	const logIds = logs.map(({ id }) => id);
	for (const log of logs) {
		await addLoadLog(tx, {
			...log,
			id: newId(),
			state: 'reversal',
			reverses: log.id,
			postedAt: now,
			operator: input.by,
			details: JSON.stringify({ ...logDetails(log), note: input.why }),
		});
	}
	const drawn = (await listMovements(tx, { loadLogIds: logIds })).filter(({ kind }) => kind === 'load').reverse();
	const mirror: NewMovement[] = drawn.map((row) => ({
		productId: row.productId,
		storeId: row.storeId,
		kind: 'load reversal',
		amount: -row.amount,
		lotId: row.lotId,
		containerId: row.containerId,
		occurredAt: row.occurredAt,
		who: input.by,
		why: input.why,
		jobId: input.jobId,
		loadLogId: row.loadLogId,
		loadNumber: input.load,
		reverses: row.id,
	}));
	if (mirror.length > 0) await post(tx, context, mirror);
	await closeAgain(context, mirror, input);
	const touched = Map.groupBy(mirror, ({ productId, storeId }) => `${productId} ${storeId}`).values();
	for (const [row] of touched) if (row) await shelveCovered(context, row, input.by);
	const records = await listRecords(tx, { loadLogIds: logIds });
	await addRecords(
		tx,
		records.map(({ seq: _, hash: __, ...row }) => ({
			...row,
			id: newId(),
			version: row.version + 1,
			state: 'reversed' as const,
			why: input.why,
			who: input.by,
			writtenAt: now,
			userId: farm.userId,
			deviceId: farm.deviceId,
		})),
	);
	const returned = new Map<string, number>();
	for (const row of drawn) returned.set(row.productId, (returned.get(row.productId) ?? 0) - row.amount);
	return ok({
		recordIds: records.map(({ recordId }) => recordId),
		returned: [...returned].map(([productId, amount]) => ({ productId, amount: fromStockAmount(amount) })),
	});
}

/**
 * What was drawn beyond the book may have been covered by a stock take since. When such a load is taken back there is
 * more than the shelf of the book shows: it goes into an opened container.
 */
export async function shelveCovered(
	context: CommandContext,
	{ productId, storeId }: Pick<NewMovement, 'productId' | 'storeId'>,
	who: string,
): Promise<void> {
	const { tx, now } = context;
	const beyondBook = (await shelves(tx, { store: storeId, productIds: [productId] })).get(productId)?.beyondBook ?? 0;
	const [count] = await listCounts(tx, { store: storeId, productId });
	const product = (await findProducts<ProductDetails>(tx, [productId])).get(productId);
	if (beyondBook <= 0 || !count || !product) return;
	const why = 'taken back after a stock take had covered it';
	const common = {
		productId,
		storeId,
		kind: 'count adjustment' as const,
		occurredAt: now,
		who,
		why,
		countId: count.id,
	};
	const packSizes = product.packSizes.map(toStockAmount);
	await post(tx, context, [
		{ ...common, amount: -beyondBook, lotId: null, containerId: null },
		...(await foundOnShelf(context, { ...common, amount: beyondBook, packSizes })),
	]);
}
