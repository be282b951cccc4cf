import { randomBytes } from 'node:crypto';
import { constants, copyFileSync, existsSync, linkSync, mkdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { uuidV7 } from '../shared/basics/id.ts';
import type { Problem } from '../shared/basics/problem.ts';
import { InvariantError, invariant, ok, type Result, refuse } from '../shared/basics/result.ts';
import { closeWhole, writeCopy } from './backup.ts';
import { APPLICATION_ID, assertSettings, openDb, peekHeader, type Sqlite } from './connection.ts';
import { flushFile, flushFolder } from './flush.ts';
import { type Migration, migrate, readMigrations, readSnapshot, schemaText } from './migrate.ts';
import { createFarm } from './modules/settings.ts';
import { bytesOf, type CheckAside, checkAside, type PageCheck, whatIsDamaged } from './page-check.ts';
import { createWriter, type ReadDb, readHandle, type Writer } from './transaction.ts';

/** One data folder, opened: the records of one farm. */
export type Book = {
	readonly folder: string;
	readonly file: string;
	readonly read: ReadDb;
	readonly reader: Sqlite;
	readonly writer: Writer;
	/** Whether all of it was looked through. */
	readonly pages: PageCheck;
	/** Puts another database file in the place of the books, in the commands' own queue; the present one goes to a folder. */
	replaceBy(incoming: string, setAside: string): Promise<Result<null>>;
	/** Has something done before the connections close: other readers of the file end first. */
	beforeClose(listener: () => Promise<void>): void;
	close(): void;
};

export const DATABASE_NAME = 'fillmark.sqlite';
const LOG_FILES = ['-wal', '-shm'] as const;

type Connections = {
	readonly reader: Sqlite;
	readonly read: ReadDb;
	readonly writer: Writer;
	readonly check: Pick<CheckAside, 'now' | 'end'> | null;
};
type Opening = {
	readonly folder: string;
	readonly now: number;
	readonly checkAsideAbove: number;
	readonly evenDamaged: boolean;
};

/**
 * Opens the books in a folder, creating them where there are none and bringing older ones up to date after a backup.
 * Refuses what is not ours (`data.foreign`), newer (`data.newer`) or damaged (`data.damaged`), and leaves it untouched.
 * Books of more than `checkAsideAbove` bytes can be read at once: they are looked through meanwhile, and nothing is
 * written before that is done. The caller holds the folder's lock.
 */
export function openBook({
	folder,
	now: openedAt = Date.now(),
	checkAsideAbove = Number.POSITIVE_INFINITY,
	evenDamaged = false,
}: {
	folder: string;
	now?: number;
	checkAsideAbove?: number;
	evenDamaged?: boolean;
}): Result<Book> {
	const opening = { folder, now: openedAt, checkAsideAbove, evenDamaged };
	const file = join(folder, DATABASE_NAME);
	const first = connect(file, opening);
	if (!first.ok) return first;
	let now = first.value;
	let listeners: (() => Promise<void>)[] = [];
	const closeNow = () => {
		now.reader.close();
		now.writer.sqlite.close();
	};
	const endReaders = () => {
		const ending = [...listeners, async () => now.check?.end()].map((end) => end());
		listeners = [];
		return Promise.all(ending);
	};
	return ok({
		folder,
		file,
		get read() {
			return now.read;
		},
		get reader() {
			return now.reader;
		},
		get writer() {
			return now.writer;
		},
		get pages() {
			return now.check?.now ?? CHECKED_BEFORE;
		},
		replaceBy(incoming, setAside) {
			const turn = now.writer.queue.then(async (): Promise<Result<null>> => {
				await endReaders();
				now.reader.close();
				const inLog = now.writer.sqlite.pragma('wal_checkpoint(TRUNCATE)') as { busy: number }[];
				now.writer.sqlite.close();
				try {
					if (inLog[0]?.busy !== 0) return refuse('data.inUse', { folder, holder: 'something that reads it' });
					swap(file, incoming, setAside);
				} finally {
					const again = connect(file, opening);
					invariant(again.ok, `the books could not be opened again: ${again.ok ? '' : again.problem.code}`);
					now = again.value;
				}
				return ok(null);
			});
			now.writer.queue = turn.catch(() => {});
			return turn;
		},
		beforeClose(listener) {
			listeners.push(listener);
		},
		close() {
			void endReaders();
			closeNow();
		},
	});
}

/** Looked through before they were opened, or by the thread that opened them. */
const CHECKED_BEFORE: PageCheck = { state: 'sound', why: null, bytes: 0, since: 0 };

/** The books for a second thread of the process that has them open: they can only be read. */
export function openForReading(file: string, folder: string): Book {
	const reader = openDb(file, { readonly: true });
	const noWriter = (): never => {
		throw new InvariantError('this thread can only read');
	};
	return {
		folder,
		file,
		read: readHandle(reader),
		reader,
		get writer() {
			return noWriter();
		},
		pages: CHECKED_BEFORE,
		replaceBy: noWriter,
		beforeClose: () => {},
		close: () => reader.close(),
	};
}

/**
 * The new file takes the old one's name in one step, so that a process killed at any moment leaves the old books or the
 * new ones. The old file has everything in it by then: its write-ahead log was emptied and only its leftovers move along.
 */
function swap(file: string, incoming: string, setAside: string): void {
	mkdirSync(setAside, { recursive: true, mode: 0o700 });
	const kept = join(setAside, DATABASE_NAME);
	try {
		if (existsSync(file)) linkSync(file, kept);
	} catch {
		// A disk without hard links, such as a memory stick.
		copyFileSync(file, kept, constants.COPYFILE_EXCL);
		flushFile(kept);
	}
	for (const suffix of LOG_FILES) if (existsSync(file + suffix)) renameSync(file + suffix, kept + suffix);
	flushFolder(setAside);
	renameSync(incoming, file);
	flushFolder(dirname(file));
}

function connect(file: string, opening: Opening): Result<Connections> {
	const connected = connectSound(file, opening);
	if (connected.ok || !opening.evenDamaged || connected.problem.code !== 'data.damaged') return connected;
	return ok(inPlaceOfDamaged(file, String(connected.problem.details['why']), opening));
}

/** Empty books in memory, for the one thing that is still done: damaged books give way to a backup. */
function inPlaceOfDamaged(file: string, why: string, { now: since }: Opening): Connections {
	const [reader, writer] = [emptyBooks(since), emptyBooks(since)];
	const now: PageCheck = { state: 'damaged', why, bytes: bytesOf(file), since };
	return { reader, read: readHandle(reader), writer: createWriter(writer), check: { now, end: async () => {} } };
}

function emptyBooks(now: number): Sqlite {
	const sqlite = openDb(':memory:');
	migrate(sqlite, readMigrations());
	enterFarm(sqlite, now);
	return sqlite;
}

function enterFarm(sqlite: Sqlite, now: number): void {
	const ids = { farm: uuidV7(now, randomBytes(10)), device: uuidV7(now, randomBytes(10)) };
	createFarm(sqlite, ids, Intl.DateTimeFormat().resolvedOptions().timeZone);
}

function connectSound(file: string, opening: Opening): Result<Connections> {
	const migrations = readMigrations();
	const trouble = whatIsWrong(file, migrations.length);
	if (trouble) return { ok: false, problem: trouble };
	let writer: Sqlite | null = null;
	try {
		mkdirSync(opening.folder, { recursive: true, mode: 0o700 });
		if (!existsSync(file)) createDatabase(file, migrations, opening);
		writer = openDb(file);
		const sqlite = writer;
		let updated = false;
		migrate(sqlite, migrations, () => {
			updated = true;
			backUpBefore(sqlite, opening);
		});
		const isAside = !updated && bytesOf(file) > opening.checkAsideAbove;
		const damage = isAside ? changedRules(sqlite) : (whatIsDamaged(sqlite) ?? changedRules(sqlite));
		if (damage) {
			sqlite.close();
			return refuse('data.damaged', { file, why: damage });
		}
		if (!isAside) assertDurable(sqlite);
		const reader = openDb(file, { readonly: true });
		const check = isAside ? checkAside(file, reader, opening.now) : null;
		return ok({ reader, read: readHandle(reader), writer: createWriter(sqlite, afterCheck(sqlite, check)), check });
	} catch (error) {
		writer?.close();
		const { code = '', message } = error as { code?: string; message: string };
		if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB') {
			return refuse('data.damaged', { file, why: message });
		}
		if (code.startsWith('SQLITE_READONLY') || code.startsWith('SQLITE_CANTOPEN')) {
			return refuse('data.notWritable', { folder: opening.folder, why: `${DATABASE_NAME} cannot be written to` });
		}
		if (code === 'SQLITE_FULL' || code === 'ENOSPC') return refuse('data.full');
		if (code === 'EIO' || code.startsWith('SQLITE_IOERR')) return refuse('data.diskFault', { why: message });
		throw error;
	}
}

