import { expect, test } from 'vitest';
import type { Book } from '../../../../db/open-book.ts';
import { randomStore } from './random-store.ts';
import { type Api, smallFarm, testBooks } from './test-books.ts';

/** Twelve cans of 5 L, and a job of two loads that take 42 L and 3 L of them. */
async function farmWithJob() {
	const { api, book } = testBooks();
	const farm = await smallFarm(api);
	const { suspensionId: productId } = farm;
	const { id: jobId } = await api.jobs.add({
		...{ key: 'job', sprayerId: farm.sprayerId, sprayVolumeLPerHa: 150, strategy: 'full' },
		...{ fields: [{ fieldId: farm.fieldId }], products: [{ productId, dosePerHa: 1 }] },
	});
	const log = (load: number, amount: number, day: string) =>
		api.jobs.logLoad({
			...{ key: `${load} on ${day}`, jobId, load, operator: 'A. Marsh', actual: { products: [{ productId, amount }] } },
			...{ startedAt: `${day}T09:00:00`, finishedAt: `${day}T10:00:00` },
		});
	const takeBack = (load: number, key = `back ${load}`) =>
		api.jobs.reverseLoad({ key, jobId, load, why: 'wrong job', by: 'J. Wren' });
	return { api, book, productId, log, takeBack };
}

async function shelf(api: Api, productId: string) {
	const line = (await api.store.onHand({})).find((each) => each.productId === productId);
	return { packs: line?.packs, opened: line?.opened, amount: line?.amount };
}

async function cans(api: Api) {
	const { sizes } = await api.waste.empties({});
	const line = sizes.find(({ size, unit }) => size === 5 && unit === 'L');
	if (!line) throw new Error('there are no cans of 5 L');
	const { full, opened, emptied, found, passedOn, missing } = line;
	return { full, opened, emptied, found, passedOn, missing };
}

const none = { found: 0, passedOn: 0, missing: 0 };
const lines = (book: Book) => Number(book.reader.prepare('SELECT count(*) FROM movement').pluck().get());

test('a pack that a load opened is full again everywhere when the load is taken back', async () => {
	const { api, book, productId, log, takeBack } = await farmWithJob();
	const before = await shelf(api, productId);
	await log(1, 42, '2026-04-01');
	expect(await shelf(api, productId)).toEqual({
		...{ packs: [{ size: 5, count: 3 }], opened: [{ size: 5, left: 3 }] },
		amount: 18,
	});
	await takeBack(1);
	expect(await shelf(api, productId)).toEqual(before);
	expect(await cans(api)).toEqual({ full: 12, opened: 0, emptied: 0, ...none });
	const table = await api.season.read({ report: 'container statement', from: '2026-01-01', to: '2026-12-31' });
	expect(table.rows.find(({ product }) => product === 'Suspension')).toMatchObject({
		...{ received: 12, pouredWhole: 0, opened: 0, atEnd: 12, stillOpen: 0, emptied: 0, waiting: 0 },
	});
	const [closed] = await api.store.movements({ productId });
	expect(closed).toMatchObject({ kind: 'opening', amount: 5, balance: 60, who: 'J. Wren', why: 'wrong job', load: 1 });
	expect((await api.records.verify({})).ok).toBe(true);
	// The same call again is one effect.
	const posted = lines(book);
	await takeBack(1);
	expect(lines(book)).toBe(posted);
	// Twelve full cans counted are what the book says, can by can.
	const counting = { by: 'J. Wren', productId };
	const { id: takeId } = await api.store.openStockTake({ key: 'take', by: 'J. Wren' });
	await api.store.enterCount({ key: 'c', takeId, ...counting, full: [{ size: 5, count: 12 }] });
	await api.store.settleDifference({ key: 's', takeId, ...counting, verdict: 'accepted', why: 'as the book' });
	const beforeCount = lines(book);
	await api.store.approveStockTake({ key: 'y', takeId, by: 'J. Wren' });
	expect(lines(book)).toBe(beforeCount);
});

test('logged once more, a load that was taken back opens a can of its own', async () => {
	const { api, productId, log, takeBack } = await farmWithJob();
	await log(1, 42, '2026-04-01');
	await takeBack(1);
	await log(1, 42, '2026-04-02');
	expect((await shelf(api, productId)).opened).toEqual([{ size: 5, left: 3 }]);
	expect(await cans(api)).toEqual({ full: 3, opened: 1, emptied: 8, ...none });
});

