import { statSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import Database from 'better-sqlite3';
import type { Sqlite } from './connection.ts';

/** How far the looking through of the whole book is. Before it is sound nothing is written. */
export type PageCheck = {
	readonly state: 'under way' | 'sound' | 'damaged';
	/** What is wrong, where it is damaged. */
	readonly why: string | null;
	readonly bytes: number;
	/** When it began, UTC milliseconds. */
	readonly since: number;
};

/** What the thread answers: what is wrong, or null. */
export type PageCheckAnswer = { readonly why: string | null };

/** What is wrong with the pages of the books, or with what refers to what; null where nothing is. Reads the whole file. */
export function whatIsDamaged(sqlite: Sqlite): string | null {
	try {
		const pages = String(sqlite.pragma('quick_check(1)', { simple: true }));
		if (pages !== 'ok') return pages.split('\n').at(-1) ?? pages;
		const orphans = sqlite.pragma('foreign_key_check') as unknown[];
		return orphans.length > 0 ? `${orphans.length} rows refer to rows that are gone` : null;
	} catch (error) {
		const { code = '', message } = error as { code?: string; message: string };
		if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB') return message;
		throw error;
	}
}

/** Bytes of the books with what lies in their write-ahead log. */
export function bytesOf(file: string): number {
	return ['', '-wal'].reduce((sum, suffix) => sum + (statSync(file + suffix, { throwIfNoEntry: false })?.size ?? 0), 0);
}

/** A check that runs beside the program. `passed` settles with it: refused as damaged, it fails as SQLite itself would. */
export type CheckAside = { readonly now: PageCheck; readonly passed: Promise<void>; end(): Promise<void> };

/**
 * Looks the books through in a thread of its own, over a connection that can only read. Where the thread breaks down the
 * check is made here: it is never left out.
 */
export function checkAside(file: string, reader: Sqlite, since: number): CheckAside {
	let now: PageCheck = { state: 'under way', why: null, bytes: bytesOf(file), since };
	const entry = import.meta.url.endsWith('.ts') ? './page-check-thread.ts' : './page-check-thread.js';
	const worker = new Worker(new URL(entry, import.meta.url), { workerData: { file } });
	worker.unref();
	let state: 'asked' | 'answered' | 'closed' = 'asked';
	const passed = new Promise<string | null>((done, failed) => {
		worker.once('message', ({ why }: PageCheckAnswer) => {
			state = 'answered';
			done(why);
		});
		const broke = () => {
			if (state === 'closed') failed(new Error('the books were closed'));
			if (state !== 'asked') return;
			state = 'answered';
			done(whatIsDamaged(reader));
		};
		worker.once('error', broke);
		worker.once('exit', broke);
	}).then((why) => {
		now = { ...now, state: why === null ? 'sound' : 'damaged', why };
		if (why !== null) throw new Database.SqliteError(why, 'SQLITE_CORRUPT');
	});
	passed.catch(() => {});
	return {
		get now() {
			return now;
		},
		passed,
		async end() {
			if (state === 'asked') state = 'closed';
			await worker.terminate();
		},
	};
}
