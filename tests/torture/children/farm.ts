import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import { type Book, openBook } from '../../../db/open-book.ts';
import { createRouter } from '../../../electron/procedures/router.ts';
import type { contract } from '../../../shared/contract/contract.ts';

export type Api = ContractRouterClient<typeof contract>;

export function opened(folder: string): Book {
	const book = openBook({ folder });
	if (!book.ok) throw new Error(JSON.stringify(book.problem));
	return book.value;
}

/** Every procedure on these books. A bug is an error here too, without its trace in the way. */
export function apiOf(book: Book): Api {
	return createRouterClient(createRouter(), { context: { book, log: () => {} } }) as Api;
}

/** The farm, laid out once however often it is asked for: every entry has a key of its own. */
export async function layOut(api: Api) {
	const { id: fieldId } = await api.fields.add({ key: 'field', name: 'Long Piece', measuredHa: 10 });
	const liquid = { name: 'Suspension', formulation: 'SC', unit: 'L', packSizes: [5] } as const;
	const { id: productId } = await api.products.add({ key: 'product', ...liquid, packSizes: [5] });
	const dry = { name: 'Granule', formulation: 'WG', unit: 'kg' } as const;
	const { id: granuleId } = await api.products.add({ key: 'granule', ...dry, packSizes: [1] });
	const { id: sprayerId } = await api.sprayers.add({ key: 'sprayer', name: 'Trailed', capacityL: 4000, minimumL: 100 });
	await api.store.receive({ key: 'stock', productId, packSize: 5, packs: 90_000, date: '2026-01-02' });
	await api.store.receive({ key: 'granules', productId: granuleId, packSize: 1, packs: 90_000, date: '2026-01-02' });
	return { fieldId, productId, granuleId, sprayerId };
}

export type LaidOut = Awaited<ReturnType<typeof layOut>>;

/** Plans a job of one load and logs it, both under this key. */
export async function logOneLoad(api: Api, farm: LaidOut, key: string): Promise<void> {
	const { sprayerId, fieldId, productId, granuleId } = farm;
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
}
