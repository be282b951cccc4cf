import { createHash } from 'node:crypto';
import {
	closeSync,
	existsSync,
	fsyncSync,
	mkdirSync,
	openSync,
	readFileSync,
	renameSync,
	rmSync,
	statSync,
	writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { sql } from 'drizzle-orm';
import { chainHead } from '../../db/chain.ts';
import { APPLICATION_ID, openDb, peekHeader, type Sqlite } from '../../db/connection.ts';
import { readMigrations } from '../../db/migrate.ts';
import { PROGRAM, readAudit } from '../../db/modules/audit.ts';
import { checkChain } from '../../db/modules/records.ts';
import { databaseFiles } from '../../db/open-book.ts';
import { movement, sprayRecord } from '../../db/tables.ts';
import { type ReadDb, readHandle } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { toIso } from './clock.ts';
import type { QueryContext } from './handler.ts';

type BackupReport = {
	readonly ok: boolean;
	readonly path: string;
	readonly records: number;
	readonly movements: number;
	readonly head: string;
	readonly sha256: string;
	readonly madeAt: string;
};

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
		rmSync(unfinished, { force: true });
		book.reader.prepare('VACUUM INTO ?').run(unfinished);
		flush(unfinished);
		const checked = await checkDatabase(unfinished);
		if (!checked.ok) return checked;
		const report = { ...checked.value, madeAt: toIso(now, farm.zone) };
		const manifest: Manifest = { ...report, program: PROGRAM, schema: readMigrations().length };
		writeFileSync(manifestPath(path), `${JSON.stringify(manifest, null, '\t')}\n`);
		flush(manifestPath(path));
		renameSync(unfinished, path);
		flush(dirname(path));
		return ok({ ok: true, path, ...report });
	} catch (error) {
		rmSync(unfinished, { force: true });
		return unwritable(path, error);
	}
}

export async function verifyBackup(_: QueryContext, input: { path: string }): Promise<Result<BackupReport>> {
	const path = resolve(input.path);
	const checked = await checkDatabase(path);
	if (!checked.ok) return checked;
	const manifest = readManifest(path);
	if (manifest && manifest.sha256 !== checked.value.sha256) {
		return refuse('backup.invalid', { file: path, why: 'it is not the file its manifest describes' });
	}
	return ok({ ok: true, path, ...checked.value, madeAt: manifest?.madeAt ?? statSync(path).mtime.toISOString() });
}

/** Puts a checked backup in the place of the books. The present files are moved aside together, never deleted. */
export async function restore({ book, now }: QueryContext, input: { path: string }) {
	const path = resolve(input.path);
	const checked = await checkDatabase(path);
	if (!checked.ok) return checked;
	const setAside = join(book.folder, `before-restore-${new Date(now).toISOString().replaceAll(/[:.]/g, '-')}`);
	const incoming = `${book.file}.incoming`;
	try {
		rmSync(incoming, { force: true });
		copyByVacuum(path, incoming);
	} catch (error) {
		rmSync(incoming, { force: true });
		return unwritable(incoming, error);
	}
	const done = await book.replaceFiles(() => {
		mkdirSync(setAside, { recursive: true, mode: 0o700 });
		const moved: [from: string, to: string][] = [];
		try {
			for (const file of databaseFiles(book.file)) {
				const to = join(setAside, file.slice(book.folder.length + 1));
				renameSync(file, to);
				moved.push([file, to]);
			}
			renameSync(incoming, book.file);
			flush(book.folder);
		} catch (error) {
			for (const [from, to] of moved) renameSync(to, from);
			throw error;
		}
	});
	return done.ok ? ok({ ok: true, path, setAside }) : done;
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

export async function about({ book, db, demo }: QueryContext) {
	const counted = await counts(db);
	return ok({
		folder: book.folder,
		version: PROGRAM,
		sqlite: String(book.reader.prepare('SELECT sqlite_version()').pluck().get()),
		schema: readMigrations().length,
		...counted,
		demo,
	});
}

type Checked = Omit<BackupReport, 'ok' | 'path' | 'madeAt'>;

/** Opens a database file that is not in use and checks pages, references, all three chains and counts. */
async function checkDatabase(path: string): Promise<Result<Checked>> {
	const bad = (why: string) => refuse('backup.invalid', { file: path, why });
	const header = peekHeader(path);
	if (header.kind === 'missing') return refuse('file.missing', { file: path });
	if (header.kind !== 'sqlite') return bad('it is not a database');
	if (header.applicationId !== APPLICATION_ID) return bad('it belongs to another program');
	if (header.userVersion !== readMigrations().length) return bad('it was made by another version of the program');
	const sha256 = createHash('sha256').update(readFileSync(path)).digest('hex');
	let sqlite: Sqlite | null = null;
	try {
		sqlite = openDb(path, { readonly: true });
		const pages = String(sqlite.pragma('integrity_check(1)', { simple: true }));
		if (pages !== 'ok') return bad(pages);
		if ((sqlite.pragma('foreign_key_check') as unknown[]).length > 0) return bad('rows refer to rows that are gone');
		const db = readHandle(sqlite);
		for (const chain of ['records', 'ledger', 'audit'] as const) {
			const { firstBad } = await checkChain(db, chain);
			if (firstBad) return bad(`the chain of the ${chain} is broken: ${firstBad.why}`);
		}
		return ok({ ...(await counts(db)), head: (await chainHead(db, 'records')).hash, sha256 });
	} catch (error) {
		return bad((error as Error).message);
	} finally {
		sqlite?.close();
	}
}

async function counts(db: ReadDb): Promise<{ records: number; movements: number }> {
	const count = sql<number>`count(*)`;
	const [records] = await db.select({ count }).from(sprayRecord);
	const [movements] = await db.select({ count }).from(movement);
	return { records: records?.count ?? 0, movements: movements?.count ?? 0 };
}

function copyByVacuum(from: string, to: string): void {
	const sqlite = openDb(from, { readonly: true });
	try {
		sqlite.prepare('VACUUM INTO ?').run(to);
	} finally {
		sqlite.close();
	}
	flush(to);
}

function manifestPath(path: string): string {
	return `${path}.manifest.json`;
}

function readManifest(path: string): Manifest | null {
	try {
		return JSON.parse(readFileSync(manifestPath(path), 'utf8')) as Manifest;
	} catch {
		return null;
	}
}

/** Makes sure that what was written is on the disk. */
function flush(path: string): void {
	const handle = openSync(path, 'r');
	try {
		fsyncSync(handle);
	} finally {
		closeSync(handle);
	}
}

function unwritable(path: string, error: unknown): Result<never> {
	const { code, message } = error as { code?: string; message: string };
	if (code === 'ENOSPC' || code === 'SQLITE_FULL') return refuse('data.full');
	return refuse('file.notWritten', { file: path, why: message });
}
