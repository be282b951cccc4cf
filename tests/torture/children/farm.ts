import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import { type Book, openBook } from '../../../db/open-book.ts';
import { createRouter } from '../../../electron/procedures/router.ts';
import type { contract } from '../../../shared/contract/contract.ts';
import { sheetOf } from '../sheet.ts';

export type Api = ContractRouterClient<typeof contract>;

export function opened(folder: string): Book {
	const book = openBook({ folder });
	if (!book.ok) throw new Error(JSON.stringify(book.problem));
	// So few pages that a small sheet is in the log before its commit, as a document of many megabytes is with the usual cache.
	book.value.writer.sqlite.pragma('cache_size = 5');
	return book.value;
}

/** Every procedure on these books. A bug is an error here too, without its trace in the way. */
export function apiOf(book: Book): Api {
	return createRouterClient(createRouter(), { context: { book, log: () => {} } }) as Api;
}

/** The farm, laid out once however often it is asked for: every entry has a key of its own. */
export async function layOut(api: Api, { folder }: Book) {
	const papers = join(folder, 'papers');
	mkdirSync(papers, { recursive: true });
	const { id: fieldId } = await api.fields.add({ key: 'field', name: 'Long Piece', measuredHa: 10 });
	const liquid = { name: 'Suspension', formulation: 'SC', unit: 'L', packSizes: [5] } as const;
	const { id: productId } = await api.products.add({ key: 'product', ...liquid, packSizes: [5] });
	const dry = { name: 'Granule', formulation: 'WG', unit: 'kg' } as const;
	const { id: granuleId } = await api.products.add({ key: 'granule', ...dry, packSizes: [1] });
	const { id: sprayerId } = await api.sprayers.add({ key: 'sprayer', name: 'Trailed', capacityL: 4000, minimumL: 100 });
	await api.store.receive({ key: 'stock', productId, packSize: 5, packs: 90_000, date: '2026-01-02' });
	await api.store.receive({ key: 'granules', productId: granuleId, packSize: 1, packs: 90_000, date: '2026-01-02' });
	return { fieldId, productId, granuleId, sprayerId, papers };
}

export type LaidOut = Awaited<ReturnType<typeof layOut>>;

/** Plans a job of one load, logs it and keeps a safety data sheet: three commands under one key. */
export async function logLoadWithSheet(api: Api, farm: LaidOut, key: string): Promise<void> {
	const { sprayerId, fieldId, productId, granuleId, papers } = farm;
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
	const path = join(papers, `${key}.pdf`);
	writeFileSync(path, sheetOf(key));
	await api.documents.add({ key, path, productId, kind: 'safety data sheet', by: 'A. Marsh' });
}
