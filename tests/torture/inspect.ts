import { checkChain } from '../../db/modules/records.ts';
import { type Book, openBook } from '../../db/open-book.ts';

/** What stands on the books, beside what was acknowledged. */
export type Inspection = {
	/** Loads logged. */
	readonly stored: number;
	/** Acknowledged and not on the books. */
	readonly lost: readonly string[];
	/** On the books in part: a log without its movements, records or audit line, or the other way round. */
	readonly half: readonly string[];
	readonly brokenChains: readonly string[];
};

/** Looks at the books of a folder as a new process would; refuses with their own words where they cannot be opened. */
export async function inspect(folder: string, acknowledged: Iterable<string>): Promise<Inspection> {
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(`the books cannot be opened: ${JSON.stringify(opened.problem)}`);
	try {
		return await inspectBook(opened.value, acknowledged);
	} finally {
		opened.value.close();
	}
}

export async function inspectBook(book: Book, acknowledged: Iterable<string>): Promise<Inspection> {
	const { reader } = book;
	const all = <Row>(sql: string) => reader.prepare(sql).all() as Row[];
	const lines = all<{ key: string; output: string }>(
		"SELECT command_key AS key, output FROM audit WHERE procedure = 'jobs.logLoad'",
	);
	const keyOf = new Map(lines.map(({ key, output }) => [(JSON.parse(output) as { logId: string }).logId, key]));
	const logs = all<{ id: string; poured: number; records: number }>(
		`SELECT id, (SELECT count(DISTINCT product_id) FROM movement WHERE load_log_id = log.id AND kind = 'load') AS poured,
		 (SELECT count(*) FROM spray_record WHERE load_log_id = log.id) AS records FROM load_log AS log`,
	);
	// Two products on one field: each was poured, each has a record line.
	const partial = logs.filter(({ id, poured, records }) => !keyOf.has(id) || poured !== 2 || records !== 2);
	const withoutLog = [...keyOf.keys()].filter((id) => !logs.some((log) => log.id === id));
	const strays = all<{ id: string }>(
		'SELECT id FROM movement WHERE load_log_id IS NOT NULL AND load_log_id NOT IN (SELECT id FROM load_log)',
	);
	const negative = all<{ id: string }>(
		'SELECT lot_id AS id FROM movement WHERE lot_id IS NOT NULL GROUP BY lot_id, container_id HAVING sum(amount) < 0',
	);
	const brokenChains = [];
	for (const chain of ['records', 'ledger', 'audit'] as const) {
		if ((await checkChain(book.read, chain)).firstBad) brokenChains.push(chain);
	}
	const keys = new Set(keyOf.values());
	return {
		stored: logs.length,
		lost: [...acknowledged].filter((key) => !keys.has(key)),
		half: [...partial, ...strays, ...negative].map(({ id }) => id).concat(withoutLog),
		brokenChains,
	};
}

/** Nothing lost, nothing half, every chain whole. */
export function isWhole({ lost, half, brokenChains }: Inspection): boolean {
	return lost.length === 0 && half.length === 0 && brokenChains.length === 0;
}
