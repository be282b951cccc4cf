import { copyFileSync, globSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import Database from 'better-sqlite3';
import { getTableConfig, SQLiteTable } from 'drizzle-orm/sqlite-core';
import { expect, onTestFinished, test } from 'vitest';
import { openDb, type Sqlite } from '../../db/connection.ts';
import { MIGRATIONS_FOLDER, migrate, readMigrations, readSnapshot, schemaText } from '../../db/migrate.ts';
import { createFarm } from '../../db/modules/settings.ts';
import { DATABASE_NAME, openBook } from '../../db/open-book.ts';
import * as tables from '../../db/tables.ts';
import { allRows, columnsOf, fillEveryTable, rowsOf, SAMPLE_ID, tablesOf, wordsAllowed } from './db/sample-rows.ts';
import { scratchFolder } from './electron/scratch.ts';

/** What each file adds; rows of the version before stay as they are. A file that is not named here fails the last test. */
type Row = Record<string, unknown>;
type Added = {
	readonly tables: readonly string[];
	readonly columns: readonly string[];
	/** What new columns say of rows that were there before; left out: nothing. */
	readonly says?: Readonly<Record<string, string>>;
	/** A table whose rows all go on in another one, and what they are there; it is gone afterwards. */
	readonly moved?: { readonly from: string; readonly to: string; as(row: Row): Row };
};
const added: Record<string, Added> = {
	'0001_first_season.sql': {
		tables: [
			...['audit', 'chain', 'container', 'cropping', 'farm', 'field', 'field_boundary', 'field_measurement'],
			...['field_strip', 'job', 'job_field', 'job_product', 'load_log', 'lot', 'movement', 'product'],
			...['spray_record', 'sprayer', 'stock_count'],
		],
		columns: [],
	},
	'0002_stock_take.sql': {
		tables: ['stock_take', 'stock_take_end', 'stock_take_entry', 'stock_take_verdict'],
		columns: ['stock_count.take_id', 'stock_count.sigma'],
	},
	'0003_waste.sql': {
		tables: ['container_rinse', 'seal_bag', 'store_site', 'waste_collection', 'waste_collection_line'],
		columns: [],
	},
	'0004_field_lineage.sql': {
		tables: ['field_lineage'],
		columns: ['field.retired_on', 'field_measurement.with_overlap'],
	},
	'0005_fills.sql': {
		tables: ['cleaning', 'fill_log', 'fill_step', 'incident_entry', 'recipe'],
		columns: [],
	},
	'0006_documents.sql': { tables: ['document', 'document_put_aside'], columns: [] },
	'0007_recommendations.sql': {
		tables: ['job_recommendation', 'recommendation', 'recommendation_withdrawal'],
		columns: [],
	},
	'0008_application_kinds.sql': {
		tables: ['seed_sowing'],
		columns: ['job.kind', 'sprayer.kind', 'sprayer.hopper_kg'],
		says: { 'job.kind': 'spray in water', 'sprayer.kind': 'sprayer' },
	},
	'0009_map_background.sql': { tables: [], columns: ['farm.background'] },
	'0010_store_plan.sql': { tables: [], columns: ['store_site.plan'] },
	'0011_empties_count.sql': { tables: ['empties_count'], columns: [] },
	'0012_handed_out.sql': { tables: [], columns: [] },
	'0013_logs_by_time.sql': { tables: [], columns: [] },
	'0014_incident_withdrawn.sql': { tables: [], columns: ['incident_entry.withdrawn_why'] },
	'0015_recipe_kinds.sql': {
		tables: [],
		columns: ['recipe.kind', 'recipe.details'],
		says: { 'recipe.kind': 'spray in water' },
	},
	'0016_operators.sql': { tables: ['operator'], columns: [] },
	'0017_washings.sql': { tables: ['washings'], columns: ['spray_record.washings_id', 'spray_record.washed_m2'] },
	'0018_fills_begun.sql': { tables: [], columns: [] },
	'0019_stores.sql': {
		tables: ['store'],
		columns: ['movement.store_id', 'stock_count.store_id', 'stock_take.store_id'],
		moved: {
			from: 'store_site',
			to: 'store',
			as: ({ farm_id, ...site }) => ({ ...site, id: farm_id, farm_id, name: 'Main store', closed: 0 }),
		},
	},
	'0020_collected_products.sql': { tables: [], columns: ['waste_collection_line.product_id'] },
	'0021_store_pictures.sql': { tables: [], columns: ['document.store_id'] },
	'0022_field_limits.sql': { tables: ['field_limit'], columns: [] },
	'0023_closed_spaces.sql': { tables: ['closed_space'], columns: ['job.space_id'] },
	'0024_spaces_of_jobs.sql': { tables: ['job_space'], columns: [] },
	'0025_ground_conditions.sql': { tables: ['field_condition'], columns: [] },
	'0026_display_units.sql': { tables: [], columns: ['farm.display_units'] },
};

const migrations = readMigrations();

function database(upTo = migrations.length): Sqlite {
	const sqlite = openDb(':memory:');
	onTestFinished(() => void sqlite.close());
	migrate(sqlite, migrations.slice(0, upTo));
	return sqlite;
}

test('the committed snapshot is the schema', async () => {
	await expect(schemaText(database())).toMatchFileSnapshot('../../migrations/schema.snapshot.sql');
});

test.each(migrations.filter(({ name }) => added[name]))(
	'$name adds what it says and leaves every row as it was',
	({ name, number }) => {
		const sqlite = database(number - 1);
		fillEveryTable(sqlite);
		const shape = () => tablesOf(sqlite).map((table) => [table, columnsOf(sqlite, table).map((column) => column.name)]);
		const before = new Map(shape() as [string, string[]][]);
		const moved = added[name]?.moved;
		const gone = moved ? rowsOf(sqlite, moved.from) : [];
		if (moved) before.delete(moved.from);
		const rows = new Map([...before.keys()].map((table) => [table, rowsOf(sqlite, table)]));
		migrate(sqlite, migrations.slice(0, number));
		const after = new Map(shape() as [string, string[]][]);
		expect({
			tables: [...after.keys()].filter((table) => !before.has(table)),
			columns: [...before].flatMap(([table, columns]) =>
				(after.get(table) ?? []).filter((column) => !columns.includes(column)).map((column) => `${table}.${column}`),
			),
			gone: [...before].flatMap(([table, columns]) => columns.filter((column) => !after.get(table)?.includes(column))),
		}).toEqual({ tables: added[name]?.tables, columns: added[name]?.columns, gone: [] });
		for (const [table, old] of rows) {
			const fresh = after.get(table)?.filter((column) => !before.get(table)?.includes(column)) ?? [];
			const said = added[name]?.says ?? {};
			const empty = Object.fromEntries(fresh.map((column) => [column, said[`${table}.${column}`] ?? null]));
			expect(rowsOf(sqlite, table), table).toEqual(old.map((row) => ({ ...row, ...empty })));
		}
		if (moved) expect(rowsOf(sqlite, moved.to)).toEqual(gone.map(moved.as));
	},
);

test('the closed space a job had is the first of its spaces', () => {
	const sqlite = database(23);
	fillEveryTable(sqlite);
	migrate(sqlite, migrations.slice(0, 24));
	expect(rowsOf(sqlite, 'job_space')).toEqual([
		{ job_id: SAMPLE_ID, space_id: SAMPLE_ID, position: 0, name: SAMPLE_ID },
	]);
});

test('every file has its test', () => {
	expect(Object.keys(added)).toEqual(migrations.map(({ name }) => name));
});

test('the tables the program knows are the tables of the snapshot', () => {
	const sqlite = database();
	const known = (Object.values(tables) as unknown[])
		.filter((value) => value instanceof SQLiteTable)
		.map((table) => getTableConfig(table))
		.map(({ name, columns }) => [name, columns.map(describeKnown).sort(byName)] as const);
	const stored = tablesOf(sqlite).map((table) => [
		table,
		columnsOf(sqlite, table)
			.map(({ name, type, notnull }) => ({
				name,
				type: type.toLowerCase(),
				notNull: notnull === 1,
				words: wordsAllowed(sqlite, table, name).sort(),
			}))
			.map((column) => withoutUnknownWords(known, table, column))
			.sort(byName),
	]);
	expect([...known].sort(([a], [b]) => (a < b ? -1 : 1))).toEqual(stored);
});

type Described = { readonly name: string; readonly type: string; readonly notNull: boolean; readonly words: string[] };

function describeKnown(column: ReturnType<typeof getTableConfig>['columns'][number]): Described {
	return {
		name: column.name,
		type: column.getSQLType(),
		notNull: column.notNull || column.primary,
		words: [...(column.enumValues ?? [])].sort(),
	};
}

/** A column may be plain text to the program although the schema lists its words; where both list them they must agree. */
function withoutUnknownWords(
	known: readonly (readonly [string, readonly Described[]])[],
	table: string,
	column: Described,
): Described {
	const own = known.find(([name]) => name === table)?.[1].find(({ name }) => name === column.name);
	return own?.words.length === 0 ? { ...column, words: [] } : column;
}

function byName(a: { readonly name: string }, b: { readonly name: string }): number {
	return a.name < b.name ? -1 : 1;
}

test('numbers rise one by one', () => {
	const named = (...names: string[]) => {
		const folder = scratchFolder();
		for (const name of names) writeFileSync(join(folder, name), '');
		return () => readMigrations(folder);
	};
	expect(named('0001_a.sql', '0002_b.sql')().map(({ number }) => number)).toEqual([1, 2]);
	expect(named('0001_a.sql', '0003_c.sql')).toThrow('migration 0003_c.sql is out of order: 2 was expected');
	expect(named('0001_a.sql', '0001_b.sql')).toThrow('migration 0001_b.sql is out of order: 2 was expected');
	expect(named('0002_b.sql')).toThrow('migration 0002_b.sql is out of order: 1 was expected');
});

/** The files of the program in a folder of their own, with one more. */
function withOneMore(sql: string) {
	const folder = scratchFolder();
	for (const file of globSync(join(MIGRATIONS_FOLDER, '0*.sql'))) copyFileSync(file, join(folder, basename(file)));
	const number = String(migrations.length + 1).padStart(4, '0');
	writeFileSync(join(folder, `${number}_one_more.sql`), sql);
	return readMigrations(folder);
}

/** The usual way to change a table that ALTER cannot: a new one, the rows, the old one dropped (sqlite.org/lang_altertable.html §7). */
function rebuildOf(table: string): string {
	const sql = String(database().prepare('SELECT sql FROM sqlite_schema WHERE name = ?').pluck().get(table));
	return `${sql.replace(`CREATE TABLE ${table} (`, `CREATE TABLE ${table}_rebuilt (`)};
		INSERT INTO ${table}_rebuilt SELECT * FROM ${table};
		DROP TABLE ${table};
		ALTER TABLE ${table}_rebuilt RENAME TO ${table};`;
}

test('a rebuilt parent table keeps its children', () => {
	const sqlite = database();
	fillEveryTable(sqlite);
	const before = allRows(sqlite);
	migrate(sqlite, withOneMore(rebuildOf('product')));
	expect(allRows(sqlite)).toEqual(before);
	expect(sqlite.pragma('user_version', { simple: true })).toBe(migrations.length + 1);
	expect(sqlite.pragma('foreign_keys', { simple: true })).toBe(1);
});

test('inside a transaction foreign keys cannot be put aside: the rebuild fails, and with CASCADE the children are gone', () => {
	const sqlite = database();
	fillEveryTable(sqlite);
	const rebuild = `BEGIN; PRAGMA foreign_keys = OFF; ${rebuildOf('product')} COMMIT`;
	expect(() => sqlite.exec(rebuild)).toThrow('FOREIGN KEY constraint failed');
	sqlite.exec('ROLLBACK');
	const cascading = openDb(':memory:');
	onTestFinished(() => void cascading.close());
	cascading.exec(`CREATE TABLE can (id INTEGER PRIMARY KEY); INSERT INTO can VALUES (1);
		CREATE TABLE pour (id INTEGER, can_id INTEGER REFERENCES can (id) ON DELETE CASCADE); INSERT INTO pour VALUES (1, 1);
		BEGIN; PRAGMA foreign_keys = OFF; CREATE TABLE can_rebuilt (id INTEGER PRIMARY KEY);
		INSERT INTO can_rebuilt SELECT * FROM can; DROP TABLE can; ALTER TABLE can_rebuilt RENAME TO can; COMMIT`);
	expect(rowsOf(cascading, 'pour')).toEqual([]);
});

test('a rebuilt table has lost its triggers, and the snapshot shows it', () => {
	const sqlite = database();
	migrate(sqlite, withOneMore(rebuildOf('movement')));
	expect(schemaText(sqlite)).not.toBe(readSnapshot());
	expect(readSnapshot()).toContain('CREATE TRIGGER movement_no_update');
	expect(schemaText(sqlite)).not.toContain('CREATE TRIGGER movement_no_update');
});

test.each([
	['that fails half-way', 'CREATE TABLE extra (id TEXT) STRICT; INSERT INTO nowhere VALUES (1);', 'no such table'],
	['that leaves rows without what they refer to', 'DELETE FROM product;', /\d+ rows would lose what they refer to/],
])('a file %s changes nothing', (_, sql, message) => {
	const sqlite = database();
	fillEveryTable(sqlite);
	const before = [schemaText(sqlite), allRows(sqlite)];
	expect(() => migrate(sqlite, withOneMore(sql))).toThrow(message);
	expect([schemaText(sqlite), allRows(sqlite)]).toEqual(before);
	expect(sqlite.pragma('user_version', { simple: true })).toBe(migrations.length);
	expect(sqlite.pragma('foreign_keys', { simple: true })).toBe(1);
});

test('after all files the version must be their number', () => {
	const sqlite = database();
	const [next, ...rest] = withOneMore('CREATE TABLE extra (id TEXT) STRICT;').slice(-1);
	if (!next || rest.length > 0) throw new Error('one file was added');
	expect(() => migrate(sqlite, [...migrations, { ...next, number: next.number + 1 }])).toThrow(
		`${next.number + 1} migrations are applied, the folder holds ${next.number}`,
	);
});

test('books of every earlier version are brought up to date after a backup of their own', () => {
	for (const { number } of migrations.slice(0, -1)) {
		const folder = scratchFolder();
		mkdirSync(folder, { recursive: true });
		const old = openDb(join(folder, DATABASE_NAME));
		migrate(old, migrations.slice(0, number));
		createFarm(old, { farm: 'farm-1', device: 'device-1' }, 'Europe/Berlin');
		const rows = allRows(old);
		old.close();
		const opened = openBook({ folder });
		if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
		expect(schemaText(opened.value.reader)).toBe(readSnapshot());
		expect(opened.value.reader.prepare('SELECT id FROM farm').pluck().all()).toEqual(['farm-1']);
		opened.value.close();
		const backups = readdirSync(join(folder, 'backups'));
		expect(backups).toEqual([expect.stringMatching(/^before-update-.*\.sqlite$/)]);
		const copy = new Database(join(folder, 'backups', backups[0] ?? ''), { readonly: true });
		expect([copy.pragma('user_version', { simple: true }), allRows(copy)]).toEqual([number, rows]);
		copy.close();
	}
	expect(migrations.length).toBeGreaterThan(1);
});

test('books that are up to date are opened without a backup', () => {
	const folder = scratchFolder();
	for (let start = 0; start < 2; start++) {
		const opened = openBook({ folder });
		if (!opened.ok) throw new Error(opened.problem.code);
		opened.value.close();
	}
	expect(readdirSync(folder)).toEqual([DATABASE_NAME]);
});

test('sample rows are whole: one in every table, every key found', () => {
	const sqlite = database();
	fillEveryTable(sqlite);
	expect(sqlite.pragma('foreign_key_check')).toEqual([]);
	const counts = tablesOf(sqlite).map((table) => rowsOf(sqlite, table).length);
	expect(counts.every((count) => count > 0)).toBe(true);
});
