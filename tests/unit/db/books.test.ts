import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { assertSettings, openDb } from '../../../db/connection.ts';
import { migrate, readMigrations, readSnapshot, schemaText } from '../../../db/migrate.ts';
import { DATABASE_NAME, openBook } from '../../../db/open-book.ts';
import { farm } from '../../../db/tables.ts';
import { createWriter, inTransaction } from '../../../db/transaction.ts';
import { newFolder, smallFarm, testBooks } from '../electron/procedures/test-books.ts';

test('every setting still holds after the first write', async () => {
	const { api, book } = testBooks();
	await smallFarm(api);
	assertSettings(book.writer.sqlite);
	expect(book.writer.sqlite.pragma('journal_mode', { simple: true })).toBe('wal');
	expect(() => book.reader.exec('DELETE FROM farm')).toThrow(/readonly/);
});

test('the committed snapshot is the schema', () => {
	const sqlite = openDb(':memory:');
	migrate(sqlite, readMigrations());
	expect(schemaText(sqlite)).toBe(readSnapshot());
	sqlite.close();
});

const growing = ['audit', 'movement', 'spray_record', 'load_log', 'stock_count', 'field_boundary'];

test.each(growing)('%s only grows: no statement changes or removes a row', (table) => {
	const { book } = testBooks();
	const { sqlite } = book.writer;
	const columns = (sqlite.pragma(`table_info(${table})`) as { name: string; type: string; notnull: number }[]).map(
		({ name, type }) => ({ name, value: type === 'TEXT' ? `'${'0'.repeat(64)}'` : '1' }),
	);
	const enums: Record<string, string> = {
		kind: "'delivery'",
		state: table === 'load_log' ? "'complete'" : "'current'",
		unit: "'L'",
		reverses: 'NULL',
	};
	const values = columns.map(({ name, value }) => enums[name] ?? (name === 'reverses' ? 'NULL' : value)).join(', ');
	sqlite.pragma('foreign_keys = OFF');
	sqlite.exec(`INSERT INTO ${table} VALUES (${values})`);
	const before = sqlite.prepare(`SELECT * FROM ${table}`).all();
	const statements = [
		`UPDATE ${table} SET id = 'other'`,
		`DELETE FROM ${table}`,
		`REPLACE INTO ${table} VALUES (${values})`,
		`INSERT OR REPLACE INTO ${table} VALUES (${values})`,
		`UPDATE OR REPLACE ${table} SET id = id`,
		`INSERT INTO ${table} VALUES (${values}) ON CONFLICT (id) DO UPDATE SET id = 'other'`,
	];
	for (const statement of statements) expect(() => sqlite.exec(statement), statement).toThrow(/only grow/);
	expect(sqlite.prepare(`SELECT * FROM ${table}`).all()).toEqual(before);
	// Without recursive triggers REPLACE would walk past them: the setting is what holds it.
	sqlite.pragma('recursive_triggers = OFF');
	expect(() => sqlite.exec(`REPLACE INTO ${table} VALUES (${values})`)).not.toThrow();
});

test('a promise left over when the transaction ended writes nothing', async () => {
	const { book } = testBooks();
	const stray: Promise<unknown>[] = [];
	await inTransaction(
		createWriter(book.writer.sqlite),
		async (tx) => {
			stray.push(new Promise((done) => setTimeout(done, 5)).then(() => tx.update(farm).set({ name: 'written late' })));
			await tx.update(farm).set({ name: 'in time' });
			return true;
		},
		(keep) => keep,
	);
	await expect(Promise.all(stray)).rejects.toThrow(/after its transaction had ended/);
	expect(await book.read.select({ name: farm.name }).from(farm)).toEqual([{ name: 'in time' }]);
});

