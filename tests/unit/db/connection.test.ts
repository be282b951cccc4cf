import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { assertSettings, isSound, openDb, type Sqlite } from '../../../db/connection.ts';
import { smallFarm, testBooks } from '../electron/procedures/test-books.ts';
import { scratchFolder } from '../electron/scratch.ts';

const recipe = {
	journal_mode: 'wal',
	synchronous: 2,
	foreign_keys: 1,
	recursive_triggers: 1,
	trusted_schema: 0,
	cell_size_check: 1,
	mmap_size: 0,
	busy_timeout: 5_000,
	wal_autocheckpoint: 1_000,
};

function settingsOf(sqlite: Sqlite): object {
	return Object.fromEntries(Object.keys(recipe).map((name) => [name, sqlite.pragma(name, { simple: true })]));
}

test('writer and reader have every setting, also after the first write', async () => {
	const { api, book } = testBooks();
	expect([settingsOf(book.writer.sqlite), settingsOf(book.reader)]).toEqual([recipe, recipe]);
	await smallFarm(api);
	expect([settingsOf(book.writer.sqlite), settingsOf(book.reader)]).toEqual([recipe, recipe]);
});

test('the driver alone reads FULL and drops to NORMAL at the first write: the settings are read back after it', () => {
	const sqlite = new Database(join(scratchFolder(), 'bare.sqlite'));
	onTestFinished(() => void sqlite.close());
	sqlite.pragma('journal_mode = WAL');
	const early = sqlite.pragma('synchronous', { simple: true });
	sqlite.exec('CREATE TABLE note (id INTEGER PRIMARY KEY) STRICT');
	expect([early, sqlite.pragma('synchronous', { simple: true })]).toEqual([2, 1]);
	expect(() => assertSettings(sqlite)).toThrow('synchronous reads 1, not 2');
});

test.each([
	['synchronous', 'NORMAL'],
	['foreign_keys', 'OFF'],
	['recursive_triggers', 'OFF'],
	['trusted_schema', 'ON'],
	['cell_size_check', 'OFF'],
	['busy_timeout', '0'],
])('a connection with %s = %s is not taken for sound', (name, value) => {
	const sqlite = openDb(join(scratchFolder(), 'books.sqlite'));
	onTestFinished(() => void sqlite.close());
	expect(() => assertSettings(sqlite)).not.toThrow();
	sqlite.pragma(`${name} = ${value}`);
	expect(() => assertSettings(sqlite)).toThrow(`${name} reads`);
});

test('the reader cannot write, and nobody edits the schema by hand', () => {
	const { book } = testBooks();
	expect(() => book.reader.exec('DELETE FROM farm')).toThrow(/readonly/);
	const byHand = "PRAGMA writable_schema = ON; DELETE FROM sqlite_schema WHERE type = 'trigger'";
	expect(() => book.writer.sqlite.exec(byHand)).toThrow(/may not be modified/);
});

test('versions of SQLite before the write-ahead-log fix are refused', () => {
	const versions = ['3.7.0', '3.40.1', '3.51.2', '3.51.3', '3.51.10', '3.53.0', '4.0.0'];
	expect(versions.map(isSound)).toEqual([false, false, false, true, true, true, true]);
	const { book } = testBooks();
	expect(isSound(String(book.reader.prepare('SELECT sqlite_version()').pluck().get()))).toBe(true);
});
