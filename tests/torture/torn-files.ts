import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkCopy, closeWhole, writeCopy } from '../../db/backup.ts';
import { openDb } from '../../db/connection.ts';
import { checkChain } from '../../db/modules/records.ts';
import { type Book, DATABASE_NAME, openBook } from '../../db/open-book.ts';
import { relink, triggers } from '../unit/db/chain-rows.ts';
import { apiOf, layOut, logLoadWithSheet, opened } from './children/farm.ts';
import type { Disk } from './disk-record.ts';
import { keptSheets } from './inspect.ts';

export type TornCount = {
	readonly copies: number;
	/** Refused at the start, in words. */
	readonly refused: number;
	/** Opened, and all of it an earlier state: the damage lay in free space, or in what was written last. */
	readonly sound: number;
	/** Opened, and the chains, or the check of the next backup, show the damage. */
	readonly found: number;
	/** Opened as if nothing were wrong although rows are missing or changed. */
	readonly silent: readonly string[];
	/** Broke down without words. */
	readonly broken: readonly string[];
};

type Damage = (disk: Disk, random: () => number) => { readonly what: string; readonly disk: Disk };

const SECTOR_BYTES = 512;
const MOST_FLIPPED = 64;

const damages: readonly Damage[] = [
	({ database, log }, random) => {
		const at = sector(database, random);
		return { what: `database cut at ${at}`, disk: { database: database.subarray(0, at), log } };
	},
	({ database, log }, random) => {
		const at = sector(log, random);
		return { what: `log cut at ${at}`, disk: { database, log: log.subarray(0, at) } };
	},
	({ database, log }, random) => {
		const at = Math.floor(random() * database.length);
		return { what: `database flipped at ${at}`, disk: { database: flipped(database, at, random), log } };
	},
	({ database, log }, random) => {
		const at = Math.floor(random() * log.length);
		return { what: `log flipped at ${at}`, disk: { database, log: flipped(log, at, random) } };
	},
	({ database }) => ({ what: 'log emptied', disk: { database, log: Buffer.alloc(0) } }),
	({ log }) => ({ what: 'database emptied', disk: { database: Buffer.alloc(0), log } }),
];

type Tearing = {
	readonly folder: string;
	readonly copies: number;
	readonly random: () => number;
	/** The control: one word altered and every link after it computed anew, which no check can see. */
	readonly rewritten?: boolean;
	/** As large books are opened: read at once, looked through aside. The control, `hasty`, does not wait for that to write. */
	readonly aside?: 'waiting' | 'hasty';
};

/** Damages copies of books that were not closed and opens each: refused, found by the chains, or an earlier state. */
export async function tearFiles({ folder, copies, random, rewritten, aside }: Tearing): Promise<TornCount> {
	const { whole, rows, otherLog } = await unclosed(folder);
	const withForeignLog: Damage = ({ database }) => ({ what: 'log of other books', disk: { database, log: otherLog } });
	const count = { copies, refused: 0, sound: 0, found: 0, silent: [] as string[], broken: [] as string[] };
	const ways = rewritten ? [rewrite(join(folder, 'rewritten'))] : [...damages, withForeignLog];
	for (let copy = 0; copy < copies; copy++) {
		const { what, disk } = ways[copy % ways.length]?.(whole, random) ?? { what: 'untouched', disk: whole };
		const verdict = await openTorn({ folder: join(folder, 'torn'), disk, rows, aside });
		if (verdict === 'silent' || verdict === 'broken') count[verdict].push(what);
		else count[verdict] += 1;
	}
	return count;
}

function rewrite(folder: string): Damage {
	return ({ database, log }) => {
		rmSync(folder, { recursive: true, force: true });
		mkdirSync(folder);
		const file = join(folder, DATABASE_NAME);
		writeFileSync(file, database);
		writeFileSync(`${file}-wal`, log);
		const sqlite = openDb(file);
		const guards = sqlite.prepare("SELECT sql FROM sqlite_schema WHERE type = 'trigger'").pluck().all() as string[];
		for (const trigger of triggers(sqlite)) sqlite.exec(`DROP TRIGGER ${trigger}`);
		sqlite.exec("UPDATE movement SET who = 'somebody else' WHERE seq = 1");
		relink(sqlite, 'ledger');
		for (const guard of guards) sqlite.exec(guard);
		closeWhole(sqlite);
		return { what: 'rewritten', disk: { database: readFileSync(file), log: Buffer.alloc(0) } };
	};
}