test('a refusal and a fault leave nothing behind, and commands take turns', async () => {
	const { book } = testBooks();
	const writer = createWriter(book.writer.sqlite);
	const rename = (name: string, keep: boolean) =>
		inTransaction(
			writer,
			async (tx) => {
				await tx.update(farm).set({ name });
				if (name === 'fault') throw new Error('fault');
				return keep;
			},
			(outcome) => outcome,
		);
	const outcomes = await Promise.allSettled([rename('kept', true), rename('refused', false), rename('fault', true)]);
	expect(outcomes.map(({ status }) => status)).toEqual(['fulfilled', 'fulfilled', 'rejected']);
	expect(await book.read.select({ name: farm.name }).from(farm)).toEqual([{ name: 'kept' }]);
});

test('a file that is not ours, newer or damaged is refused and left as it was', () => {
	const folder = newFolder();
	onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
	const sound = openBook({ folder });
	if (!sound.ok) throw new Error(sound.problem.code);
	sound.value.close();
	const file = join(folder, DATABASE_NAME);
	const whole = readFileSync(file);
	const cases: Record<string, (copy: string) => void> = {
		'data.foreign it is empty': (copy) => writeFileSync(copy, ''),
		'data.foreign it is not an SQLite database': (copy) => writeFileSync(copy, 'a letter to the bank'),
		'data.foreign it belongs to another program': (copy) => withPragma(copy, file, 'application_id = 7'),
		'data.newer undefined': (copy) => withPragma(copy, file, 'user_version = 99'),
		'data.damaged': (copy) => writeFileSync(copy, whole.subarray(0, whole.length - 4096 * 3)),
		'data.damaged its tables or the rules that guard them were changed from outside': (copy) => {
			copyFileSync(file, copy);
			const sqlite = new Database(copy);
			sqlite.exec('DROP TRIGGER movement_no_delete');
			sqlite.close();
		},
	};
	for (const [expected, make] of Object.entries(cases)) {
		const place = newFolder();
		onTestFinished(() => rmSync(place, { recursive: true, force: true }));
		const copy = join(place, DATABASE_NAME);
		mkdirSync(place, { recursive: true });
		make(copy);
		const before = readFileSync(copy);
		const opened = openBook({ folder: place });
		if (opened.ok) opened.value.close();
		expect(opened.ok ? 'opened' : `${opened.problem.code} ${opened.problem.details['why']}`).toContain(expected);
		expect(readFileSync(copy).equals(before)).toBe(true);
	}
});

function withPragma(copy: string, file: string, pragma: string): void {
	copyFileSync(file, copy);
	const sqlite = new Database(copy);
	sqlite.pragma(pragma);
	sqlite.close();
}

test.each(['movement', 'spray_record', 'audit'])('a change in %s made from outside is found', async (table) => {
	const { api, book } = testBooks();
	const { fieldId, sprayerId, suspensionId } = await smallFarm(api);
	const { id: jobId } = await api.jobs.add({
		key: 'j',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [{ productId: suspensionId, dosePerHa: 1 }],
		date: '2026-04-15',
	});
	await api.jobs.logLoad({
		key: 'l',
		jobId,
		load: 1,
		startedAt: '2026-04-15T07:00',
		finishedAt: '2026-04-15T08:00',
		operator: 'A. Marsh',
	});
	const sound = await api.records.verify({});
	expect(sound.ok).toBe(true);
	const { sqlite } = book.writer;
	for (const trigger of [`${table}_no_update`, `${table}_no_delete`]) sqlite.exec(`DROP TRIGGER ${trigger}`);
	const tamper: Record<string, string> = { movement: 'document', spray_record: 'why', audit: 'who' };
	sqlite.exec(`UPDATE ${table} SET ${tamper[table]} = 'forged' WHERE seq = 1`);
	const found = await api.records.verify({});
	const chain = { movement: 'ledger', spray_record: 'records', audit: 'audit' }[table];
	expect(found).toMatchObject({ ok: false, firstBad: { chain, seq: 1 } });
	// A cut tail shows only by its missing rows here, and by a head kept elsewhere when the chain table is cut as well.
	sqlite.exec(`DELETE FROM ${table} WHERE seq = (SELECT max(seq) FROM ${table})`);
	expect((await api.records.verify({})).ok).toBe(false);
});
