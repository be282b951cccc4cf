import { expect, test } from 'vitest';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const LOAD_1 = {
	load: 1,
	startedAt: '2026-04-15T07:00',
	finishedAt: '2026-04-15T08:00',
	operator: 'A. Marsh',
};

/** Batch A, 10 L that expire first; batch B, 20 L; and what the small farm has without a batch. */
async function withBatches(api: Api) {
	const farm = await smallFarm(api);
	const productId = farm.suspensionId;
	const common = { productId, packSize: 5, date: '2026-03-02' };
	await api.store.receive({ key: 'a', ...common, packs: 2, batch: 'A-17', expires: '2027-01-31' });
	await api.store.receive({ key: 'b', ...common, packs: 4, batch: 'B-04', expires: '2028-01-31' });
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId, areaHa: 12 }],
		products: [
			{ productId, dosePerHa: 1 },
			{ productId: farm.granuleId, dosePerHa: 0.5 },
		],
		date: '2026-04-15',
	});
	return { ...farm, jobId, productId };
}

async function leftOf(api: Api, productId: string, batch: string): Promise<number> {
	const line = (await api.store.onHand({})).find((each) => each.productId === productId);
	return line?.batches.find((each) => each.batch === batch)?.amount ?? 0;
}

test('the batch that was named is drawn, however its letters are written; the other stays', async () => {
	const { api } = testBooks();
	const { jobId, productId } = await withBatches(api);
	const products = [{ productId, amount: 12, batches: ['b-04'] }];
	await api.jobs.logLoad({ key: 'log', jobId, ...LOAD_1, actual: { products } });
	expect([await leftOf(api, productId, 'A-17'), await leftOf(api, productId, 'B-04')]).toEqual([10, 8]);
	const [log] = (await api.jobs.get({ id: jobId })).logs;
	expect(log?.products[0]).toEqual({ productId, amount: 12, batches: ['b-04'] });
});

test('two batches are emptied in the order they are named', async () => {
	const { api } = testBooks();
	const { jobId, productId } = await withBatches(api);
	const products = [{ productId, amount: 12, batches: ['A-17', 'B-04'] }];
	await api.jobs.logLoad({ key: 'log', jobId, ...LOAD_1, actual: { products } });
	expect([await leftOf(api, productId, 'A-17'), await leftOf(api, productId, 'B-04')]).toEqual([0, 18]);
});

test('a batch that does not hold it is asked back; logged as short, the rest stands open and no other batch is touched', async () => {
	const { api } = testBooks();
	const { jobId, productId } = await withBatches(api);
	const log = { jobId, ...LOAD_1, actual: { products: [{ productId, amount: 12, batches: ['A-17'] }] } };
	expect(await refusal(api.jobs.logLoad({ key: 'log', ...log }))).toEqual({
		code: 'store.batchShort',
		details: {
			product: 'Suspension',
			productId,
			unit: 'L',
			batch: 'A-17',
			have: 10,
			need: 12,
			batches: ['A-17', 'B-04'],
		},
	});
	await api.jobs.logLoad({ key: 'log', ...log, allowShort: true });
	expect([await leftOf(api, productId, 'A-17'), await leftOf(api, productId, 'B-04')]).toEqual([0, 20]);
	const line = (await api.store.onHand({})).find((each) => each.productId === productId);
	expect([line?.amount, line?.openDiscrepancy]).toEqual([78, -2]);
});

test('a card from before a stock take may name the batch that has been counted away since', async () => {
	const { api } = testBooks();
	const { jobId, productId } = await withBatches(api);
	await api.store.count({ key: 'c', productId, counted: 0, why: 'stock take', by: 'J. Wren', date: '2026-04-20' });
	const products = [{ productId, amount: 10, batches: ['A-17'] }];
	await api.jobs.logLoad({ key: 'log', jobId, ...LOAD_1, actual: { products } });
	const line = (await api.store.onHand({})).find((each) => each.productId === productId);
	expect([line?.amount, line?.openDiscrepancy]).toEqual([0, 0]);
});

test('a product whose amount was not said is as planned, and its record says so', async () => {
	const { api } = testBooks();
	const { jobId, productId, granuleId } = await withBatches(api);
	const products = [{ productId, amount: 12.1 }, { productId: granuleId }];
	await api.jobs.logLoad({ key: 'log', jobId, ...LOAD_1, actual: { products } });
	const [log] = (await api.jobs.get({ id: jobId })).logs;
	expect([log?.confirmed, log?.products.map(({ amount }) => amount)]).toEqual([false, [12.1, 6]]);
	const lines = await api.records.list({});
	expect(lines.map(({ product, confirmed }) => [product, confirmed]).sort()).toEqual([
		['Granule', false],
		['Suspension', true],
	]);
});
