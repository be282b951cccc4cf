import { join } from 'node:path';
import Database from 'better-sqlite3';

/** Held for as long as the process owns the data folder. */
export type FolderLock = { release(): void };

/**
 * Takes the data folder for this process, or null when another one has it: `owner.lock` is a tiny second SQLite file kept
 * in BEGIN EXCLUSIVE. The system frees it when the process ends, however it ends, so no lock outlives its holder.
 * Nothing else may ever open that file: closing any descriptor of it would drop the lock (sqlite.org/howtocorrupt.html §2.2).
 */
export function lockFolder(folder: string): FolderLock | null {
	const file = new Database(join(folder, 'owner.lock'), { timeout: 0 });
	try {
		file.exec('BEGIN EXCLUSIVE');
	} catch (error) {
		file.close();
		if (error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY')) return null;
		throw error;
	}
	return { release: () => file.close() };
}
