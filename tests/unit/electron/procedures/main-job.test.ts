import { expect, test } from 'vitest';
import { refusal, smallFarm, testBooks } from './test-books.ts';

async function plannedJob(api: Parameters<typeof smallFarm>[0]) {
	const farm = await smallFarm(api);
	const job = await api.jobs.add({
		key: 'job-1',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 150,
		fields: [{ fieldId: farm.fieldId }],
		products: [
			{ productId: farm.suspensionId, dosePerHa: 1.25 },
			{ productId: farm.granuleId, dosePerHa: 0.5 },
		],
		strategy: 'full',
		date: '2026-04-15',
	});
	return { ...farm, job };
}

const LOAD_1 = { load: 1, startedAt: '2026-04-15T07:00:00Z', finishedAt: '2026-04-15T08:00:00Z', operator: 'A. Marsh' };

test('a job of 40 ha at 150 L/ha is split by hand calculation', async () => {
	const { api } = testBooks();
	const { job } = await plannedJob(api);
	// 4,000 L ÷ 150 L/ha = 26.667 ha: 33.33 L and 13.33 kg, displacing 33.33 + 13.33 × 0.7 L; the rest is 13.333 ha.
	expect(
		job.loads.map((load) => ({
			areaHa: round(load.areaHa),
			water: round(load.waterL),
			products: load.products.map(({ amount }) => amount),
		})),
	).toEqual([
		{ areaHa: 26.667, water: 3957.339, products: [33.33, 13.33] },
		{ areaHa: 13.333, water: 1978.661, products: [16.67, 6.67] },
	]);
});

test('logging a load draws the store to the millilitre and writes one record line a product', async () => {
	const { api } = testBooks();
	const { job, suspensionId, granuleId } = await plannedJob(api);
	const logged = await api.jobs.logLoad({ key: 'log-1', jobId: job.id, ...LOAD_1 });
	expect(logged.drawn).toEqual([
		{ productId: suspensionId, amount: 33.33 },
		{ productId: granuleId, amount: 13.33 },
	]);
	expect(
		(await api.store.onHand({})).map(({ name, amount, packs, opened }) => ({ name, amount, packs, opened })),
	).toEqual([
		{ name: 'Granule', amount: 16.67, packs: [{ size: 1, count: 16 }], opened: [{ size: 1, left: 0.67 }] },
		{ name: 'Suspension', amount: 26.67, packs: [{ size: 5, count: 5 }], opened: [{ size: 5, left: 1.67 }] },
	]);
	const records = await api.records.list({});
	expect(records.map(({ field, product, amount, unit, date }) => ({ field, product, amount, unit, date }))).toEqual([
		{ field: 'Long Piece', product: 'Suspension', amount: 33.33, unit: 'L', date: '2026-04-15' },
		{ field: 'Long Piece', product: 'Granule', amount: 13.33, unit: 'kg', date: '2026-04-15' },
	]);
	expect(logged.recordIds).toEqual(records.map(({ id }) => id));
	expect((await api.records.verify({})).ok).toBe(true);
});

test('the same key posts once; the same key with other content is refused', async () => {
	const { api } = testBooks();
	const { job } = await plannedJob(api);
	const first = await api.jobs.logLoad({ key: 'log-1', jobId: job.id, ...LOAD_1 });
	const again = await api.jobs.logLoad({ key: 'log-1', jobId: job.id, ...LOAD_1 });
	expect(again).toEqual(first);
	expect((await refusal(api.jobs.logLoad({ key: 'log-1', jobId: job.id, ...LOAD_1, operator: 'B. Wren' }))).code).toBe(
		'key.reused',
	);
	expect((await refusal(api.jobs.logLoad({ key: 'log-2', jobId: job.id, ...LOAD_1 }))).code).toBe('load.alreadyLogged');
	expect((await api.records.list({})).length).toBe(2);
});

test('a reversed load puts every container back and marks its records', async () => {
	const { api } = testBooks();
	const { job } = await plannedJob(api);
	const before = await api.store.onHand({});
	await api.jobs.logLoad({ key: 'log-1', jobId: job.id, ...LOAD_1 });
	const back = await api.jobs.reverseLoad({ key: 'back-1', jobId: job.id, load: 1, why: 'wrong job', by: 'J. Wren' });
	expect(back.returned.map(({ amount }) => amount)).toEqual([33.33, 13.33]);
	expect((await api.store.onHand({})).map(({ amount }) => amount)).toEqual(before.map(({ amount }) => amount));
	expect(await api.records.list({})).toEqual([]);
	expect((await api.records.list({ reversed: true })).map(({ state, version }) => ({ state, version }))).toEqual([
		{ state: 'reversed', version: 2 },
		{ state: 'reversed', version: 2 },
	]);
	await api.jobs.logLoad({ key: 'log-3', jobId: job.id, ...LOAD_1 });
	expect((await api.records.list({})).length).toBe(2);
});

