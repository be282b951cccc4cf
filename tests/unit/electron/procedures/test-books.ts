import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import { onTestFinished } from 'vitest';
import { type Book, openBook } from '../../../../db/open-book.ts';
import { createRouter } from '../../../../electron/procedures/router.ts';
import type { contract } from '../../../../shared/contract/contract.ts';
import { toProblem } from '../../../../shared/contract/wire-error.ts';

export type Api = ContractRouterClient<typeof contract>;
export type TestBooks = { readonly api: Api; readonly book: Book; readonly folder: string };

const router = createRouter();

/** Real books in a folder of their own, with every procedure, closed and removed when the test ends. */
export function testBooks({ demo = false, folder = newFolder() }: { demo?: boolean; folder?: string } = {}): TestBooks {
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	const book = opened.value;
	onTestFinished(() => {
		book.close();
		rmSync(folder, { recursive: true, force: true });
	});
	return { api: createRouterClient(router, { context: { book, demo } }) as Api, book, folder };
}

export function newFolder(): string {
	return mkdtempSync(join(tmpdir(), 'fillmark-test-'));
}

/** The code a call is refused with; fails when it is not refused. */
export async function refusal(call: Promise<unknown>): Promise<{ code: string; details: unknown }> {
	try {
		await call;
	} catch (error) {
		const { code, details } = toProblem(error);
		return { code, details };
	}
	throw new Error('the call was not refused');
}

/** A small farm: one field of 40 ha, two products in the store, one sprayer. */
export async function smallFarm(api: Api) {
	const { id: fieldId } = await api.fields.add({ name: 'Long Piece', mappedHa: 40.4, measuredHa: 40 });
	const suspension = await api.products.add({ name: 'Suspension', formulation: 'SC', unit: 'L', packSizes: [5] });
	const granule = await api.products.add({
		name: 'Granule',
		formulation: 'WG',
		unit: 'kg',
		packSizes: [1],
		displacementLPerKg: 0.7,
	});
	const { id: sprayerId } = await api.sprayers.add({ name: 'Trailed', capacityL: 4000, minimumL: 400 });
	await api.store.receive({ key: 'in-1', productId: suspension.id, packSize: 5, packs: 12, date: '2026-03-01' });
	await api.store.receive({ key: 'in-2', productId: granule.id, packSize: 1, packs: 30, date: '2026-03-01' });
	return { fieldId, suspensionId: suspension.id, granuleId: granule.id, sprayerId };
}
