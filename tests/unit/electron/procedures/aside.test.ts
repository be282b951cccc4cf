import { rmSync } from 'node:fs';
import { createRouterClient } from '@orpc/server';
import { expect, onTestFinished, test } from 'vitest';
import { openBook } from '../../../../db/open-book.ts';
import { createRouter } from '../../../../electron/procedures/router.ts';
import { type Api, newFolder, smallFarm } from './test-books.ts';

function booksWithThread(): { api: Api; inline: Api } {
	const folder = newFolder();
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(opened.problem.code);
	const book = opened.value;
	onTestFinished(() => {
		book.close();
		rmSync(folder, { recursive: true, force: true });
	});
	const router = createRouter();
	return {
		api: createRouterClient(router, { context: { book, aside: true } }) as Api,
		inline: createRouterClient(router, { context: { book } }) as Api,
	};
}

const SEASON = { from: '2025-10-01', to: '2026-09-30' };

test('a long question answered in its own thread says the same as one answered here', async () => {
	const { api, inline } = booksWithThread();
	await smallFarm(api);
	expect(await api.season.statement(SEASON)).toEqual(await inline.season.statement(SEASON));
	expect(await api.records.verify({})).toEqual(await inline.records.verify({}));
	await expect(api.season.statement({ from: '2026-09-30', to: '2025-10-01' })).rejects.toMatchObject({
		code: 'period.reversed',
	});
});

test('a question that is called off ends, and the next one is answered', async () => {
	const { api } = booksWithThread();
	await smallFarm(api);
	const call = new AbortController();
	const asked = api.season.statement(SEASON, { signal: call.signal });
	call.abort();
	await expect(asked).rejects.toThrow();
	expect((await api.season.statement(SEASON)).products.length).toBe(2);
});

test('books are restored while a thread had them open', async () => {
	const { api } = booksWithThread();
	await smallFarm(api);
	await api.season.statement(SEASON);
	const path = `${(await api.upkeep.about({})).folder}/copy.sqlite`;
	expect((await api.upkeep.backup({ path })).ok).toBe(true);
	await api.fields.add({ name: 'Added later', measuredHa: 3 });
	expect((await api.upkeep.restore({ path })).ok).toBe(true);
	expect((await api.fields.list({})).map(({ name }) => name)).toEqual(['Long Piece']);
	expect((await api.season.statement(SEASON)).fields.length).toBe(1);
});