function whatIsWrong(file: string, known: number): Problem | null {
	const header = peekHeader(file);
	if (header.kind === 'missing') return leftBehind(file);
	if (header.kind === 'folder') return { code: 'data.foreign', details: { file, why: 'it is a folder' } };
	if (header.kind === 'empty') return { code: 'data.foreign', details: { file, why: 'it is empty' } };
	if (header.kind === 'other') return { code: 'data.foreign', details: { file, why: 'it is not an SQLite database' } };
	if (header.applicationId !== APPLICATION_ID) {
		const why = header.applicationId === 0 ? 'no program has signed it' : 'it belongs to another program';
		return { code: 'data.foreign', details: { file, why } };
	}
	if (header.userVersion > known) return { code: 'data.newer', details: { file, have: header.userVersion, known } };
	return null;
}

/** A write-ahead log without its database: new books beside it would take in its pages. */
function leftBehind(file: string): Problem | null {
	if (!existsSync(`${file}-wal`) || statSync(`${file}-wal`).size === 0) return null;
	const why = `it is gone, and ${DATABASE_NAME}-wal still holds what was entered last`;
	return { code: 'data.damaged', details: { file, why } };
}

function changedRules(sqlite: Sqlite): string | null {
	const isOurs = schemaText(sqlite) === readSnapshot();
	return isOurs ? null : 'its tables or the rules that guard them were changed from outside';
}

