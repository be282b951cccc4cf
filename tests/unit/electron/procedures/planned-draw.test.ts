import { expect, test } from 'vitest';
import { emulsionShelf } from './emulsion-shelf.ts';
import { type Api, smallFarm, testBooks } from './test-books.ts';

/** Two loads of 13.33 ha and less; 24 L out of an opened 3.5 L and packs of S1, then of L9, as the plan names them. */
async function planned(api: Api) {
	const { productId, receive, spill, job } = await emulsionShelf(api);
	const { id: jobId } = await api.jobs.add({ key: 'job', ...job });
	return { jobId, productId, receive, spill };
}

const at = (load: number) => ({
	load,
	startedAt: `2026-04-15T0${6 + load}:00`,
	finishedAt: `2026-04-15T0${6 + load}:50`,
	operator: 'A. Marsh',
});

async function batchesLeft(api: Api, productId: string) {
	const line = (await api.store.onHand({})).find((each) => each.productId === productId);
	return Object.fromEntries((line?.batches ?? []).map(({ batch, amount }) => [batch, amount]));
}

test('a load logged as planned draws what the plan named, also when an earlier batch came in since', async () => {
	const { api } = testBooks();
	const { jobId, productId, receive } = await planned(api);
	await receive('sooner', { packSize: 5, packs: 4, batch: 'E1', expires: '2026-10-01' });
	const [ahead] = await api.jobs.drawAhead({ jobId, load: 1 });
	expect(ahead).toEqual({
		productId,
		amount: 16,
		by: 'plan',
		parts: [
			{ what: 'opened', amount: 3.5, batch: 'S1', expires: '2026-12-01' },
			{ what: 'full', amount: 10, batch: 'S1', expires: '2026-12-01' },
			{ what: 'newly opened', amount: 2.5, batch: 'L9', expires: '2028-03-01' },
		],
		notAsNamed: null,
	});
	const first = await api.jobs.logLoad({ key: 'l1', jobId, ...at(1) });
	const second = await api.jobs.logLoad({ key: 'l2', jobId, ...at(2) });
	expect([first.notAsNamed, second.notAsNamed]).toEqual([[], []]);
	expect(await batchesLeft(api, productId)).toEqual({ L9: 29.5, E1: 20 });
});

test('what is no longer there is drawn by the store’s order, and answer and log say so', async () => {
	const { api } = testBooks();
	const { jobId, productId, spill } = await planned(api);
	// The opened can runs out in the store before the load.
	await api.store.post({ key: 'gone', ...spill, amount: 3.5, date: '2026-04-14' });
	const notAsNamed = {
		missing: [{ what: 'opened', amount: 3.5, batch: 'S1', expires: '2026-12-01' }],
		instead: [{ what: 'newly opened', amount: 3.5, batch: 'L9', expires: '2028-03-01' }],
	};
	expect((await api.jobs.drawAhead({ jobId, load: 1 }))[0]?.notAsNamed).toEqual(notAsNamed);
	const logged = await api.jobs.logLoad({ key: 'l1', jobId, ...at(1) });
	expect(logged.notAsNamed).toEqual([{ productId, ...notAsNamed }]);
	expect((await api.jobs.get({ id: jobId })).logs[0]?.products[0]?.notAsNamed).toEqual(notAsNamed);
	expect(await batchesLeft(api, productId)).toEqual({ L9: 34 });
});

test('the batches the operator names come before those of the plan', async () => {
	const { api } = testBooks();
	const { jobId, productId } = await planned(api);
	const products = [{ productId, batches: ['L9'] }];
	expect((await api.jobs.drawAhead({ jobId, load: 1, products }))[0]).toMatchObject({
		by: 'batches',
		notAsNamed: null,
	});
	const logged = await api.jobs.logLoad({ key: 'l1', jobId, ...at(1), actual: { products } });
	expect(logged.notAsNamed).toEqual([]);
	expect(await batchesLeft(api, productId)).toEqual({ L9: 24, S1: 13.5 });
});

test('a load that goes on after a stop goes on with the containers its first part had begun', async () => {
	const { api } = testBooks();
	const { jobId, productId } = await planned(api);
	const [field] = (await api.jobs.get({ id: jobId })).fields;
	await api.jobs.logLoad({
		key: 'stop',
		jobId,
		...at(1),
		actual: { products: [{ productId, amount: 6 }], fields: [{ fieldId: field?.fieldId ?? '', areaHa: 10 }] },
		stopped: { why: 'rain' },
	});
	expect(await batchesLeft(api, productId)).toEqual({ L9: 40, S1: 7.5 });
	const on = await api.jobs.logLoad({
		key: 'on',
		jobId,
		...at(1),
		startedAt: '2026-04-15T09:00',
		finishedAt: '2026-04-15T09:30',
	});
	expect(on.notAsNamed).toEqual([]);
	expect(await batchesLeft(api, productId)).toEqual({ L9: 37.5 });
});

test('what the plan did not find in the store is not missed when it has come in since', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId }],
		products: [{ productId: farm.suspensionId, dosePerHa: 2 }],
		date: '2026-04-15',
	});
	await api.store.receive({ key: 'in-3', productId: farm.suspensionId, packSize: 5, packs: 4, date: '2026-04-14' });
	expect((await api.jobs.logLoad({ key: 'l1', jobId, ...at(1) })).notAsNamed).toEqual([]);
});
