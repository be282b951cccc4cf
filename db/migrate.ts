import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { invariant } from '../shared/basics/result.ts';
import { APPLICATION_ID, type Sqlite } from './connection.ts';

export const MIGRATIONS_FOLDER = resolve(import.meta.dirname, '../migrations');

export type Migration = { readonly number: number; readonly name: string; readonly sql: string };

/** The numbered files, in order; a gap or a number twice is a bug of ours. */
export function readMigrations(folder = MIGRATIONS_FOLDER): readonly Migration[] {
	const files = readdirSync(folder)
		.filter((name) => /^\d{4}_.+\.sql$/.test(name))
		.sort();
	return files.map((name, index) => {
		const number = Number(name.slice(0, 4));
		invariant(number === index + 1, `migration ${name} is out of order: ${index + 1} was expected`);
		return { number, name, sql: readFileSync(join(folder, name), 'utf8') };
	});
}

/**
 * Brings a database up to the newest schema. `backUp` is called before anything changes, when there is something to lose.
 * Foreign keys go off outside the transaction (inside it the pragma does nothing and a table rebuild would take the child
 * rows with it), and nothing is committed unless `foreign_key_check` is clean and every migration was applied.
 */
export function migrate(sqlite: Sqlite, migrations: readonly Migration[], backUp: () => void = () => {}): void {
	const have = Number(sqlite.pragma('user_version', { simple: true }));
	const pending = migrations.filter(({ number }) => number > have);
	if (pending.length === 0) return;
	if (have > 0) backUp();
	sqlite.pragma('foreign_keys = OFF');
	try {
		invariant(sqlite.pragma('foreign_keys', { simple: true }) === 0, 'foreign keys stayed on before a migration');
		sqlite.exec('BEGIN IMMEDIATE');
		try {
			if (have === 0) sqlite.pragma(`application_id = ${APPLICATION_ID}`);
			for (const { number, sql } of pending) {
				sqlite.exec(sql);
				sqlite.pragma(`user_version = ${number}`);
			}
			const orphans = sqlite.pragma('foreign_key_check') as unknown[];
			invariant(orphans.length === 0, `${orphans.length} rows would lose what they refer to`);
			sqlite.exec('COMMIT');
		} catch (error) {
			if (sqlite.inTransaction) sqlite.exec('ROLLBACK');
			throw error;
		}
	} finally {
		sqlite.pragma('foreign_keys = ON');
	}
	const applied = Number(sqlite.pragma('user_version', { simple: true }));
	invariant(applied === migrations.length, `${applied} migrations are applied, the folder holds ${migrations.length}`);
}

/** The schema as one text: tables, indexes, triggers, STRICT. Compared with `migrations/schema.snapshot.sql`. */
export function schemaText(sqlite: Sqlite): string {
	const rows = sqlite
		.prepare("SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'")
		.all() as { type: string; name: string; sql: string }[];
	const order = ['table', 'index', 'trigger', 'view'];
	rows.sort((a, b) => order.indexOf(a.type) - order.indexOf(b.type) || (a.name < b.name ? -1 : 1));
	return `${rows.map(({ sql }) => `${sql};`).join('\n\n')}\n`;
}

/** The schema today, as it is committed. */
export function readSnapshot(): string {
	return readFileSync(join(MIGRATIONS_FOLDER, 'schema.snapshot.sql'), 'utf8');
}
