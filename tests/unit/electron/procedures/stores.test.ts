import { expect, test } from 'vitest';
import { reads } from '../../../../electron/procedures/handler.ts';
import { perform } from '../../../../electron/procedures/perform.ts';
import { emergencyList } from '../../../../electron/procedures/store-papers.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const by = 'J. Wren';

/** The small farm with a second store that holds six packs of the suspension. */
async function twoStores() {
	const books = testBooks();
	const farm = await smallFarm(books.api);
	const barn = await books.api.store.addStore({ key: 'barn', name: 'North barn', bundL: 20 });
	const [first] = await books.api.store.stores({});
	const { suspensionId: productId } = farm;
	await books.api.store.receive({
		...{ key: 'into the barn', storeId: barn.storeId, productId, packSize: 5, packs: 6, batch: 'N1' },
		...{ date: '2026-03-01', expires: '2026-04-30' },
	});
	return { ...books, ...farm, first: first?.storeId ?? '', barn: barn.storeId };
}

async function line(api: Api, productId: string, storeId?: string) {
	return (await api.store.onHand(storeId ? { storeId } : {})).find((each) => each.productId === productId);
}

test('a farm has one store from the start, and everything without a store is in it', async () => {
	const { api } = testBooks();
	const { suspensionId } = await smallFarm(api);
	const [only, ...others] = await api.store.stores({});
	expect([only?.name, only?.first, others.length]).toEqual(['Main store', true, 0]);
	expect((await line(api, suspensionId))?.stores).toEqual([
		{ storeId: only?.storeId, store: 'Main store', amount: 60 },
	]);
	expect((await line(api, suspensionId, only?.storeId))?.amount).toBe(60);
});

test('stores are told apart by name; one is closed when nothing stands in it', async () => {
	const { api, barn, first, suspensionId } = await twoStores();
	expect((await refusal(api.store.addStore({ key: 'twice', name: 'north BARN' }))).code).toBe('store.nameTwice');
	const site = { place: '', contacts: '', bundL: 20, sensitive: false };
	const close = { storeId: barn, version: 1, ...site, closed: true };
	expect(await refusal(api.store.saveSite({ key: 'close', ...close }))).toEqual({
		code: 'store.notEmpty',
		details: { store: 'North barn', products: 1 },
	});
	const keep = { storeId: first, version: 0, ...site, closed: true };
	expect((await refusal(api.store.saveSite({ key: 'first', ...keep }))).code).toBe('input.invalid');
	const lotId = (await line(api, suspensionId, barn))?.lots[0]?.lotId ?? '';
	const packs = [{ lotId, count: 6 }];
	await api.store.move({ key: 'empty it', fromStoreId: barn, toStoreId: first, packs, by });
	expect((await api.store.saveSite({ key: 'closed', ...close })).closed).toBe(true);
	const late = { key: 'late', storeId: barn, productId: suspensionId, packSize: 5, packs: 1 };
	expect((await refusal(api.store.receive(late))).code).toBe('store.closed');
	expect((await api.store.watch({})).stores.map(({ name }) => name)).toEqual(['Main store']);
	expect((await refusal(api.store.receive({ ...late, storeId: 'nowhere' }))).code).toBe('not.found');
});

