import { join, resolve } from 'node:path';
import { closeWhole, writeCopy } from '../../db/backup.ts';
import { chainHead } from '../../db/chain.ts';
import { openDb } from '../../db/connection.ts';
import { flushFile } from '../../db/flush.ts';
import { migrate, readMigrations } from '../../db/migrate.ts';
import { commandBefore } from '../../db/modules/audit.ts';
import { createWriter } from '../../db/transaction.ts';
import { InvariantError, ok, type Result } from '../../shared/basics/result.ts';
import type { QueryContext, Transact } from './handler.ts';
import { discard, unwritable, verifyBackup } from './upkeep.ts';

type Restored = { readonly ok: boolean; readonly path: string; readonly setAside: string };

/**
 * Puts a checked backup, brought up to date, in the place of the books. The present file is set aside, never deleted. The audit line stands in
 * the new books before they take their place, so that they are never without it.
 */
export async function restore(
	{ book, db, now }: QueryContext,
	input: { path: string; key?: string | undefined },
	transact: Transact,
): Promise<Result<Restored>> {
	if (input.key && (await commandBefore(db, 'upkeep.restore', input.key))) return transact(doneBefore);
	const path = resolve(input.path);
	const checked = await verifyBackup({ book }, { path });
	if (!checked.ok) return checked;
	const setAside = join(book.folder, `before-restore-${new Date(now).toISOString().replaceAll(/[:.]/g, '-')}`);
	const incoming = `${book.file}.incoming`;
	const isDamaged = book.pages.state === 'damaged';
	const heads = { before: isDamaged ? null : (await chainHead(db, 'records')).hash, after: checked.value.head };
	try {
		copyFile(path, incoming);
		const sqlite = openDb(incoming);
		try {
			migrate(sqlite, readMigrations());
			const written = await transact(async ({ note }) => {
				note({ table: 'books', id: path, ...heads });
				return ok({ ok: true, path, setAside });
			}, createWriter(sqlite));
			if (!written.ok) return written;
		} finally {
			closeWhole(sqlite);
		}
		flushFile(incoming);
		const done = await book.replaceBy(incoming, setAside);
		return done.ok ? ok({ ok: true, path, setAside }) : done;
	} catch (error) {
		return unwritable(incoming, error);
	} finally {
		discardAll(incoming);
	}
}

/** The key is on the books, so that this body is never run: the first answer is given again, or the key is refused. */
async function doneBefore(): Promise<Result<Restored>> {
	throw new InvariantError('a restore that was done before is done again');
}

function copyFile(from: string, to: string): void {
	discardAll(to);
	const sqlite = openDb(from, { readonly: true });
	try {
		writeCopy(sqlite, to);
	} finally {
		sqlite.close();
	}
}

function discardAll(file: string): void {
	for (const suffix of ['', '-wal', '-shm', '-journal']) discard(file + suffix);
}