/** The first writing transaction shows whether `synchronous` really holds. */
function assertDurable(sqlite: Sqlite): void {
	sqlite.exec('BEGIN IMMEDIATE; UPDATE chain SET seq = seq; COMMIT');
	assertSettings(sqlite);
}

/** Nothing is written to books that are not looked through yet, this first write neither. */
function afterCheck(sqlite: Sqlite, check: CheckAside | null): () => Promise<void> {
	let isDurable = check === null;
	return async () => {
		await check?.passed;
		if (!isDurable) assertDurable(sqlite);
		isDurable = true;
	};
}

/** A new database gets its name only when it is whole: a start that dies half-way leaves none. */
function createDatabase(file: string, migrations: readonly Migration[], { now }: Opening): void {
	const unfinished = `${file}.new`;
	for (const suffix of ['', ...LOG_FILES, '-journal']) rmSync(unfinished + suffix, { force: true });
	const sqlite = openDb(unfinished);
	migrate(sqlite, migrations);
	enterFarm(sqlite, now);
	closeWhole(sqlite);
	renameSync(unfinished, file);
	flushFolder(dirname(file));
}

/** Like every backup it gets its name only when it is whole and was read back. */
function backUpBefore(sqlite: Sqlite, { folder, now }: Opening): void {
	const backups = join(folder, 'backups');
	mkdirSync(backups, { recursive: true, mode: 0o700 });
	const stamp = new Date(now).toISOString().replaceAll(/[:.]/g, '-');
	const backup = join(backups, `before-update-${stamp}.sqlite`);
	const unfinished = `${backup}.unfinished`;
	rmSync(unfinished, { force: true });
	writeCopy(sqlite, unfinished);
	const copy = openDb(unfinished, { readonly: true });
	const pages = copy.pragma('integrity_check(1)', { simple: true });
	copy.close();
	invariant(pages === 'ok', `the backup before an update is not sound: ${String(pages)}`);
	renameSync(unfinished, backup);
	flushFolder(backups);
}