test('a move takes whole containers and opened ones, both sides at once, and is taken back as one', async () => {
	const { api, barn, first, suspensionId } = await twoStores();
	await api.store.post({ key: 'pour', productId: suspensionId, kind: 'spill', amount: 2, why: 'w', by });
	const before = await line(api, suspensionId, first);
	const [can] = before?.containers ?? [];
	const lotId = before?.lots[0]?.lotId ?? '';
	const { movementIds } = await api.store.move({
		...{ key: 'move', fromStoreId: first, toStoreId: barn, by },
		...{ packs: [{ lotId, count: 4 }], opened: [can?.containerId ?? ''] },
	});
	expect(movementIds.length).toBe(4);
	const [there, here] = [await line(api, suspensionId, barn), await line(api, suspensionId, first)];
	expect([there?.amount, there?.containers, here?.amount, here?.containers]).toEqual([53, [can], 35, []]);
	const whole = await line(api, suspensionId);
	expect([whole?.amount, whole?.elsewhere]).toEqual([88, 0]);
	const more = { key: 'more', fromStoreId: first, toStoreId: barn, packs: [{ lotId, count: 8 }], by };
	expect(await refusal(api.store.move(more))).toEqual({
		code: 'store.packsShort',
		details: { product: 'Suspension', have: 7, need: 8 },
	});
	const same = { ...more, key: 'same', toStoreId: first };
	expect((await refusal(api.store.move(same))).code).toBe('input.invalid');
	const nothing = { key: 'nothing', fromStoreId: first, toStoreId: barn, by };
	expect((await refusal(api.store.move(nothing))).code).toBe('input.invalid');
	await api.store.reverse({ key: 'back', movementId: movementIds[1] ?? '', why: 'typed wrongly', by });
	expect([(await line(api, suspensionId, barn))?.amount, (await line(api, suspensionId, first))?.amount]).toEqual([
		33, 55,
	]);
	expect((await api.waste.empties({})).sizes.map(({ size, missing }) => [size, missing])).toEqual([
		[1, 0],
		[5, 0],
	]);
	expect((await api.records.verify({})).ok).toBe(true);
});

test('a move from before a stock take would put a container into two stores, and is refused', async () => {
	const { api, barn, first, suspensionId } = await twoStores();
	await api.store.count({ key: 'count', storeId: barn, productId: suspensionId, counted: 30, why: 'w', by });
	const lotId = (await line(api, suspensionId, first))?.lots[0]?.lotId ?? '';
	const move = { fromStoreId: first, toStoreId: barn, packs: [{ lotId, count: 1 }], by };
	expect((await refusal(api.store.move({ key: 'm', date: '2026-03-05', ...move }))).code).toBe('store.countedSince');
	expect((await line(api, suspensionId, barn))?.amount).toBe(30);
});

test('a job draws from its store; what is short there is said with who holds some', async () => {
	const { api, barn, fieldId, sprayerId, suspensionId } = await twoStores();
	const plan = {
		...{ sprayerId, sprayVolumeLPerHa: 100, fields: [{ fieldId }], date: '2026-05-04', storeId: barn },
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	};
	const preview = await api.jobs.preview(plan);
	expect(preview.totals.products.map(({ inStore, short, elsewhere }) => [inStore, short, elsewhere])).toEqual([
		[30, 10, [{ storeId: expect.any(String), store: 'Main store', amount: 60 }]],
	]);
	const { id: jobId } = await api.jobs.add({ key: 'job', ...plan });
	expect((await api.jobs.get({ id: jobId })).storeId).toBe(barn);
	const [short] = (await api.store.watch({})).short;
	expect([short?.store, short?.inStore, short?.short, short?.elsewhere.map(({ store }) => store)]).toEqual([
		...['North barn', 30, 10],
		['Main store'],
	]);
	const log = { jobId, load: 1, startedAt: '2026-05-04T08:00', finishedAt: '2026-05-04T10:00', operator: by };
	const actual = (amount: number) => ({ actual: { products: [{ productId: suspensionId, amount }] } });
	expect(await refusal(api.jobs.logLoad({ key: 'too much', ...log, ...actual(36) }))).toEqual({
		code: 'store.shortHere',
		details: {
			...{ product: 'Suspension', productId: suspensionId, unit: 'L', have: 30, need: 36 },
			...{ store: 'North barn', elsewhere: 'Main store 60 L' },
		},
	});
	await api.jobs.logLoad({ key: 'log', ...log, ...actual(12) });
	const amounts = async () => (await line(api, suspensionId))?.stores.map(({ store, amount }) => [store, amount]);
	expect(await amounts()).toEqual([
		['Main store', 60],
		['North barn', 18],
	]);
	await api.jobs.reverseLoad({ key: 'back', jobId, load: 1, why: 'w', by });
	expect(await amounts()).toEqual([
		['Main store', 60],
		['North barn', 30],
	]);
});

