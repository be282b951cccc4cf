import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { type CheckedCopy, checkCopy, writeCopy } from '../../db/backup.ts';
import { sqliteVersion } from '../../db/connection.ts';
import { flushFile, flushFolder } from '../../db/flush.ts';
import { readMigrations } from '../../db/migrate.ts';
import { PROGRAM, readAudit } from '../../db/modules/audit.ts';
import { countRows, firstEntries } from '../../db/modules/records.ts';
import type { Book } from '../../db/open-book.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { toIso, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';

type BackupReport = CheckedCopy & { readonly ok: boolean; readonly path: string; readonly madeAt: string };

/** What stands beside a backup, so that a cut or swapped file shows. */
type Manifest = Omit<BackupReport, 'ok' | 'path'> & { readonly program: string; readonly schema: number };

/** Writes a copy under another name, checks it by its content, and only then gives it the name asked for. */
export async function backup(
	{ book, now, farm }: QueryContext,
	input: { path: string },
): Promise<Result<BackupReport>> {
	const path = resolve(input.path);
	if (existsSync(path)) return refuse('backup.exists', { file: path });
	const unfinished = `${path}.unfinished`;
	try {
		mkdirSync(dirname(path), { recursive: true });
		discard(unfinished);
		writeCopy(book.reader, unfinished);
		const checked = checkCopy(unfinished);
		if (!checked.ok) {
			discard(unfinished);
			return refuse(checked.problem.code, { ...checked.problem.details, file: path });
		}
		const report = { ...checked.value, madeAt: toIso(now, farm.zone) };
		const manifest: Manifest = { ...report, program: PROGRAM, schema: readMigrations().length };
		writeFileSync(manifestPath(path), `${JSON.stringify(manifest, null, '\t')}\n`);
		flushFile(manifestPath(path));
		renameSync(unfinished, path);
		flushFolder(dirname(path));
		return ok({ ok: true, path, ...report });
	} catch (error) {
		discard(unfinished);
		return unwritable(path, error);
	}
}

/** Opens a backup and checks it by its content, and against its manifest where that still lies beside it. */
export async function verifyBackup(
	{ book }: Pick<QueryContext, 'book'>,
	input: { path: string },
): Promise<Result<BackupReport>> {
	const path = resolve(input.path);
	const bad = (why: string) => refuse('backup.invalid', { file: path, why });
	if (isTheBook(path, book)) return bad('it holds the books themselves, not a copy of them');
	const checked = checkCopy(path);
	if (!checked.ok) return checked;
	const manifest = readManifest(path);
	if (manifest === 'unreadable') return bad('its manifest cannot be read');
	if (manifest && manifest.sha256 !== checked.value.sha256) return bad('it is not the file its manifest describes');
	return ok({ ok: true, path, ...checked.value, madeAt: manifest?.madeAt ?? statSync(path).mtime.toISOString() });
}

export async function listAudit({ db, farm }: QueryContext, { limit }: { limit: number }) {
	const rows = await readAudit(db, limit);
	return ok(
		rows.map((row) => ({
			seq: row.seq,
			at: toIso(row.at, farm.zone),
			procedure: row.procedure,
			who: row.who,
			input: row.input,
			changes: row.changes,
		})),
	);
}

export async function about({ book, db, demo, farm }: QueryContext) {
	const counted = await countRows(db);
	const { sprayed, moved } = await firstEntries(db);
	const first = [sprayed, moved === null ? null : toLocalDate(moved, farm.zone)].filter((day) => day !== null);
	return ok({
		folder: book.folder,
		version: PROGRAM,
		sqlite: sqliteVersion(book.reader),
		schema: readMigrations().length,
		...counted,
		begins: first.sort()[0] ?? null,
		demo,
	});
}

/** How far the looking through of the books is that follows their opening. */
export function opening({ book, now }: QueryContext) {
	const { state, why, bytes, since } = book.pages;
	return ok({
		state,
		why,
		megabytes: Math.round(bytes / 1_000_000),
		forS: Math.max(0, Math.round((now - since) / 1000)),
	});
}

function manifestPath(path: string): string {
	return `${path}.manifest.json`;
}

function readManifest(path: string): Manifest | 'unreadable' | null {
	if (!existsSync(manifestPath(path))) return null;
	try {
		return JSON.parse(readFileSync(manifestPath(path), 'utf8')) as Manifest;
	} catch {
		return 'unreadable';
	}
}

/** Reading the open file with anything but SQLite would drop the locks it is held by (sqlite.org/howtocorrupt.html §2.2). */
function isTheBook(path: string, book: Book): boolean {
	const [asked, open] = [path, book.file].map((file) => statSync(file, { throwIfNoEntry: false }));
	return asked !== undefined && open !== undefined && asked.ino === open.ino && asked.dev === open.dev;
}

/** Removes a file that is no use to anyone. Where that fails, what went wrong before is the thing to tell. */
export function discard(path: string): void {
	try {
		rmSync(path, { force: true });
	} catch {
		// A folder that is gone or full: nothing to remove.
	}
}

/** Why a file could not be written, as a refusal; a bug goes on. */
export function unwritable(path: string, error: unknown): Result<never> {
	const { code, message } = error as { code?: string; message: string };
	if (code === undefined) throw error;
	if (code === 'ENOSPC' || code === 'SQLITE_FULL') return refuse('data.full');
	return refuse('file.notWritten', { file: path, why: message });
}
