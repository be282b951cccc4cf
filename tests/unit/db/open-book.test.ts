import { createHash } from 'node:crypto';
import {
	copyFileSync,
	cpSync,
	existsSync,
	mkdirSync,
	readdirSync,
	readFileSync,
	statSync,
	truncateSync,
	writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { DATABASE_NAME, openBook } from '../../../db/open-book.ts';
import { sentenceOf } from '../../../shared/basics/problem.ts';
import { smallFarm, testBooks } from '../electron/procedures/test-books.ts';
import { scratchFolder } from '../electron/scratch.ts';

/** Sound books with a farm in them, closed. */
async function closedBooks(): Promise<string> {
	const { api, book, folder } = testBooks();
	await smallFarm(api);
	book.close();
	return join(folder, DATABASE_NAME);
}

/** Name, size and content of everything in a folder. */
function everything(folder: string): string[] {
	return (readdirSync(folder, { recursive: true }) as string[]).sort().map((name) => {
		const path = join(folder, name);
		if (statSync(path).isDirectory()) return name;
		return `${name} ${createHash('sha256').update(readFileSync(path)).digest('hex')}`;
	});
}

function changed(file: string, sql: string): void {
	const sqlite = new Database(file);
	sqlite.exec(sql);
	sqlite.close();
}

type Case = { readonly name: string; readonly code: string; readonly why: string; make(file: string): void };

const cases: readonly Case[] = [
	{
		name: 'the database of another program',
		code: 'data.foreign',
		why: 'it belongs to another program',
		make: (file) => changed(file, 'PRAGMA application_id = 7'),
	},
	{
		name: 'an unsigned database',
		code: 'data.foreign',
		why: 'no program has signed it',
		make: (file) => changed(file, 'PRAGMA application_id = 0'),
	},
	{
		name: 'a newer database',
		code: 'data.newer',
		why: 'schema 99',
		make: (file) => changed(file, 'PRAGMA user_version = 99'),
	},
	{
		name: 'a database that was cut off',
		code: 'data.damaged',
		why: 'malformed',
		make: (file) => truncateSync(file, statSync(file).size - 3 * 4096),
	},
	{ name: 'an empty file', code: 'data.foreign', why: 'it is empty', make: (file) => truncateSync(file, 0) },
	{
		name: 'a letter',
		code: 'data.foreign',
		why: 'it is not an SQLite database',
		make: (file) => writeFileSync(file, 'Dear Sir or Madam, the delivery of the 3rd was two cans short.'),
	},
	{
		name: 'books without one of the rules that guard them',
		code: 'data.damaged',
		why: 'its tables or the rules that guard them were changed from outside',
		make: (file) => changed(file, 'DROP TRIGGER movement_no_delete'),
	},
	{
		name: 'books with a table more',
		code: 'data.damaged',
		why: 'its tables or the rules that guard them were changed from outside',
		make: (file) => changed(file, 'CREATE TABLE extra (id INTEGER)'),
	},
	{
		name: 'books whose rows refer to nothing',
		code: 'data.damaged',
		why: 'rows refer to rows that are gone',
		make: (file) => changed(file, 'PRAGMA foreign_keys = OFF; DELETE FROM product'),
	},
];

test.each(cases)('$name is refused by name and left as it was', async ({ code, why, make }) => {
	const folder = scratchFolder();
	const file = join(folder, DATABASE_NAME);
	copyFileSync(await closedBooks(), file);
	make(file);
	const before = everything(folder);
	const opened = openBook({ folder });
	if (opened.ok) opened.value.close();
	expect(opened.ok ? 'opened' : opened.problem.code).toBe(code);
	expect(opened.ok ? '' : sentenceOf(opened.problem)).toContain(why);
	expect(everything(folder)).toEqual(before);
});

test('a folder in the place of the database is refused, with what is in it', () => {
	const folder = scratchFolder();
	mkdirSync(join(folder, DATABASE_NAME));
	writeFileSync(join(folder, DATABASE_NAME, 'note'), 'keep');
	const opened = openBook({ folder });
	expect(opened).toMatchObject({ ok: false, problem: { code: 'data.foreign', details: { why: 'it is a folder' } } });
	expect(everything(folder)).toEqual([DATABASE_NAME, expect.stringContaining('note')]);
});

test('a sound copy of them opens', async () => {
	const folder = scratchFolder();
	copyFileSync(await closedBooks(), join(folder, DATABASE_NAME));
	const opened = openBook({ folder });
	expect(opened.ok).toBe(true);
	if (opened.ok) opened.value.close();
});

test('a write-ahead log without its database is refused: new books would take in its pages', async () => {
	const { api, book } = testBooks();
	await smallFarm(api);
	const folder = scratchFolder();
	copyFileSync(`${book.file}-wal`, join(folder, `${DATABASE_NAME}-wal`));
	const before = everything(folder);
	const opened = openBook({ folder });
	if (opened.ok) opened.value.close();
	expect(opened).toMatchObject({ ok: false, problem: { code: 'data.damaged' } });
	expect(everything(folder)).toEqual(before);
});

test('books that were not closed are whole again, log and all', async () => {
	const { api, book } = testBooks();
	await smallFarm(api);
	const folder = scratchFolder();
	for (const suffix of ['', '-wal']) copyFileSync(book.file + suffix, join(folder, DATABASE_NAME + suffix));
	const alone = scratchFolder();
	copyFileSync(book.file, join(alone, DATABASE_NAME));
	const rows = [folder, alone].map((place) => {
		const opened = openBook({ folder: place });
		if (!opened.ok) throw new Error(opened.problem.code);
		onTestFinished(() => opened.value.close());
		return Number(opened.value.reader.prepare('SELECT count(*) FROM movement').pluck().get());
	});
	// The main file alone lacks what was entered last: why a live database is never copied.
	expect(rows).toEqual([2, 0]);
});

test('what a first start left unfinished is taken up again', () => {
	const folder = scratchFolder();
	writeFileSync(join(folder, `${DATABASE_NAME}.new`), 'half');
	writeFileSync(join(folder, `${DATABASE_NAME}.new-wal`), 'half');
	const opened = openBook({ folder });
	expect(opened.ok).toBe(true);
	if (opened.ok) opened.value.close();
	expect(everything(folder).map((entry) => entry.split(' ')[0])).toEqual([DATABASE_NAME]);
});

test('a database that cannot be written to is refused in words', async () => {
	const folder = scratchFolder();
	const file = join(folder, DATABASE_NAME);
	cpSync(await closedBooks(), file);
	// Byte 18 of the header: a write version above 2 means that the file may only be read (sqlite.org/fileformat2.html §1.3.3).
	const bytes = readFileSync(file);
	bytes[18] = 3;
	writeFileSync(file, bytes);
	const opened = openBook({ folder });
	expect(opened).toMatchObject({ ok: false, problem: { code: 'data.notWritable', details: { folder } } });
	expect(existsSync(file) && readFileSync(file).equals(bytes)).toBe(true);
});
