import { type ChainName, linkHash } from '../../../db/chain.ts';
import type { Sqlite } from '../../../db/connection.ts';
import type { Row } from './sample-rows.ts';

type Cell = string | number | null;

export const chains = ['records', 'ledger', 'audit'] as const;
export const tableOf = { records: 'spray_record', ledger: 'movement', audit: 'audit' } as const;

export function triggers(sqlite: Sqlite): string[] {
	return sqlite.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").pluck().all() as string[];
}

export function rowsOfChain(sqlite: Sqlite, chain: ChainName): Row[] {
	return sqlite.prepare(`SELECT * FROM ${tableOf[chain]} ORDER BY seq`).all() as Row[];
}

/** Every link after a change computed anew, as whoever has the program and the file can do. */
export function relink(sqlite: Sqlite, chain: ChainName): void {
	const table = tableOf[chain];
	let hash = '0'.repeat(64);
	const all = rowsOfChain(sqlite, chain);
	for (const row of all) {
		const camel = Object.entries(row).map(([name, cell]): [string, Cell] => [
			name.replace(/_(.)/g, (_, letter: string) => letter.toUpperCase()),
			cell as Cell,
		]);
		hash = linkHash(hash, Object.fromEntries(camel));
		sqlite.prepare(`UPDATE ${table} SET hash = ? WHERE seq = ?`).run(hash, row['seq'] ?? 0);
	}
	sqlite.prepare('UPDATE chain SET seq = ?, hash = ? WHERE name = ?').run(all.length, hash, chain);
}
