import { expect, test } from 'vitest';
import { addDays } from '../../../../shared/basics/calendar.ts';
import { bundNeeded } from '../../../../shared/core/store/bund.ts';
import { refusal, smallFarm, testBooks } from './test-books.ts';

const today = new Date().toISOString().slice(0, 10);

test('a delivery of several lines is booked at once, and its note only once', async () => {
	const { api } = testBooks();
	const { suspensionId, granuleId } = await smallFarm(api);
	const lines = [
		{ productId: suspensionId, packSize: 5, packs: 4, batch: 'B7', expires: '2029-01-31', price: 240 },
		{ productId: granuleId, packSize: 1, packs: 10, price: 95.5 },
	];
	const deliver = (key: string, note: string, more: object = {}) =>
		api.store.receiveDelivery({ key, note, date: '2026-03-05', by: 'J. Wren', lines, ...more });
	const first = await deliver('d1', 'DN 88');
	expect(first.movementIds.length).toBe(2);
	expect(await refusal(deliver('d2', 'dn 88'))).toEqual({
		code: 'delivery.noteTwice',
		details: { note: 'dn 88', product: 'Suspension', packs: 4, size: 5, on: '2026-03-05' },
	});
	await deliver('d3', 'DN 88', { otherDelivery: true });
	const bad = [...lines, { productId: granuleId, packSize: 3, packs: 1 }];
	expect((await refusal(deliver('d4', 'DN 89', { lines: bad }))).code).toBe('product.packUnknown');
	const amounts = (await api.store.onHand({})).map(({ name, amount }) => [name, amount]);
	expect(amounts).toEqual([
		['Granule', 50],
		['Suspension', 100],
	]);
	for (const movementId of first.movementIds) {
		await api.store.reverse({ key: `r ${movementId}`, movementId, why: 'wrong note', by: 'J. Wren' });
	}
});

test('the watch list: what ends within 90 days, what jobs lack, what the bund must hold', async () => {
	const { api } = testBooks();
	const { suspensionId, granuleId, fieldId, sprayerId } = await smallFarm(api);
	const [soon, later] = [addDays(today, 60), addDays(today, 120)];
	await api.store.receiveDelivery({
		key: 'd',
		lines: [
			{ productId: suspensionId, packSize: 5, packs: 2, batch: 'near', expires: soon },
			{ productId: suspensionId, packSize: 5, packs: 2, batch: 'far', expires: later },
		],
	});
	const granule = (await api.products.list({})).find(({ id }) => id === granuleId);
	await api.products.update({ key: 'u', id: granuleId, version: granule?.version ?? 0, authorisationEnds: soon });
	await api.jobs.add({
		key: 'job',
		name: 'Weeds',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [{ productId: suspensionId, dosePerHa: 2.5 }],
		date: soon,
	});
	await api.store.saveSite({ key: 's', version: 0, place: 'Yard', contacts: 'Ring', bundL: 100, sensitive: false });
	const { batches, authorisations, short, stores } = await api.store.watch({});
	expect(batches.map(({ batch, amount, past }) => [batch, amount, past])).toEqual([['near', 10, false]]);
	expect(authorisations.map(({ product, what, amount }) => [product, what, amount])).toEqual([
		['Granule', 'authorisation ends', 30],
	]);
	expect(short.map(({ product, planned, inStore, short: lacks }) => [product, planned, inStore, lacks])).toEqual([
		['Suspension', 100, 80, 20],
	]);
	expect(stores.map(({ bund }) => bund)).toEqual([{ storedL: 110, mostL: 110, neededL: 110 * 1.1, holds: false }]);
	const stale = api.store.saveSite({ key: 't', version: 0, place: '', contacts: '', bundL: null, sensitive: true });
	expect((await refusal(stale)).code).toBe('row.changed');
});

test('bund: 850 L stored need 935 L, in a sensitive area 1,572.5 L (HSE AIS16: 110 % and 185 %)', () => {
	expect([bundNeeded(850, false), bundNeeded(850, true)].map((litres) => litres.toFixed(1))).toEqual([
		'935.0',
		'1572.5',
	]);
});

test('a drawn plan orders the count sheet, and is left alone by those who do not speak of it', async () => {
	const { api } = testBooks();
	await smallFarm(api);
	const place = async (name: string, place: string) => {
		const product = (await api.products.list({})).find((each) => each.name === name);
		await api.products.update({
			key: `${name} ${place}`,
			id: product?.id ?? '',
			version: product?.version ?? 0,
			place,
		});
	};
	const { id: takeId } = await api.store.openStockTake({ key: 'open', by: 'J. Wren' });
	const walk = async () => (await api.store.stockTake({ takeId })).lines.map(({ name, place: at }) => [name, at]);
	await place('Granule', 'Shelf 2');
	await place('Suspension', 'Shelf 1');
	expect(await walk()).toEqual([
		['Suspension', 'Shelf 1'],
		['Granule', 'Shelf 2'],
	]);
	const shelf = (label: string, xM: number) => ({ kind: 'shelf' as const, label, xM, yM: 0, widthM: 1, depthM: 0.5 });
	const plan = { widthM: 4, depthM: 3, parts: [shelf('Shelf 2', 0), shelf('Shelf 1', 2)] };
	const site = { place: 'Yard', contacts: '', bundL: null, sensitive: false };
	await api.store.saveSite({ key: 'a', version: 0, ...site, plan });
	expect(await walk()).toEqual([
		['Granule', 'Shelf 2'],
		['Suspension', 'Shelf 1'],
	]);
	expect((await api.store.saveSite({ key: 'b', version: 1, ...site, bundL: 500 })).plan).toEqual(plan);
	const outside = { ...plan, parts: [shelf('Shelf 3', 3.5)] };
	expect((await refusal(api.store.saveSite({ key: 'c', version: 2, ...site, plan: outside }))).code).toBe(
		'plan.outside',
	);
	const twice = { ...plan, parts: [shelf('Shelf 1', 0), shelf('shelf 1', 2)] };
	expect((await refusal(api.store.saveSite({ key: 'd', version: 2, ...site, plan: twice }))).code).toBe(
		'plan.labelTwice',
	);
	expect((await api.store.saveSite({ key: 'e', version: 2, ...site, plan: null })).plan).toBeNull();
	expect((await api.store.watch({})).stores[0]?.plan).toBeNull();
});
