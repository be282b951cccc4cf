import { type SQL, type SQLWrapper, sql } from 'drizzle-orm';
import type { ReadDb } from './transaction.ts';

/**
 * Rows as the driver gives them: for lists of tens of thousands of lines, where mapping every cell costs more than
 * reading it. `columns` names each cell as the row does; `rest` is the statement from its FROM on.
 */
export async function plainRows<Row extends object>(
	db: ReadDb,
	columns: Readonly<Record<keyof Row, SQLWrapper>>,
	rest: SQL,
): Promise<Row[]> {
	const named = Object.entries<SQLWrapper>(columns).map(([name, column]) => sql`${column} AS ${sql.identifier(name)}`);
	return db.all<Row>(sql`SELECT ${sql.join(named, sql`, `)} ${rest}`);
}

/** A list of any length as one parameter: `… IN ${listed(ids)}`. */
export function listed(values: Iterable<string>): SQL {
	return sql`(SELECT value FROM json_each(${JSON.stringify([...values])}))`;
}