test('each store is counted by itself, with its own freeze time, book and places', async () => {
	const { api, barn, first, suspensionId, granuleId } = await twoStores();
	const early = '2026-03-10T08:00';
	const { id: barnTake } = await api.store.openStockTake({ key: 'barn take', storeId: barn, freezeAt: early, by });
	expect((await refusal(api.store.openStockTake({ key: 'again', storeId: barn, by }))).code).toBe(
		'stockTake.openAlready',
	);
	const { id: firstTake } = await api.store.openStockTake({ key: 'the rest', everyStore: true, by });
	const inBarn = await api.store.stockTake({ storeId: barn });
	expect([inBarn.take?.id, inBarn.take?.store, inBarn.lines.map(({ name }) => name)]).toEqual([
		...[barnTake, 'North barn'],
		['Suspension'],
	]);
	expect((await api.store.stockTake({ storeId: first })).take?.id).toBe(firstTake);
	const found = { full: [{ size: 5, count: 5 }], place: 'Rack A', productId: suspensionId, by };
	await api.store.enterCount({ key: 'found', takeId: barnTake, ...found });
	const verdict = { takeId: barnTake, productId: suspensionId, verdict: 'accepted' as const, why: 'one gone', by };
	await api.store.settleDifference({ key: 'accept', ...verdict });
	await api.store.approveStockTake({ key: 'approve', takeId: barnTake, by });
	expect([(await line(api, suspensionId, barn))?.amount, (await line(api, suspensionId, first))?.amount]).toEqual([
		25, 60,
	]);
	const places = (await api.store.stockTake({ storeId: first })).lines.map(({ name, place }) => [name, place]);
	expect(places.sort()).toEqual([
		['Granule', ''],
		['Suspension', ''],
	]);
	const counts = await api.store.counts({});
	expect(counts.map(({ storeId, difference }) => [storeId, difference])).toEqual([[barn, -5]]);
	// A delivery into the other store that is posted late for before the count leaves it alone.
	await api.store.receive({ key: 'late', productId: suspensionId, packSize: 5, packs: 1, date: '2026-03-05' });
	expect((await line(api, suspensionId))?.amount).toBe(90);
	await api.store.receive({
		key: 'l2',
		storeId: barn,
		productId: suspensionId,
		packSize: 5,
		packs: 1,
		date: '2026-03-05',
	});
	expect((await line(api, suspensionId, barn))?.amount).toBe(25);
	expect((await line(api, granuleId, barn))?.amount).toBe(0);
});

test('bund, ends and the list for emergencies are said store by store', async () => {
	const { api, book, barn } = await twoStores();
	const { stores, batches } = await api.store.watch({});
	expect(stores.map(({ name, bund }) => [name, bund.storedL, bund.holds])).toEqual([
		['Main store', 90, null],
		['North barn', 30, false],
	]);
	expect(batches.map((each) => each.stores.map(({ store }) => store))).toEqual([['North barn']]);
	const asked = (storeId?: string) =>
		perform(reads(emergencyList), { name: 'list', input: { storeId }, door: { book }, now: Date.now() });
	const [all, one] = [await asked(), await asked(barn)];
	if (!all.ok || !one.ok) throw new Error('the list was refused');
	expect(all.value.stores.map(({ store, storedL, lines }) => [store, storedL, lines.length])).toEqual([
		['Main store', 90, 2],
		['North barn', 30, 1],
	]);
	expect(one.value.stores.map(({ store }) => store)).toEqual(['North barn']);
});

test('what was lost without a job comes out of the store that is named, and goes back there', async () => {
	const { api, barn, first, suspensionId: productId } = await twoStores();
	const amounts = async () => [(await line(api, productId, first))?.amount, (await line(api, productId, barn))?.amount];
	const lost = { kind: 'spill' as const, by, productId };
	await api.fills.incident({ key: 'a', ...lost, amount: 2 });
	const { id } = await api.fills.incident({ key: 'b', ...lost, amount: 3, storeId: barn });
	expect(await amounts()).toEqual([58, 27]);
	const { id: bare } = await api.fills.incident({ key: 'c', kind: 'leak', by });
	await api.fills.completeIncident({ key: 'd', id: bare, by, productId, amount: 1, storeId: barn });
	expect(await amounts()).toEqual([58, 26]);
	await api.fills.withdrawIncident({ key: 'e', id, why: 'w', by });
	expect(await amounts()).toEqual([58, 29]);
	const nowhere = api.fills.incident({ key: 'f', ...lost, amount: 1, storeId: 'nowhere' });
	expect((await refusal(nowhere)).code).toBe('not.found');
});
