import { createHash } from 'node:crypto';
import { closeSync, openSync, readSync } from 'node:fs';
import { ok, type Result, refuse } from '../shared/basics/result.ts';
import { type ChainName, checkLinks, type Linked } from './chain.ts';
import { APPLICATION_ID, openDb, peekHeader, type Sqlite } from './connection.ts';
import { flushFile } from './flush.ts';
import { migrate, readMigrations, schemaText } from './migrate.ts';

/** What a copy of the books holds, after every page, reference, table and link in it was checked. */
export type CheckedCopy = {
	readonly records: number;
	readonly movements: number;
	/** Newest link of the records. */
	readonly head: string;
	readonly sha256: string;
};

const tableOf = { records: 'spray_record', ledger: 'movement', audit: 'audit' } as const satisfies Record<
	ChainName,
	string
>;

/** Writes everything a connection sees to a new file of its own, and makes sure that it is on the disk. */
export function writeCopy(sqlite: Sqlite, to: string): void {
	sqlite.prepare('VACUUM INTO ?').run(to);
	flushFile(to);
}

/** Closes a database of which one file is all that is left: its write-ahead log goes into it first. */
export function closeWhole(sqlite: Sqlite): void {
	try {
		if (sqlite.open) sqlite.pragma('wal_checkpoint(TRUNCATE)');
	} finally {
		sqlite.close();
	}
}

/** Checks a database file that is not in use by its content. One of an earlier version is held against that version. */
export function checkCopy(path: string): Result<CheckedCopy> {
	const bad = (why: string) => refuse('backup.invalid', { file: path, why });
	const header = peekHeader(path);
	if (header.kind === 'missing') return refuse('file.missing', { file: path });
	if (header.kind !== 'sqlite') return bad('it is not a database');
	if (header.applicationId !== APPLICATION_ID) return bad('it belongs to another program');
	if (header.userVersion > readMigrations().length) return bad('it was made by a newer version of the program');
	const sha256 = sha256OfFile(path);
	let sqlite: Sqlite | null = null;
	try {
		sqlite = openDb(path, { readonly: true });
		const why = whatIsWrong(sqlite, header.userVersion);
		if (why !== null) return bad(why);
		const [records, movements] = [countOf(sqlite, 'records'), countOf(sqlite, 'ledger')];
		return ok({ records, movements, head: headOf(sqlite, 'records').hash, sha256 });
	} catch (error) {
		return bad((error as Error).message);
	} finally {
		sqlite?.close();
	}
}

function whatIsWrong(sqlite: Sqlite, version: number): string | null {
	const pages = String(sqlite.pragma('integrity_check(1)', { simple: true }));
	if (pages !== 'ok') return pages;
	if ((sqlite.pragma('foreign_key_check') as unknown[]).length > 0) return 'rows refer to rows that are gone';
	if (schemaText(sqlite) !== schemaOf(version)) return 'its tables or the rules that guard them were changed';
	for (const chain of ['records', 'ledger', 'audit'] as const) {
		const { firstBad } = checkLinks(linksOf(sqlite, chain), headOf(sqlite, chain));
		if (firstBad) return `the chain of the ${chain} is broken: ${firstBad.why}`;
	}
	return documentTrouble(sqlite);
}

/** What is wrong with a document: its content, or the audit line it came in with; null where they all fit. */
function documentTrouble(sqlite: Sqlite): string | null {
	// A file of an earlier version has no such table.
	if (!sqlite.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'document'").get()) return null;
	const lines = sqlite.prepare("SELECT output FROM audit WHERE procedure = 'documents.add'").pluck().all() as string[];
	const taken = new Map(lines.map((line) => JSON.parse(line) as Taken).map(({ id, sha256 }) => [id, sha256]));
	const rows = sqlite.prepare('SELECT id, name, content FROM document').iterate();
	for (const { id, name, content } of rows as Iterable<{ id: string; name: string; content: Buffer }>) {
		const sha256 = createHash('sha256').update(content).digest('hex');
		if (taken.get(id) !== sha256) return `the document ${name} is not what was taken in`;
		taken.delete(id);
	}
	return taken.size === 0 ? null : `${taken.size} documents that were taken in are gone`;
}

type Taken = { readonly id: string; readonly sha256: string };

const PIECE_BYTES = 1024 * 1024;

/** In pieces: books with many documents are larger than one buffer may be. */
function sha256OfFile(path: string): string {
	const hash = createHash('sha256');
	const piece = Buffer.alloc(PIECE_BYTES);
	const handle = openSync(path, 'r');
	try {
		for (let read = readSync(handle, piece); read > 0; read = readSync(handle, piece))
			hash.update(piece.subarray(0, read));
		return hash.digest('hex');
	} finally {
		closeSync(handle);
	}
}

/** The schema as it was in that version. */
function schemaOf(version: number): string {
	const sqlite = openDb(':memory:');
	try {
		const until = readMigrations().slice(0, version);
		migrate(sqlite, until);
		return schemaText(sqlite);
	} finally {
		sqlite.close();
	}
}

/** The rows of a chain as they were linked, with the columns this file has. */
function* linksOf(sqlite: Sqlite, chain: ChainName): Generator<Record<string, string | number | null>> {
	const rows = sqlite.prepare(`SELECT * FROM ${tableOf[chain]} ORDER BY seq`).iterate();
	for (const row of rows as Iterable<Record<string, string | number | null>>) {
		yield Object.fromEntries(Object.entries(row).map(([column, cell]) => [camelCase(column), cell]));
	}
}

function camelCase(column: string): string {
	return column.replace(/_(.)/g, (_, letter: string) => letter.toUpperCase());
}

function headOf(sqlite: Sqlite, chain: ChainName): Linked {
	return sqlite.prepare('SELECT seq, hash FROM chain WHERE name = ?').get(chain) as Linked;
}

function countOf(sqlite: Sqlite, chain: ChainName): number {
	return Number(sqlite.prepare(`SELECT count(*) FROM ${tableOf[chain]}`).pluck().get());
}