test('a draw beyond the book needs the word, and stands open until a stock take', async () => {
	const { api } = testBooks();
	const { job, suspensionId } = await plannedJob(api);
	const pour = { products: [{ productId: suspensionId, amount: 70 }] };
	const short = await refusal(api.jobs.logLoad({ key: 'log-1', jobId: job.id, ...LOAD_1, actual: pour }));
	expect(short).toEqual({
		code: 'store.short',
		details: { product: 'Suspension', productId: suspensionId, unit: 'L', have: 60, need: 70 },
	});
	await api.jobs.logLoad({ key: 'log-1', jobId: job.id, ...LOAD_1, actual: pour, allowShort: true });
	const line = async () => (await api.store.onHand({})).find(({ productId }) => productId === suspensionId);
	expect(await line()).toMatchObject({ amount: -10, openDiscrepancy: -10 });
	expect(
		await api.store.count({ key: 'count-1', productId: suspensionId, counted: 3, why: 'stock take', by: 'J. Wren' }),
	).toMatchObject({
		bookAmount: -10,
		difference: 13,
	});
	expect(await line()).toMatchObject({ amount: 3, openDiscrepancy: 0, opened: [{ size: 5, left: 3 }] });
});

test('a load over two fields that is broken off and gone on with adds up', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const { id: second } = await api.fields.add({ name: 'Mill Bank', measuredHa: 10 });
	const { id: jobId, loads } = await api.jobs.add({
		key: 'job-2',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId, areaHa: 20 }, { fieldId: second }],
		products: [{ productId: farm.suspensionId, dosePerHa: 1 }],
		date: '2026-04-15',
	});
	expect(loads.length).toBe(1);
	await api.jobs.logLoad({
		key: 'stop',
		jobId,
		load: 1,
		startedAt: '2026-04-15T07:00',
		finishedAt: '2026-04-15T08:00',
		operator: 'A. Marsh',
		actual: { fields: [{ fieldId: farm.fieldId, areaHa: 12 }] },
		stopped: { why: 'rain', mixLeftL: 1800 },
	});
	expect((await api.jobs.get({ id: jobId })).state).toBe('in progress');
	const { drawn } = await api.jobs.logLoad({
		key: 'on',
		jobId,
		load: 1,
		startedAt: '2026-04-16T07:00',
		finishedAt: '2026-04-16T08:00',
		operator: 'A. Marsh',
	});
	expect(drawn).toEqual([{ productId: farm.suspensionId, amount: 0 }]);
	const records = await api.records.list({});
	expect(records.map(({ date, field, treatedHa, amount }) => [date, field, treatedHa, amount])).toEqual([
		['2026-04-16', 'Long Piece', 8, 8],
		['2026-04-16', 'Mill Bank', 10, 10],
		['2026-04-15', 'Long Piece', 12, 12],
	]);
	expect((await api.jobs.get({ id: jobId })).state).toBe('done');
	expect((await api.store.onHand({})).find(({ name }) => name === 'Suspension')?.amount).toBe(30);
});

test('a load posted late for before a stock take leaves the counted figure', async () => {
	const { api } = testBooks();
	const { job, suspensionId } = await plannedJob(api);
	await api.store.count({
		key: 'c',
		productId: suspensionId,
		counted: 26.67,
		why: 'stock take',
		by: 'J. Wren',
		at: '2026-04-20T12:00:00Z',
	});
	await api.jobs.logLoad({ key: 'late', jobId: job.id, ...LOAD_1 });
	expect((await api.store.onHand({})).find(({ productId }) => productId === suspensionId)?.amount).toBe(26.67);
	await api.jobs.reverseLoad({ key: 'back', jobId: job.id, load: 1, why: 'wrong', by: 'J. Wren' });
	expect((await api.store.onHand({})).find(({ productId }) => productId === suspensionId)?.amount).toBe(26.67);
});

test('bad input is refused with the field named, and nothing is written', async () => {
	const { api } = testBooks();
	const { job, fieldId } = await plannedJob(api);
	const log = (input: object) => refusal(api.jobs.logLoad({ key: 'x', jobId: job.id, ...LOAD_1, ...input }));
	expect(await log({ load: 3 })).toMatchObject({ code: 'load.unknown' });
	expect(await log({ finishedAt: '2026-04-15T06:00:00Z' })).toMatchObject({ code: 'load.timesReversed' });
	expect(await log({ actual: { products: [{ productId: 'none', amount: 1 }] } })).toMatchObject({
		code: 'load.productNotInJob',
	});
	expect(await log({ actual: { fields: [{ fieldId: 'none', areaHa: 1 }] } })).toMatchObject({
		code: 'load.fieldNotInJob',
	});
	expect(await log({ surprise: 1 })).toMatchObject({ code: 'input.invalid' });
	expect(await log({ actual: { fields: [{ fieldId, areaHa: -1 }] } })).toMatchObject({
		code: 'input.invalid',
		details: { path: 'actual.fields[0].areaHa' },
	});
	expect(await api.records.list({})).toEqual([]);
});

function round(value: number): number {
	return Math.round(value * 1000) / 1000;
}
