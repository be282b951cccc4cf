import { checkChain } from '../../db/modules/records.ts';
import { type Book, openBook } from '../../db/open-book.ts';
import { sha256Of } from '../../electron/files/document-file.ts';
import { sheetSumOf } from './sheet.ts';

/** What stands on the books, beside what was acknowledged. */
export type Inspection = {
	/** Loads logged. */
	readonly stored: number;
	/** Sheets kept. */
	readonly documents: number;
	/** Commands of any kind, by their audit lines. */
	readonly commands: number;
	/** Acknowledged, and the load or its sheet is not on the books. */
	readonly lost: readonly string[];
	/** On the books in part: a log without its movements, records or audit line, or the other way round; or a sheet altered. */
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
	const sheets = keptSheets(book);
	const kept = new Set(sheets.keys);
	return {
		stored: logs.length,
		documents: sheets.keys.length,
		commands: Number(reader.prepare('SELECT count(*) FROM audit').pluck().get()),
		lost: [...acknowledged].filter((key) => !keys.has(key) || !kept.has(key)),
		half: [...partial, ...strays, ...negative].map(({ id }) => id).concat(withoutLog, sheets.half),
		brokenChains,
	};
}

/** The sheets on the books by the key each came in under, and what of them is there in part, changed or twice. */
export function keptSheets({ reader }: Book): { keys: readonly string[]; half: readonly string[] } {
	const lines = reader
		.prepare("SELECT command_key AS key, output FROM audit WHERE procedure = 'documents.add'")
		.all() as { key: string; output: string }[];
	const keyOf = new Map(lines.map(({ key, output }) => [(JSON.parse(output) as { id: string }).id, key]));
	const rows = reader.prepare('SELECT id, name, sha256, content FROM document').all() as {
		readonly id: string;
		readonly name: string;
		readonly sha256: string;
		readonly content: Buffer;
	}[];
	const half = rows.filter(({ id, sha256, content }) => {
		const key = keyOf.get(id);
		return key === undefined || sha256 !== sheetSumOf(key) || sha256Of(content) !== sha256;
	});
	const twice = rows.filter(({ sha256 }, place) => rows.findIndex((row) => row.sha256 === sha256) !== place);
	const ids = new Set(rows.map(({ id }) => id));
	const gone = [...keyOf].filter(([id]) => !ids.has(id)).map(([, key]) => `sheet ${key} is gone`);
	return {
		keys: rows.flatMap(({ id }) => keyOf.get(id) ?? []),
		half: [...half, ...twice].map(({ name }) => `sheet ${name}`).concat(gone),
	};
}

/** Nothing lost, nothing half, every chain whole. */
export function isWhole({ lost, half, brokenChains }: Inspection): boolean {
	return lost.length === 0 && half.length === 0 && brokenChains.length === 0;
}
