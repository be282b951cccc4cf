import { expect, test } from 'vitest';
import type { Sqlite } from '../../../../db/connection.ts';
import { insertRow, sampleRow } from '../../db/sample-rows.ts';
import { type RandomStore, randomStore } from './random-store.ts';
import { bookOf } from './store-model.ts';
import { refusal, smallFarm, testBooks } from './test-books.ts';

const SEASONS = 14;
const STEPS = 260;
const DAY_MS = 86_400_000;

type Place = {
	readonly product: string;
	readonly lot: string | null;
	readonly container: string | null;
	readonly amount: number;
	readonly size: number | null;
};

/** What every place in the store holds, summed by SQL from the ledger alone. */
function places(sqlite: Sqlite): Place[] {
	return sqlite
		.prepare(
			`SELECT movement.product_id AS product, lot_id AS lot, container_id AS container, sum(amount) AS amount,
			 pack_size AS size, store_id AS store FROM movement LEFT JOIN lot ON lot.id = lot_id GROUP BY 1, 2, 3, store_id`,
		)
		.all() as Place[];
}

/** What must never stand in the ledger, in words. */
function faults(sqlite: Sqlite): string[] {
	return places(sqlite).flatMap(({ lot, container, amount, size }) => {
		if (lot === null) return amount > 0 ? [`${amount} beyond the book, the wrong way`] : [];
		if (amount < 0) return [`${amount} in ${container ? 'an opened container' : 'sealed packs'}`];
		if (container) return amount > Number(size) ? [`${amount} in an opened container of ${size}`] : [];
		return amount % Number(size) === 0 ? [] : [`${amount} in sealed packs of ${size}`];
	});
}

function bookIn(sqlite: Sqlite, productId: string, until: number, store?: string): number {
	const sum = `SELECT coalesce(sum(amount), 0) FROM movement WHERE product_id = @productId AND occurred_at <= @until
		AND (@store IS NULL OR coalesce(store_id, farm_id) = @store)`;
	return Number(
		sqlite
			.prepare(sum)
			.pluck()
			.get({ productId, until, store: store ?? null }),
	);
}

function compare(sqlite: Sqlite, { model, clock, products, stores }: RandomStore): string[] {
	const times = [clock.now, clock.now - 7 * DAY_MS, clock.now - 30 * DAY_MS, Number.MAX_SAFE_INTEGER];
	return products.flatMap(({ id, name }) =>
		times
			.flatMap((until) => [undefined, ...stores].map((store) => ({ until, store })))
			.map(({ until, store }) => ({
				...{ stored: bookIn(sqlite, id, until, store), expected: bookOf(model, id, until, store), until },
			}))
			.filter(({ stored, expected }) => stored !== expected)
			.map(({ stored, expected, until }) => `${name} until ${until}: ${stored}, not ${expected}`),
	);
}

test.each(Array.from({ length: SEASONS }, (_, index) => index + 1))(
	'whatever happens to a store, its book is plain arithmetic and no place holds less than nothing (season %i)',
	async (seed) => {
		const { api, book } = testBooks();
		const store = await randomStore(book, seed);
		for (let step = 0; step < STEPS; step++) {
			await store.step();
			const wrong = [...faults(book.reader), ...compare(book.reader, store)];
			expect(wrong, `step ${step}\n${store.story.slice(-8).join('\n')}`).toEqual([]);
		}
		// What the store page shows is the same ledger, added up in JavaScript.
		const lines = await api.store.movements({ limit: 100_000 });
		expect(lines.length).toBeGreaterThan(STEPS);
		const hands = await api.store.onHand({});
		for (const { productId, amount, packs, opened, openDiscrepancy } of hands) {
			const own = lines.filter((line) => line.productId === productId).reverse();
			const summed = own.reduce((sum, line) => sum + micro(line.amount), 0);
			const onShelf =
				packs.reduce((sum, { size, count }) => sum + micro(size) * count, 0) +
				opened.reduce((sum, { left }) => sum + micro(left), 0);
			expect([micro(amount), summed, onShelf + micro(openDiscrepancy)]).toEqual(Array(3).fill(summed));
			expect(micro(own.at(-1)?.balance ?? 0)).toBe(summed);
		}
		const taken = lines.filter(({ reverses }) => reverses !== null);
		expect(new Set(taken.map(({ reverses }) => reverses)).size).toBe(taken.length);
		const byId = new Map(lines.map((line) => [line.id, line.amount]));
		expect(taken.filter(({ reverses, amount }) => byId.get(reverses ?? '') !== -amount)).toEqual([]);
		expect((await api.records.verify({})).ok).toBe(true);
	},
	120_000,
);

test('the checks of the ledger find each fault', async () => {
	const { api, book } = testBooks();
	const { suspensionId } = await smallFarm(api);
	const { sqlite } = book.writer;
	sqlite.pragma('foreign_keys = OFF');
	const [lot] = sqlite.prepare('SELECT id FROM lot WHERE product_id = ?').pluck().all(suspensionId);
	let seq = 1_000;
	const after = (amount: number, lotId: unknown, containerId: string | null) => {
		sqlite.exec('SAVEPOINT fault');
		seq += 1;
		const where = {
			product_id: suspensionId,
			lot_id: lotId as string | null,
			container_id: containerId,
			store_id: null,
		};
		insertRow(sqlite, 'movement', { ...sampleRow(sqlite, 'movement'), id: `${seq}`, seq, amount, ...where });
		const found = faults(sqlite);
		sqlite.exec('ROLLBACK TO fault; RELEASE fault');
		return found;
	};
	expect(after(5_000_000, lot, null)).toEqual([]);
	expect([
		...after(-65_000_000, lot, null),
		...after(1, lot, null),
		...after(-1, lot, 'can'),
		...after(5_000_001, lot, 'can'),
		...after(1, null, null),
	]).toEqual([
		'-5000000 in sealed packs',
		'60000001 in sealed packs of 5000000',
		'-1 in an opened container',
		'5000001 in an opened container of 5000000',
		'1 beyond the book, the wrong way',
	]);
});

