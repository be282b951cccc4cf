/** Logs loads as fast as it can into the books of a folder, and says each key on stdout once it is acknowledged. Killed from outside. */
import { writeSync } from 'node:fs';
import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import { openBook } from '../../db/open-book.ts';
import { createRouter } from '../../electron/procedures/router.ts';
import type { contract } from '../../shared/contract/contract.ts';

const [, , folder = '', round = '0'] = process.argv;
const opened = openBook({ folder });
if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
const api = createRouterClient(createRouter(), { context: { book: opened.value } }) as ContractRouterClient<
	typeof contract
>;

// Fixed keys: the farm is laid out once, however often this is started.
const { id: fieldId } = await api.fields.add({ key: 'field', name: 'Long Piece', measuredHa: 10 });
const { id: productId } = await api.products.add({
	key: 'product',
	name: 'Suspension',
	formulation: 'SC',
	unit: 'L',
	packSizes: [5],
});
const { id: granuleId } = await api.products.add({
	key: 'granule',
	name: 'Granule',
	formulation: 'WG',
	unit: 'kg',
	packSizes: [1],
});
const { id: sprayerId } = await api.sprayers.add({ key: 'sprayer', name: 'Trailed', capacityL: 4000, minimumL: 100 });
await api.store.receive({ key: 'stock', productId, packSize: 5, packs: 90_000, date: '2026-01-02' });
await api.store.receive({ key: 'granules', productId: granuleId, packSize: 1, packs: 90_000, date: '2026-01-02' });

for (let count = 0; ; count++) {
	const key = `${round}-${count}`;
	const { id: jobId } = await api.jobs.add({
		key,
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [
			{ productId, dosePerHa: 1.3 },
			{ productId: granuleId, dosePerHa: 0.25 },
		],
		date: '2026-04-15',
	});
	const times = { startedAt: '2026-04-15T07:00:00Z', finishedAt: '2026-04-15T08:00:00Z' };
	await api.jobs.logLoad({ key, jobId, load: 1, ...times, operator: 'A. Marsh' });
	writeSync(1, `${key}\n`);
}
