import type { Sqlite } from '../../../db/connection.ts';

export type Cell = string | number | Buffer | null;
export type Row = Readonly<Record<string, Cell>>;
type Column = { readonly name: string; readonly type: string; readonly notnull: number; readonly pk: number };

/** Every id of a sample row: rows that name each other by it refer to something. */
export const SAMPLE_ID = '0'.repeat(64);

export function tablesOf(sqlite: Sqlite): string[] {
	const names = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name";
	return sqlite.prepare(names).pluck().all() as string[];
}

export function columnsOf(sqlite: Sqlite, table: string): Column[] {
	return sqlite.pragma(`table_info(${table})`) as Column[];
}

/** A row that the checks of the table take: the first word of each list of words, 1 for numbers. */
export function sampleRow(sqlite: Sqlite, table: string): Row {
	return Object.fromEntries(
		columnsOf(sqlite, table).map(({ name, type }) => {
			const [first] = wordsAllowed(sqlite, table, name);
			if (type === 'BLOB') return [name, Buffer.from('content')];
			return [name, type === 'TEXT' ? (first ?? SAMPLE_ID) : 1];
		}),
	);
}

/** Puts a row in as it is, whatever it refers to. */
export function insertRow(sqlite: Sqlite, table: string, row: Row, verb = 'INSERT'): void {
	const names = Object.keys(row);
	sqlite
		.prepare(`${verb} INTO ${table} (${names.join(', ')}) VALUES (${names.map(() => '?').join(', ')})`)
		.run(...Object.values(row));
}

/** One row in every table; all of them refer to one another. */
export function fillEveryTable(sqlite: Sqlite): void {
	sqlite.pragma('foreign_keys = OFF');
	for (const table of tablesOf(sqlite)) if (table !== 'chain') insertRow(sqlite, table, sampleRow(sqlite, table));
	sqlite.pragma('foreign_keys = ON');
}

export function rowsOf(sqlite: Sqlite, table: string): Row[] {
	return sqlite.prepare(`SELECT * FROM ${table}`).all() as Row[];
}

/** Everything a database holds. */
export function allRows(sqlite: Sqlite): Record<string, Row[]> {
	return Object.fromEntries(tablesOf(sqlite).map((table) => [table, rowsOf(sqlite, table)]));
}

/** The words a CHECK lists for a column, as the schema has them. */
export function wordsAllowed(sqlite: Sqlite, table: string, column: string): string[] {
	const sql = String(sqlite.prepare('SELECT sql FROM sqlite_schema WHERE name = ?').pluck().get(table));
	const list = new RegExp(`CHECK \\(${column} IN \\(([^)]*)\\)\\)`).exec(sql)?.[1] ?? '';
	return [...list.matchAll(/'([^']*)'/g)].map(([, word = '']) => word);
}