test('a delivery that was used since is not reversed: its packs are not there', async () => {
	const { api } = testBooks();
	const { suspensionId } = await smallFarm(api);
	const [delivery] = await api.store.movements({ productId: suspensionId });
	const post = { productId: suspensionId, kind: 'transfer', why: 'to the other yard', by: 'J. Wren' } as const;
	await api.store.post({ key: 'away', amount: 50, ...post });
	const reverse = { movementId: delivery?.id ?? '', why: 'typed twice', by: 'J. Wren' };
	expect(await refusal(api.store.reverse({ key: 'back', ...reverse }))).toEqual({
		code: 'movement.usedSince',
		details: { product: 'Suspension', unit: 'L', have: 10, need: 60 },
	});
	await api.store.post({ key: 'came back', amount: -50, ...post });
	const [hand] = (await api.store.onHand({})).filter(({ productId }) => productId === suspensionId);
	expect(hand?.amount).toBe(60);
});

test('a stock take entered later for an earlier day leaves the later one standing', async () => {
	const { api } = testBooks();
	const { suspensionId: productId } = await smallFarm(api);
	const count = (key: string, counted: number, at: string) =>
		api.store.count({ key, productId, counted, why: 'stock take', by: 'J. Wren', at });
	expect((await count('april', 57, '2026-04-20T12:00:00Z')).difference).toBe(-3);
	expect((await count('march', 52, '2026-03-20T12:00:00Z')).difference).toBe(-8);
	const [hand] = (await api.store.onHand({})).filter((line) => line.productId === productId);
	expect(hand?.amount).toBe(57);
	expect((await count('again', 57, '2026-04-20T12:00:00Z')).bookAmount).toBe(57);
});

test('a load beyond the book that a stock take covered comes back into a container', async () => {
	const { api } = testBooks();
	const { suspensionId: productId, fieldId, sprayerId } = await smallFarm(api);
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [{ productId, dosePerHa: 1 }],
		date: '2026-04-15',
	});
	const at = { startedAt: '2026-04-15T07:00:00Z', finishedAt: '2026-04-15T08:00:00Z', operator: 'A. Marsh' };
	const actual = { products: [{ productId, amount: 62 }] };
	await api.jobs.logLoad({ key: 'log', jobId, load: 1, ...at, actual, allowShort: true });
	// Counted for the week before: 63 L stood there, so the load took 62 of them.
	const march = { counted: 63, why: 'stock take', by: 'J. Wren', at: '2026-04-08T12:00:00Z' };
	await api.store.count({ key: 'count', productId, ...march });
	const hand = async () => (await api.store.onHand({})).find((line) => line.productId === productId);
	expect(await hand()).toMatchObject({ amount: 1, openDiscrepancy: 0, opened: [{ size: 5, left: 1 }] });
	await api.jobs.reverseLoad({ key: 'back', jobId, load: 1, why: 'wrong job', by: 'J. Wren' });
	expect(await hand()).toMatchObject({
		amount: 63,
		openDiscrepancy: 0,
		packs: [{ size: 5, count: 12 }],
		opened: [
			{ size: 5, left: 1 },
			{ size: 5, left: 2 },
		],
	});
});

function micro(amount: number): number {
	return Math.round(amount * 1_000_000);
}

test('what is lent, moved to another store or sent back goes in whole containers, and the book says what is still out', async () => {
	const { api } = testBooks();
	const { suspensionId: productId } = await smallFarm(api);
	const line = async () => (await api.store.onHand({})).find((each) => each.productId === productId);
	const post = (key: string, kind: 'loan' | 'transfer' | 'return' | 'spill', amount: number) =>
		api.store.post({ key, productId, kind, amount, why: 'w', by: 'J. Wren' });
	await post('s', 'spill', 1.5);
	expect(await line()).toMatchObject({ packs: [{ size: 5, count: 11 }], opened: [{ size: 5, left: 3.5 }] });
	await post('l', 'loan', 10);
	await post('t', 'transfer', 5);
	await post('r', 'return', 15);
	expect(await line()).toMatchObject({
		...{ packs: [{ size: 5, count: 5 }], opened: [{ size: 5, left: 3.5 }] },
		...{ amount: 28.5, onLoan: 10, elsewhere: 5 },
	});
	await post('b', 'loan', -5);
	const { movementIds } = await post('u', 'transfer', 5);
	await api.store.reverse({ key: 'x', movementId: movementIds[0] ?? '', why: 'typed twice', by: 'J. Wren' });
	expect(await line()).toMatchObject({ packs: [{ size: 5, count: 6 }], amount: 33.5, onLoan: 5, elsewhere: 5 });
	await post('c', 'loan', -7.5);
	expect(await line()).toMatchObject({ onLoan: -2.5 });
	const tooMuch = await refusal(post('m', 'return', 500));
	expect(tooMuch).toMatchObject({ code: 'store.short', details: { have: 41, need: 500 } });
});
