import { closeSync, openSync, readSync, statSync } from 'node:fs';
import Database from 'better-sqlite3';
import { invariant } from '../shared/basics/result.ts';

export type Sqlite = Database.Database;

/** 'FMRK' at byte 68 of the file: says whose database it is (https://sqlite.org/fileformat2.html §1.3.10). */
export const APPLICATION_ID = 0x464d524b;

/** The write-ahead-log fix of SQLite 3.51.3: before it, two connections and an unlucky checkpoint could lose commits. */
const OLDEST_SOUND_SQLITE = [3, 51, 3] as const;

const BUSY_MS = 5_000;

/** Every setting a connection must have, with the value it must read back. FULL: an acknowledged posting survives power loss. */
const settings = [
	['synchronous', 'FULL', 2],
	['foreign_keys', 'ON', 1],
	['recursive_triggers', 'ON', 1],
	['trusted_schema', 'OFF', 0],
	['cell_size_check', 'ON', 1],
	['mmap_size', '0', 0],
	['busy_timeout', String(BUSY_MS), BUSY_MS],
] as const;

/**
 * The only way to open the database file. Sets every pragma and reads it back.
 * `synchronous` reads FULL too early and drops after the first write, so the writer asserts it again then: see `assertDurable`.
 */
export function openDb(file: string, { readonly = false }: { readonly?: boolean } = {}): Sqlite {
	const sqlite = new Database(file, { readonly, timeout: BUSY_MS });
	try {
		const version = sqliteVersion(sqlite);
		invariant(
			isSound(version),
			`SQLite ${version} has the write-ahead-log fault; ${OLDEST_SOUND_SQLITE.join('.')} or newer is needed`,
		);
		if (!readonly && file !== ':memory:') {
			const mode = sqlite.pragma('journal_mode = WAL', { simple: true });
			invariant(
				mode === 'wal',
				`the file system of ${file} cannot hold a write-ahead log (journal mode ${String(mode)})`,
			);
		}
		if (process.platform === 'darwin') {
			sqlite.pragma('fullfsync = ON');
			sqlite.pragma('checkpoint_fullfsync = ON');
		}
		for (const [name, value] of settings) sqlite.pragma(`${name} = ${value}`);
		assertSettings(sqlite);
		return sqlite;
	} catch (error) {
		sqlite.close();
		throw error;
	}
}

/** The version of SQLite in this program. */
export function sqliteVersion(sqlite: Sqlite): string {
	return String(sqlite.prepare('SELECT sqlite_version()').pluck().get());
}

/** Reads every setting back; called again after the first write. */
export function assertSettings(sqlite: Sqlite): void {
	for (const [name, , expected] of settings) {
		const found = sqlite.pragma(name, { simple: true });
		const noFile = name === 'mmap_size' && sqlite.memory;
		invariant(noFile || found === expected, `${name} reads ${String(found)}, not ${expected}`);
	}
}

/** First bytes of a file say what it is; read without SQLite so that a foreign file is left untouched. Call before it is open. */
export function peekHeader(file: string): {
	kind: 'missing' | 'folder' | 'empty' | 'sqlite' | 'other';
	applicationId: number;
	userVersion: number;
} {
	const nothing = { applicationId: 0, userVersion: 0 };
	let size: number;
	try {
		const stat = statSync(file);
		if (stat.isDirectory()) return { kind: 'folder', ...nothing };
		if (!stat.isFile()) return { kind: 'other', ...nothing };
		size = stat.size;
	} catch {
		return { kind: 'missing', ...nothing };
	}
	if (size === 0) return { kind: 'empty', ...nothing };
	const header = Buffer.alloc(100);
	const handle = openSync(file, 'r');
	try {
		readSync(handle, header, 0, 100, 0);
	} finally {
		closeSync(handle);
	}
	if (header.toString('latin1', 0, 16) !== 'SQLite format 3\0' || size < 100) return { kind: 'other', ...nothing };
	return { kind: 'sqlite', userVersion: header.readUInt32BE(60), applicationId: header.readUInt32BE(68) };
}

/** Whether this version of SQLite has the fix. */
export function isSound(version: string): boolean {
	const parts = version.split('.').map(Number);
	for (const [index, needed] of OLDEST_SOUND_SQLITE.entries()) {
		const have = parts[index] ?? 0;
		if (have !== needed) return have > needed;
	}
	return true;
}
