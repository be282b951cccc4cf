import { expect, test } from 'vitest';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

async function store(api: Api) {
	const farm = await smallFarm(api);
	const lookalike = await api.products.add({ name: 'Suspensor', formulation: 'SC', unit: 'L', packSizes: [5] });
	const dense = await api.products.add({
		name: 'Heavy',
		formulation: 'SL',
		unit: 'L',
		packSizes: [10],
		relativeDensity: 1.25,
	});
	await api.store.receive({ key: 'in-3', productId: lookalike.id, packSize: 5, packs: 4, date: '2026-03-01' });
	await api.store.receive({ key: 'in-4', productId: dense.id, packSize: 10, packs: 2, date: '2026-03-01' });
	return { ...farm, lookalikeId: lookalike.id, denseId: dense.id };
}

const five = (count: number) => [{ size: 5, count }];

test('a blind take hides the book until it is compared, and puts the furthest apart first', async () => {
	const { api } = testBooks();
	const { suspensionId, granuleId, lookalikeId } = await store(api);
	const { id: takeId } = await api.store.openStockTake({ key: 'open', by: 'J. Wren', freezeAt: '2026-04-01T17:00:00' });
	const count = (productId: string, full: { size: number; count: number }[], by = 'J. Wren') =>
		api.store.enterCount({ key: `c ${productId}`, takeId, productId, by, full });
	await count(suspensionId, five(11));
	await count(lookalikeId, five(5), 'A. Marsh');
	await count(granuleId, [{ size: 1, count: 30 }]);
	const blind = await api.store.stockTake({});
	const compared = await api.store.stockTake({ compare: true });
	expect(blind.lines.map(({ book, difference }) => [book, difference])).toEqual(Array(4).fill([null, null]));
	expect(compared.lines.map(({ name, counted, book, beyond }) => ({ name, counted, book, beyond }))).toEqual([
		{ name: 'Suspension', counted: 55, book: 60, beyond: true },
		{ name: 'Suspensor', counted: 25, book: 20, beyond: true },
		{ name: 'Granule', counted: 30, book: 30, beyond: false },
		{ name: 'Heavy', counted: null, book: null, beyond: false },
	]);
	const look = await api.store.lookInto({ takeId, productId: suspensionId });
	expect(look.mistakenFor).toEqual([
		{
			productId: lookalikeId,
			name: 'Suspensor',
			unit: 'L',
			difference: 5,
			reasons: ['is out by as much the other way', 'the names look alike', 'comes in the same container'],
		},
	]);
});

test('several counters add up by place, a recount at the same place replaces, parts by level and by scale', async () => {
	const { api } = testBooks();
	const { denseId, suspensionId } = await store(api);
	const { id: takeId } = await api.store.openStockTake({ key: 'open', by: 'J. Wren', blind: false });
	const enter = (key: string, entry: object) =>
		api.store.enterCount({ key, takeId, productId: suspensionId, by: 'J. Wren', ...entry });
	await enter('a', { place: 'Shelf 1', full: five(6) });
	await enter('b', {
		place: 'Shelf 2',
		by: 'A. Marsh',
		full: five(3),
		parts: [{ how: 'level', size: 5, amount: 2.5 }],
	});
	await enter('c', { place: 'shelf 1', full: five(7) });
	const weighed = await api.store.enterCount({
		key: 'd',
		takeId,
		productId: denseId,
		by: 'A. Marsh',
		full: [{ size: 10, count: 1 }],
		parts: [{ how: 'weighed', size: 10, grossKg: 9.4, tareKg: 0.4 }],
	});
	expect({ ...weighed, sigma: weighed.sigma.toFixed(4) }).toEqual({ counted: 17.2, sigma: '0.0327', unit: 'L' });
	const line = (await api.store.stockTake({ takeId })).lines.find(({ productId }) => productId === suspensionId);
	expect(line?.counted).toBe(52.5);
	expect(line?.entries.map(({ place, amount, stands }) => [place, amount, stands])).toEqual([
		['Shelf 1', 30, false],
		['Shelf 2', 17.5, true],
		['shelf 1', 35, true],
	]);
});