async function unclosed(folder: string): Promise<{ whole: Disk; rows: Rows; otherLog: Buffer }> {
	const lay = async (place: string, loads: number) => {
		const book = opened(join(folder, place));
		book.writer.sqlite.pragma('wal_autocheckpoint = 0');
		const api = apiOf(book);
		const farm = await layOut(api, book);
		for (let load = 0; load < loads; load++) await logLoadWithSheet(api, farm, `${place} ${load}`);
		return book;
	};
	const [book, other] = [await lay('source', 12), await lay('other', 4)];
	book.writer.sqlite.pragma('wal_checkpoint(PASSIVE)');
	const api = apiOf(book);
	const farm = await layOut(api, book);
	for (let load = 12; load < 24; load++) await logLoadWithSheet(api, farm, `source ${load}`);
	const copyOf = (file: string) => {
		const copy = join(folder, 'copy');
		copyFileSync(file, copy);
		return readFileSync(copy);
	};
	const whole = { database: copyOf(book.file), log: copyOf(`${book.file}-wal`) };
	const result = { whole, rows: rowsOf(book), otherLog: copyOf(`${other.file}-wal`) };
	book.close();
	other.close();
	return result;
}

type Rows = readonly (readonly string[])[];

type Torn = { folder: string; disk: Disk; rows: Rows; aside: Tearing['aside'] };

async function openTorn({ folder, disk, rows, aside }: Torn): Promise<keyof Omit<TornCount, 'copies'>> {
	const { database, log } = disk;
	rmSync(folder, { recursive: true, force: true });
	mkdirSync(folder);
	writeFileSync(join(folder, DATABASE_NAME), database);
	writeFileSync(join(folder, `${DATABASE_NAME}-wal`), log);
	let found: ReturnType<typeof openBook>;
	try {
		found = openBook({ folder, ...(aside ? { checkAsideAbove: 0 } : {}) });
	} catch {
		return 'broken';
	}
	if (!found.ok) return 'refused';
	const book = found.value;
	try {
		if (aside && !(await mayBeWritten(book, aside))) return aside === 'hasty' ? 'silent' : 'refused';
		for (const chain of ['audit', 'ledger', 'records'] as const) {
			if ((await checkChain(book.read, chain)).firstBad) return 'found';
		}
		if (isEarlier(rowsOf(book), rows) && keptSheets(book).half.length === 0) return 'sound';
		const copy = join(folder, 'copy');
		writeCopy(book.reader, copy);
		return checkCopy(copy).ok ? 'silent' : 'found';
	} catch {
		return 'found';
	} finally {
		book.close();
	}
}

/** Whether the looking through aside lets the books be written to; the hasty one has written by then. */
async function mayBeWritten({ writer }: Book, aside: 'waiting' | 'hasty'): Promise<boolean> {
	try {
		if (aside === 'hasty') writer.sqlite.exec('BEGIN IMMEDIATE; UPDATE chain SET seq = seq; COMMIT');
		await writer.mayWrite();
		return true;
	} catch {
		return false;
	}
}

/** Every audit line, ledger line and record, each as one text, in their order. */
function rowsOf({ reader }: Book): Rows {
	return ['audit', 'movement', 'spray_record'].map((table) =>
		reader
			.prepare(`SELECT * FROM ${table} ORDER BY seq`)
			.all()
			.map((row) => JSON.stringify(row)),
	);
}

function isEarlier(some: Rows, all: Rows): boolean {
	return some.every((rows, table) => rows.every((row, place) => all[table]?.[place] === row));
}

function sector({ length }: Buffer, random: () => number): number {
	return SECTOR_BYTES * Math.floor((random() * length) / SECTOR_BYTES);
}

function flipped(bytes: Buffer, at: number, random: () => number): Buffer {
	const copy = Buffer.from(bytes);
	const end = Math.min(copy.length, at + 1 + Math.floor(random() * MOST_FLIPPED));
	for (let place = at; place < end; place++) copy[place] = (copy[place] ?? 0) ^ (1 + Math.floor(random() * 255));
	return copy;
}