test('a can that was open before the load stays open', async () => {
	const { api, productId, log, takeBack } = await farmWithJob();
	await log(1, 2, '2026-04-01');
	await log(2, 1, '2026-04-02');
	await takeBack(2);
	expect(await shelf(api, productId)).toMatchObject({ packs: [{ count: 11 }], opened: [{ left: 3 }] });
	expect(await cans(api)).toEqual({ full: 11, opened: 1, emptied: 0, ...none });
});

test('a can from which a later load has drawn too stays open until that one is taken back as well', async () => {
	const { api, productId, log, takeBack } = await farmWithJob();
	await log(1, 2, '2026-04-01');
	await log(2, 1, '2026-04-02');
	await takeBack(1);
	expect(await shelf(api, productId)).toMatchObject({ packs: [{ count: 11 }], opened: [{ left: 4 }] });
	await takeBack(2);
	expect(await shelf(api, productId)).toEqual({ packs: [{ size: 5, count: 12 }], opened: [], amount: 60 });
	expect(await cans(api)).toEqual({ full: 12, opened: 0, emptied: 0, ...none });
});

test('what a stock take has counted since stands, open as it was seen', async () => {
	const { api, productId, log, takeBack } = await farmWithJob();
	await log(1, 2, '2026-04-01');
	await api.store.count({ key: 'c', productId, counted: 58, why: 'as the book', by: 'J. Wren', date: '2026-04-03' });
	await takeBack(1);
	expect(await shelf(api, productId)).toEqual({
		...{ packs: [{ size: 5, count: 11 }], opened: [{ size: 5, left: 3 }] },
		amount: 58,
	});
	expect(await cans(api)).toEqual({ full: 11, opened: 1, emptied: 0, ...none });
});

test('a spill that never was opened nothing either, taken back in the store or with its incident', async () => {
	const { api, productId } = await farmWithJob();
	const said = { productId, amount: 1.5, by: 'J. Wren' };
	const { movementIds } = await api.store.post({ key: 'spill', kind: 'spill', why: 'knocked over', ...said });
	expect((await shelf(api, productId)).opened).toEqual([{ size: 5, left: 3.5 }]);
	const spilled = (await api.store.movements({ productId })).find(({ kind }) => kind === 'spill');
	expect(movementIds).toContain(spilled?.id);
	await api.store.reverse({ key: 'r', movementId: spilled?.id ?? '', why: 'wrong product', by: 'J. Wren' });
	expect(await shelf(api, productId)).toEqual({ packs: [{ size: 5, count: 12 }], opened: [], amount: 60 });
	const { id } = await api.fills.incident({ key: 'i', kind: 'spill', ...said });
	await api.fills.withdrawIncident({ key: 'w', id, why: 'another farm', by: 'J. Wren' });
	expect(await shelf(api, productId)).toEqual({ packs: [{ size: 5, count: 12 }], opened: [], amount: 60 });
	expect(await cans(api)).toEqual({ full: 12, opened: 0, emptied: 0, ...none });
});

test.each([61, 62, 63])(
	'whatever happens to a store, an open can was opened by something that stands (season %i)',
	async (seed) => {
		const { book } = testBooks();
		const season = await randomStore(book, seed);
		// Left over: openings that stand, of cans no other standing line is of and no stock take has come upon since.
		const openedForNothing = book.reader
			.prepare(`WITH standing AS (SELECT * FROM movement m WHERE reverses IS NULL
				AND NOT EXISTS (SELECT 1 FROM movement back WHERE back.reverses = m.id))
			SELECT count(*) FROM standing o WHERE kind = 'opening' AND container_id IS NOT NULL
				AND NOT EXISTS (SELECT 1 FROM standing x WHERE x.container_id = o.container_id AND x.id <> o.id)
				AND NOT EXISTS (SELECT 1 FROM stock_count c WHERE c.product_id = o.product_id
					AND c.store_id IS o.store_id AND c.freeze_at >= o.occurred_at)`)
			.pluck();
		const closed = book.reader
			.prepare(`SELECT count(*) FROM movement WHERE kind = 'opening' AND reverses IS NOT NULL`)
			.pluck();
		for (let step = 0; step < 200; step++) {
			await season.step();
			expect(openedForNothing.get()).toBe(0);
		}
		expect(closed.get()).toBeGreaterThan(0);
	},
);
