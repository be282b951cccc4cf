import { createHash } from 'node:crypto';
import { closeSync, copyFileSync, existsSync, openSync, readFileSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { createRouterClient } from '@orpc/server';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { type Book, DATABASE_NAME, openBook } from '../../../db/open-book.ts';
import { createRouter } from '../../../electron/procedures/router.ts';
import { type Api, refusal, smallFarm, testBooks } from '../electron/procedures/test-books.ts';
import { scratchFolder } from '../electron/scratch.ts';

type Laid = { readonly file: string; readonly backup: string };

/** Closed books with a farm in them, and a backup of them. */
async function laid(): Promise<Laid> {
	const { api, book } = testBooks();
	await smallFarm(api);
	const backup = join(scratchFolder(), 'farm.backup');
	await api.upkeep.backup({ path: backup });
	book.close();
	const file = join(scratchFolder(), DATABASE_NAME);
	copyFileSync(book.file, file);
	return { file, backup };
}

/** Opened as large books are: read at once, looked through beside it. */
function openedAside(file: string): { book: Book; api: Api } {
	const opened = openBook({ folder: join(file, '..'), checkAsideAbove: 0 });
	if (!opened.ok) throw new Error(opened.problem.code);
	const book = opened.value;
	onTestFinished(() => book.close());
	return { book, api: createRouterClient(createRouter(), { context: { book } }) as Api };
}

/** Fills the first page of a table or index with something else. */
function spoil(file: string, name: string): void {
	const sqlite = new Database(file, { readonly: true });
	const found = sqlite.prepare('SELECT rootpage FROM sqlite_schema WHERE name = ?').pluck().get(name);
	const size = Number(sqlite.pragma('page_size', { simple: true }));
	sqlite.close();
	const handle = openSync(file, 'r+');
	// The list itself lies on the first page, behind the header.
	const from = found === undefined ? 100 : (Number(found) - 1) * size;
	writeSync(handle, Buffer.alloc(size - (from % size), 7), 0, size - (from % size), from);
	closeSync(handle);
}

const digest = (file: string) => createHash('sha256').update(readFileSync(file)).digest('hex');

test('books that are looked through aside are read at once, and an entry made meanwhile is kept after it', async () => {
	const { file } = await laid();
	const { book, api } = openedAside(file);
	expect(book.pages.state).toBe('under way');
	expect((await api.fields.list({})).map(({ name }) => name)).toEqual(['Long Piece']);
	expect((await api.upkeep.opening({})).state).toBe('under way');
	expect(readFileSync(`${file}-wal`).length).toBe(0);
	await api.fields.add({ name: 'Rookery', measuredHa: 5 });
	expect(await api.upkeep.opening({})).toMatchObject({ state: 'sound', why: null });
	expect((await api.fields.list({})).length).toBe(2);
});

test.each([
	['a page of an index', (file: string) => spoil(file, 'movement_by_product')],
	[
		'a row that refers to nothing',
		(file: string) => {
			const sqlite = new Database(file);
			sqlite.exec("PRAGMA foreign_keys = OFF; DELETE FROM product WHERE name = 'Granule'");
			sqlite.close();
		},
	],
] as const)('damage found aside (%s) lets nothing be written, and nothing be read any more', async (_, damage) => {
	const { file } = await laid();
	damage(file);
	const before = digest(file);
	const { book, api } = openedAside(file);
	expect((await refusal(api.fields.add({ name: 'Rookery', measuredHa: 5 }))).code).toBe('data.damaged');
	expect(book.pages).toMatchObject({ state: 'damaged' });
	expect((await refusal(api.fields.list({}))).code).toBe('data.damaged');
	expect(await api.upkeep.opening({})).toMatchObject({ state: 'damaged', why: expect.stringMatching(/\w/) });
	book.close();
	expect(digest(file)).toBe(before);
	expect(openBook({ folder: join(file, '..') })).toMatchObject({ ok: false, problem: { code: 'data.damaged' } });
});

test('from damaged books the way back to a backup stays open', async () => {
	const { file, backup } = await laid();
	spoil(file, 'movement_by_product');
	const { api } = openedAside(file);
	await refusal(api.fields.add({ name: 'Rookery', measuredHa: 5 }));
	expect((await api.upkeep.restore({ path: backup })).ok).toBe(true);
	await api.fields.add({ name: 'Rookery', measuredHa: 5 });
	expect((await api.fields.list({})).length).toBe(2);
	expect((await api.upkeep.opening({})).state).toBe('sound');
});

test.each([
	['a page of an index', (file: string) => spoil(file, 'movement_by_product')],
	['the list of its tables', (file: string) => spoil(file, 'sqlite_schema')],
	[
		'all but the write-ahead log',
		(file: string) => {
			writeFileSync(`${file}-wal`, 'what was entered last');
			rmSync(file);
		},
	],
])('of small damaged books (%s) nothing is read, and a backup takes their place', async (_, damage) => {
	const { file, backup } = await laid();
	damage(file);
	const before = existsSync(file) ? digest(file) : null;
	const opened = openBook({ folder: join(file, '..'), evenDamaged: true });
	if (!opened.ok) throw new Error(opened.problem.code);
	const book = opened.value;
	onTestFinished(() => book.close());
	const api = createRouterClient(createRouter(), { context: { book, aside: true } }) as Api;
	expect(await api.upkeep.opening({})).toMatchObject({ state: 'damaged', why: expect.stringMatching(/\w/) });
	expect((await refusal(api.fields.list({}))).code).toBe('data.damaged');
	expect((await refusal(api.fields.add({ name: 'Rookery', measuredHa: 5 }))).code).toBe('data.damaged');
	expect((await api.upkeep.verifyBackup({ path: backup })).ok).toBe(true);
	const { setAside } = await api.upkeep.restore({ path: backup });
	if (before !== null) expect(digest(join(setAside, DATABASE_NAME))).toBe(before);
	else expect(readFileSync(join(setAside, `${DATABASE_NAME}-wal`), 'utf8')).toBe('what was entered last');
	await api.fields.add({ name: 'Rookery', measuredHa: 5 });
	expect((await api.fields.list({})).length).toBe(2);
});

test('books that are closed while they are looked through keep nothing waiting', async () => {
	const { file } = await laid();
	const { book } = openedAside(file);
	book.close();
	const again = openedAside(file);
	expect((await again.api.fields.list({})).length).toBe(1);
});
