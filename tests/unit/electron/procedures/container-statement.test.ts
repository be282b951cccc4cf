import { expect, test } from 'vitest';
import { DATE, sprayed } from './sprayed-job.ts';
import { testBooks } from './test-books.ts';

type Row = Record<string, number | null>;

test('an opened container that a stock take misses ran empty into no load: each row adds up, opened ones by themselves', async () => {
	const { api } = testBooks();
	// 15.1 L of 8 containers of 5 L: three poured whole, the fourth opened.
	const { productId } = await sprayed(api);
	const read = async (from: string, to: string) => {
		const { rows } = await api.season.read({ report: 'container statement', from, to });
		const [row] = rows as Row[];
		const of = (name: string) => row?.[name] ?? 0;
		const opened = of('openAtStart') + of('opened') + of('otherOpened') - (of('emptied') - of('pouredWhole'));
		expect(opened).toBe(of('stillOpen'));
		return row;
	};
	expect(await read(DATE, DATE)).toMatchObject({
		pouredWhole: 3,
		opened: 1,
		otherOpened: null,
		stillOpen: 1,
		emptied: 3,
	});
	await api.store.count({ key: 'c', productId, counted: 20, why: 'end of season', by: 'J. Wren', date: '2026-05-01' });
	const all = { pouredWhole: 3, opened: 1, otherOpened: -1, stillOpen: 0, atEnd: 4, emptied: 3, waiting: 3 };
	expect(await read('2026-01-01', '2026-12-31')).toMatchObject({ ...all, openAtStart: null });
	expect(await read('2026-05-01', '2026-12-31')).toMatchObject({
		openAtStart: 1,
		otherOpened: -1,
		emptied: 0,
		waiting: 3,
	});
});
