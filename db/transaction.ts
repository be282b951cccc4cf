import type Database from 'better-sqlite3';
import { drizzle } from 'drizzle-orm/better-sqlite3';
import type { BaseSQLiteDatabase } from 'drizzle-orm/sqlite-core';
import { invariant } from '../shared/basics/result.ts';
import type { Sqlite } from './connection.ts';

type RunResult = { changes: number; lastInsertRowid: number | bigint };
/** Reads. A query gets this from a connection that cannot write. */
export type ReadDb = Pick<
	BaseSQLiteDatabase<'sync', RunResult>,
	'select' | 'selectDistinct' | 'all' | 'get' | '$with' | 'with'
>;
/** Reads and writes inside one command. Also a `ReadDb`, never the reverse. */
export type WriteDb = ReadDb &
	Pick<BaseSQLiteDatabase<'sync', RunResult>, 'insert' | 'update' | 'delete' | 'run'> & {
		/** A statement for many rows: it takes its values as the driver does, without mapping each. */
		readonly prepared: (source: string) => (values: readonly unknown[]) => void;
	};

/** The reading handle of a connection. */
export function readHandle(sqlite: Sqlite): ReadDb {
	return drizzle({ client: cached(sqlite, () => true) });
}

/** One writer: commands run one after another, each in its own BEGIN IMMEDIATE. */
export type Writer = {
	readonly sqlite: Sqlite;
	queue: Promise<unknown>;
	/** Waits until the books may be written to; fails where they must not be. */
	readonly mayWrite: () => Promise<void>;
};

export function createWriter(sqlite: Sqlite, mayWrite: Writer['mayWrite'] = async () => {}): Writer {
	return { sqlite, queue: Promise.resolve(), mayWrite };
}

/**
 * The one transaction function. `body` may await nothing but its handle; the handle stops working when the transaction
 * ends, so that a stray promise cannot write afterwards. `keep` says whether the outcome is committed (a refusal is not).
 */
export function inTransaction<Outcome>(
	writer: Writer,
	body: (tx: WriteDb) => Promise<Outcome>,
	keep: (outcome: Outcome) => boolean,
): Promise<Outcome> {
	const run = async (): Promise<Outcome> => {
		const { sqlite } = writer;
		await writer.mayWrite();
		let open = true;
		const client = cached(sqlite, () => open);
		const prepared: WriteDb['prepared'] = (source) => {
			const statement = client.prepare(source);
			return (values) => void statement.run(...values);
		};
		const tx: WriteDb = Object.assign(drizzle({ client }), { prepared });
		sqlite.exec('BEGIN IMMEDIATE');
		try {
			const outcome = await body(tx);
			open = false;
			sqlite.exec(keep(outcome) ? 'COMMIT' : 'ROLLBACK');
			return outcome;
		} catch (error) {
			open = false;
			// A full disk or an I/O error may have rolled back already.
			if (sqlite.inTransaction) sqlite.exec('ROLLBACK');
			throw error;
		}
	};
	const turn = writer.queue.then(run, run);
	writer.queue = turn.catch(() => {});
	return turn;
}

type Prepared = Database.Statement<unknown[]>;
const statements = new WeakMap<Sqlite, Map<string, Prepared>>();
const MOST_STATEMENTS = 500;

/** What drizzle needs of a connection: prepared statements, kept, and refused once the handle is closed. */
function cached(sqlite: Sqlite, isOpen: () => boolean): Sqlite {
	const kept = statements.get(sqlite) ?? new Map<string, Prepared>();
	statements.set(sqlite, kept);
	const guard = <Arguments extends unknown[], Answer>(call: (...args: Arguments) => Answer) => {
		return (...args: Arguments): Answer => {
			invariant(isOpen(), 'a command touched the books after its transaction had ended');
			return call(...args);
		};
	};
	const prepare = (source: string) => {
		let statement = kept.get(source);
		if (!statement) {
			statement = sqlite.prepare<unknown[]>(source);
			if (kept.size >= MOST_STATEMENTS) kept.clear();
			kept.set(source, statement);
		}
		const real = statement;
		return {
			run: guard((...args: unknown[]) => real.run(...args)),
			all: guard((...args: unknown[]) => (real.reader ? real.raw(false) : real).all(...args)),
			get: guard((...args: unknown[]) => (real.reader ? real.raw(false) : real).get(...args)),
			raw: () => ({
				all: guard((...args: unknown[]) => real.raw(true).all(...args)),
				get: guard((...args: unknown[]) => real.raw(true).get(...args)),
			}),
		};
	};
	return { prepare: guard(prepare) } as unknown as Sqlite;
}
