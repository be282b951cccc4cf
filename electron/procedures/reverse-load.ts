import { addLoadLog, findJob, loadLogs, standing } from '../../db/modules/jobs.ts';
import { addRecords, listRecords } from '../../db/modules/records.ts';
import { listMovements, type NewMovement, post } from '../../db/modules/store.ts';
import { ok, refuse } from '../../shared/basics/result.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import type { CommandContext } from './handler.ts';
import { logDetails } from './jobs.ts';

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
