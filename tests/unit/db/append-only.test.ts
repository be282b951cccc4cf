import { expect, onTestFinished, test } from 'vitest';
import { openDb, type Sqlite } from '../../../db/connection.ts';
import { migrate, readMigrations } from '../../../db/migrate.ts';
import { columnsOf, fillEveryTable, insertRow, rowsOf, sampleRow, tablesOf } from './sample-rows.ts';

/** A database of the newest schema in memory, through the program's own connection, one row in every table. */
function filled(): Sqlite {
	const sqlite = openDb(':memory:');
	onTestFinished(() => void sqlite.close());
	migrate(sqlite, readMigrations());
	fillEveryTable(sqlite);
	return sqlite;
}

/** These and no others may change: the register, what is planned, and the heads of the chains. */
const mayChange = [
	'chain',
	'closed_space',
	'container',
	'cropping',
	'farm',
	'field',
	'field_measurement',
	'field_strip',
	'job',
	'job_field',
	'job_product',
	'job_space',
	'lot',
	'operator',
	'product',
	'recipe',
	'sprayer',
	'store',
];

function guarded(sqlite: Sqlite): string[] {
	return tablesOf(sqlite).filter((table) => !mayChange.includes(table));
}

test('ledger, audit, records, logs, counts and boundaries are among what only grows', () => {
	expect(guarded(filled())).toEqual(
		expect.arrayContaining(['audit', 'field_boundary', 'load_log', 'movement', 'spray_record', 'stock_count']),
	);
});

/** Every way SQL has to change or remove a row (sqlite.org/lang.html). */
function attacks(sqlite: Sqlite, table: string): Record<string, () => unknown> {
	const columns = columnsOf(sqlite, table);
	const first = columns[0]?.name ?? '';
	const key = columns.filter(({ pk }) => pk > 0).map(({ name }) => name);
	const row = sampleRow(sqlite, table);
	return {
		'a plain UPDATE': () => sqlite.exec(`UPDATE ${table} SET ${first} = 'other'`),
		'UPDATE to the same': () => sqlite.exec(`UPDATE ${table} SET ${first} = ${first}`),
		'UPDATE OR REPLACE': () => sqlite.exec(`UPDATE OR REPLACE ${table} SET ${first} = ${first}`),
		'UPDATE OR IGNORE': () => sqlite.exec(`UPDATE OR IGNORE ${table} SET ${first} = 'other'`),
		'UPDATE FROM': () => sqlite.exec(`UPDATE ${table} SET ${first} = f.id FROM farm AS f`),
		'DELETE without WHERE': () => sqlite.exec(`DELETE FROM ${table}`),
		'DELETE with WHERE': () => sqlite.exec(`DELETE FROM ${table} WHERE ${first} = '${row[first]}'`),
		'DELETE RETURNING': () => sqlite.prepare(`DELETE FROM ${table} RETURNING *`).all(),
		'a plain REPLACE': () => insertRow(sqlite, table, row, 'REPLACE'),
		'INSERT OR REPLACE': () => insertRow(sqlite, table, row, 'INSERT OR REPLACE'),
		'INSERT SELECT OR REPLACE': () => sqlite.exec(`INSERT OR REPLACE INTO ${table} SELECT * FROM ${table}`),
		'an upsert': () =>
			sqlite.exec(
				`INSERT INTO ${table} SELECT * FROM ${table} WHERE true ON CONFLICT (${key.join()}) DO UPDATE SET ${first} = 'other'`,
			),
	};
}

test('no statement changes or removes a row of what only grows', () => {
	const sqlite = filled();
	sqlite.pragma('foreign_keys = OFF');
	for (const table of guarded(sqlite)) {
		const before = rowsOf(sqlite, table);
		for (const [name, attack] of Object.entries(attacks(sqlite, table))) {
			expect(attack, `${name} on ${table}`).toThrow(/only grow/);
		}
		expect(rowsOf(sqlite, table)).toEqual(before);
		expect(before.length).toBe(1);
	}
});

test('without recursive triggers REPLACE walks past them: that setting holds it', () => {
	const sqlite = filled();
	sqlite.pragma('foreign_keys = OFF');
	sqlite.pragma('recursive_triggers = OFF');
	const passed = guarded(sqlite).flatMap((table) =>
		Object.entries(attacks(sqlite, table))
			.filter(([, attack]) => isDone(attack))
			.map(([name]) => name),
	);
	expect([...new Set(passed)].sort()).toEqual(['INSERT OR REPLACE', 'INSERT SELECT OR REPLACE', 'a plain REPLACE']);
	expect(passed.length).toBe(3 * guarded(sqlite).length);
});

test('without its triggers a table takes them all', () => {
	const sqlite = filled();
	sqlite.pragma('foreign_keys = OFF');
	sqlite.exec('DROP TRIGGER movement_no_update; DROP TRIGGER movement_no_delete');
	const refused = Object.keys(attacks(sqlite, 'movement')).filter((name) => {
		if (rowsOf(sqlite, 'movement').length === 0) insertRow(sqlite, 'movement', sampleRow(sqlite, 'movement'));
		const attack = attacks(sqlite, 'movement')[name];
		return attack !== undefined && !isDone(attack);
	});
	expect(refused).toEqual([]);
});

test('nothing is taken along by a foreign key: no key has an action, and a parent with children stays', () => {
	const sqlite = filled();
	const keys = tablesOf(sqlite).flatMap(
		(table) => sqlite.pragma(`foreign_key_list(${table})`) as { on_delete: string; on_update: string }[],
	);
	expect(new Set(keys.flatMap(({ on_delete, on_update }) => [on_delete, on_update]))).toEqual(new Set(['NO ACTION']));
	for (const parent of ['farm', 'product', 'field', 'job', 'lot', 'container']) {
		expect(() => sqlite.exec(`DELETE FROM ${parent}`), parent).toThrow(/FOREIGN KEY constraint failed/);
		expect(() => sqlite.exec(`UPDATE ${parent} SET id = 'other'`), parent).toThrow(/FOREIGN KEY constraint failed/);
	}
	expect(rowsOf(sqlite, 'movement').length).toBe(1);
});

test('every table is STRICT, and the ledger takes whole amounts that a number can hold', () => {
	const sqlite = filled();
	const tables = sqlite.pragma('table_list') as { name: string; strict: number; type: string }[];
	const loose = tables.filter(({ name, strict }) => strict === 0 && !name.startsWith('sqlite_'));
	expect(loose).toEqual([]);
	const post = (amount: unknown) => {
		const row = { ...sampleRow(sqlite, 'movement'), id: String(amount), reverses: null };
		const names = Object.keys(row);
		const values = Object.values({ ...row, seq: rowsOf(sqlite, 'movement').length + 1, amount });
		sqlite
			.prepare(`INSERT INTO movement (${names.join()}) VALUES (${names.map(() => '?').join()}) RETURNING amount`)
			.all(...values);
	};
	const refusedAmounts = ['abc', 1.5, null, 0, 2 ** 53, -(2 ** 53), 9_223_372_036_854_775_807n];
	expect(refusedAmounts.filter((amount) => isDone(() => post(amount)))).toEqual([]);
	expect([1, -1, 2 ** 53 - 1, 1 - 2 ** 53].filter((amount) => !isDone(() => post(amount)))).toEqual([]);
});

function isDone(attempt: () => unknown): boolean {
	try {
		attempt();
		return true;
	} catch {
		return false;
	}
}
