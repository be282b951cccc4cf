import { expect, test } from 'vitest';
import { randomStore } from './random-store.ts';
import { testBooks } from './test-books.ts';

test.each([51, 52])(
	'every ledger line carries the balance after it, whatever part is asked for (season %i)',
	async (seed) => {
		const { api, book } = testBooks();
		const season = await randomStore(book, seed);
		for (let step = 0; step < 200; step++) await season.step();
		const whole = await api.store.movements({ limit: 100_000 });
		const plain = new Map<string, number>();
		for (const line of whole.toReversed()) {
			const after = (plain.get(line.productId) ?? 0) + Math.round(line.amount * 1e6);
			plain.set(line.productId, after);
			expect(Math.round(line.balance * 1e6)).toBe(after);
		}
		const [productId = ''] = plain.keys();
		const days = [...new Set(whole.map(({ occurredAt }) => occurredAt.slice(0, 10)))].sort();
		const [from = '', to = ''] = [days[Math.floor(days.length / 3)], days[Math.floor((2 * days.length) / 3)]];
		const within = whole.filter(({ occurredAt }) => occurredAt.slice(0, 10) >= from && occurredAt.slice(0, 10) <= to);
		expect(await api.store.movements({ from, to })).toEqual(within.slice(0, 500));
		expect(await api.store.movements({ productId, limit: 7 })).toEqual(
			whole.filter((line) => line.productId === productId).slice(0, 7),
		);
	},
);
