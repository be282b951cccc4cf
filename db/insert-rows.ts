import { getTableColumns, sql } from 'drizzle-orm';
import type { SQLiteTable } from 'drizzle-orm/sqlite-core';
import type { WriteDb } from './transaction.ts';

/**
 * Puts many rows into a table: the statement is written once, and its values go to the driver as they are. Every row names
 * every column.
 */
export async function insertRows<Table extends SQLiteTable>(
	tx: WriteDb,
	table: Table,
	rows: readonly Required<Table['$inferSelect']>[],
): Promise<void> {
	if (rows.length === 0) return;
	const columns = Object.keys(getTableColumns(table));
	const row = Object.fromEntries(columns.map((column) => [column, sql.placeholder(column)]));
	const statement = tx.insert(table).values(row as Table['$inferInsert']);
	const put = tx.prepared(statement.toSQL().sql);
	for (const values of rows) put(columns.map((column) => values[column]));
}
