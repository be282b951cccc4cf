import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import { openDb } from '../../db/connection.ts';
import { openBook } from '../../db/open-book.ts';
import { createRouter } from '../../electron/procedures/router.ts';
import type { contract } from '../../shared/contract/contract.ts';
import type { BenchRow } from './row.ts';

const LOADS = 150;

/** Logging one load of two products on one field, beside one bare durable insert on the same disk in the same run. */
export async function logLoadRow(): Promise<BenchRow> {
	const folder = mkdtempSync(join(tmpdir(), 'fillmark-bench-'));
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(opened.problem.code);
	try {
		const api = createRouterClient(createRouter(), { context: { book: opened.value } }) as ContractRouterClient<
			typeof contract
		>;
		const { id: fieldId } = await api.fields.add({ name: 'Long Piece', measuredHa: 10 });
		const { id: productId } = await api.products.add({
			name: 'Suspension',
			formulation: 'SC',
			unit: 'L',
			packSizes: [5],
		});
		const { id: otherId } = await api.products.add({ name: 'Granule', formulation: 'WG', unit: 'kg', packSizes: [1] });
		const { id: sprayerId } = await api.sprayers.add({ name: 'Trailed', capacityL: 4000, minimumL: 100 });
		await api.store.receive({ key: 'a', productId, packSize: 5, packs: 2000 });
		await api.store.receive({ key: 'b', productId: otherId, packSize: 1, packs: 2000 });
		const jobIds: string[] = [];
		for (let count = 0; count < LOADS; count++) {
			const { id } = await api.jobs.add({
				key: String(count),
				sprayerId,
				sprayVolumeLPerHa: 100,
				fields: [{ fieldId }],
				products: [
					{ productId, dosePerHa: 1 },
					{ productId: otherId, dosePerHa: 0.5 },
				],
				date: '2026-04-15',
			});
			jobIds.push(id);
		}
		const ours: number[] = [];
		const bare: number[] = [];
		const sqlite = openDb(join(folder, 'bare.sqlite'));
		sqlite.exec('CREATE TABLE line (id INTEGER PRIMARY KEY, note TEXT NOT NULL) STRICT');
		const insert = sqlite.prepare('INSERT INTO line (note) VALUES (?)');
		const times = { startedAt: '2026-04-15T07:00:00Z', finishedAt: '2026-04-15T08:00:00Z', operator: 'A. Marsh' };
		for (const jobId of jobIds) {
			const start = performance.now();
			await api.jobs.logLoad({ key: jobId, jobId, load: 1, ...times });
			const logged = performance.now();
			insert.run('one durable line');
			bare.push(performance.now() - logged);
			ours.push(logged - start);
		}
		sqlite.close();
		return {
			name: 'logging a load',
			ours: median(ours),
			reference: median(bare),
			ratio: median(ours) / median(bare),
			note: 'beside one bare durable insert; two products, one field, limits checked',
		};
	} finally {
		opened.value.close();
		rmSync(folder, { recursive: true, force: true });
	}
}

function median(values: readonly number[]): number {
	const sorted = values.toSorted((a, b) => a - b);
	return sorted[Math.floor(sorted.length / 2)] ?? 0;
}