test('approval needs a word on every difference beyond measuring, posts the rest at once and signs it', async () => {
	const { api, book } = testBooks();
	const { suspensionId, granuleId, lookalikeId } = await store(api);
	const { id: takeId } = await api.store.openStockTake({ key: 'open', by: 'J. Wren' });
	const enter = (key: string, productId: string, entry: object) =>
		api.store.enterCount({ key, takeId, productId, by: 'J. Wren', ...entry });
	await enter('a', suspensionId, { full: five(10), parts: [{ how: 'level', size: 5, amount: 3 }] });
	await enter('b', granuleId, { full: [{ size: 1, count: 28 }] });
	await enter('c', lookalikeId, { full: five(4) });
	expect(await refusal(api.store.approveStockTake({ key: 'yes', takeId, by: 'J. Wren' }))).toEqual({
		code: 'stockTake.unsettled',
		details: { products: ['Granule', 'Suspension'] },
	});
	const settle = (key: string, productId: string, verdict: 'accepted' | 'open', why: string) =>
		api.store.settleDifference({ key, takeId, productId, verdict, why, by: 'A. Marsh' });
	await settle('s', suspensionId, 'accepted', 'a load of the neighbour');
	await settle('g', granuleId, 'open', 'ask about the two bags');
	expect(await api.store.approveStockTake({ key: 'yes', takeId, by: 'A. Marsh' })).toEqual({
		posted: [
			{ productId: suspensionId, difference: -7 },
			{ productId: lookalikeId, difference: 0 },
		],
		leftOpen: 1,
		notCounted: ['Heavy'],
	});
	const hand = (id: string) => api.store.onHand({}).then((lines) => lines.find(({ productId }) => productId === id));
	expect(await hand(suspensionId)).toMatchObject({
		amount: 53,
		packs: [{ size: 5, count: 10 }],
		opened: [{ size: 5, left: 3 }],
	});
	expect(await hand(granuleId)).toMatchObject({ amount: 30 });
	const counts = await api.store.counts({});
	expect(counts.map(({ product, why, by }) => [product, why, by]).sort()).toEqual([
		['Suspension', 'a load of the neighbour', 'J. Wren'],
		['Suspensor', 'agrees', 'J. Wren'],
	]);
	expect(await settle('g2', granuleId, 'accepted', 'given to a neighbour')).toEqual({ posted: true });
	expect(await hand(granuleId)).toMatchObject({ amount: 28 });
	expect((await refusal(settle('g3', granuleId, 'open', 'again'))).code).toBe('stockTake.ended');
	expect((await refusal(enter('d', granuleId, { full: [] }))).code).toBe('stockTake.ended');
	expect(() => book.writer.sqlite.exec("UPDATE stock_take_entry SET who = 'X'")).toThrow('stock takes only grow');
	expect(() => book.writer.sqlite.exec('DELETE FROM stock_take_end')).toThrow('stock takes only grow');
});

test('a load after the freeze time does not disturb the count', async () => {
	const { api } = testBooks();
	const { suspensionId, fieldId, sprayerId } = await store(api);
	const job = await api.jobs.add({
		key: 'job',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	});
	const { id: takeId } = await api.store.openStockTake({ key: 'open', by: 'J. Wren', freezeAt: '2026-04-01T08:00:00' });
	await api.jobs.logLoad({
		key: 'log',
		jobId: job.id,
		load: 1,
		operator: 'A. Marsh',
		startedAt: '2026-04-01T09:00:00',
		finishedAt: '2026-04-01T10:00:00',
	});
	await api.store.enterCount({ key: 'a', takeId, productId: suspensionId, by: 'J. Wren', full: five(12) });
	const [line] = (await api.store.stockTake({ compare: true })).lines.filter((each) => each.counted !== null);
	expect(line).toMatchObject({ counted: 60, book: 60, difference: 0, beyond: false });
	await api.store.approveStockTake({ key: 'yes', takeId, by: 'J. Wren' });
	const [hand] = (await api.store.onHand({})).filter(({ productId }) => productId === suspensionId);
	expect(hand?.amount).toBe(20);
});

test('what cannot be counted is refused by name', async () => {
	const { api } = testBooks();
	const { suspensionId, denseId } = await store(api);
	expect((await refusal(api.store.openStockTake({ key: 'x', by: 'J', freezeAt: '2199-01-01T00:00:00' }))).code).toBe(
		'stockTake.future',
	);
	const { id: takeId } = await api.store.openStockTake({ key: 'open', by: 'J. Wren' });
	const codes = [];
	const weigh = { how: 'weighed', size: 5, grossKg: 3, tareKg: 0.2 } as const;
	for (const [key, productId, entry] of [
		['1', suspensionId, { parts: [weigh] }],
		['2', denseId, { parts: [{ ...weigh, size: 10, tareKg: 4 }] }],
		['3', denseId, { parts: [{ how: 'level', size: 10, amount: 11 }] }],
		['4', denseId, { full: [{ size: 5, count: 1 }] }],
	] as const) {
		codes.push((await refusal(api.store.enterCount({ key, takeId, productId, by: 'J', ...(entry as object) }))).code);
	}
	codes.push((await refusal(api.store.openStockTake({ key: 'y', by: 'J' }))).code);
	codes.push((await refusal(api.store.approveStockTake({ key: 'z', takeId, by: 'J' }))).code);
	expect(codes).toEqual([
		'count.densityMissing',
		'count.tareAboveGross',
		'count.partAboveSize',
		'product.packUnknown',
		'stockTake.openAlready',
		'stockTake.nothingCounted',
	]);
	await api.store.dropStockTake({ key: 'no', takeId, why: 'wrong day', by: 'J' });
	expect((await api.store.stockTakes({})).map(({ outcome }) => outcome)).toEqual(['dropped']);
});
