import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Book } from '../../db/open-book.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { DoorContext } from '../procedures/handler.ts';
import { type FolderLock, lockFolder } from './folder-lock.ts';
import { type LocalDoor, type Show, serveLocally } from './local-door.ts';
import {
	newToken,
	type OwnerNote,
	removeOwnerNote,
	socketAddress,
	sweepPrivateTempFolder,
	writeOwnerNote,
} from './owner-note.ts';
import { type BookName, bookNames, type Program } from './program.ts';

/** The one process that has a data folder open. */
export type Owner = {
	readonly folder: string;
	folderOf(book: BookName): string;
	/** What a procedure gets to work with: one of the books, opened at its first use. */
	contextFor(book: BookName): Result<DoorContext>;
	/** Finishes what is being answered, closes the books, frees the folder. */
	close(): Promise<void>;
};

export type OwnerOptions = {
	readonly folder: string;
	readonly door: OwnerNote['door'];
	readonly program: Program;
	/** Brings up the window when another start asks for it. Without it nothing is served on the local socket. */
	readonly show?: Show;
};

/** From this size on looking a book through takes longer than a person likes to wait for a window: about a second. */
const LARGE_BOOK_BYTES = 128 * 1024 * 1024;

/**
 * Makes this process the owner of a prepared data folder; null when another process is. An owner with a window listens on
 * a local socket for this user alone, so that the command line and a second start reach it.
 */
export async function becomeOwner({ folder, door, program, show }: OwnerOptions): Promise<Result<Owner> | null> {
	const lock = lockFolder(folder);
	if (!lock) return null;
	const locks = [lock];
	const books = new Map<BookName, Book>();
	let local: LocalDoor | null = null;
	const open = (name: BookName): Result<Book> => {
		const known = books.get(name);
		if (known) return ok(known);
		const place = owner.folderOf(name);
		if (place !== folder) {
			mkdirSync(place, { recursive: true, mode: 0o700 });
			const second = lockFolder(place);
			if (!second) return refuse('data.inUse', { folder: place, holder: 'unknown' });
			locks.push(second);
		}
		const checkAsideAbove = show ? { checkAsideAbove: LARGE_BOOK_BYTES } : {};
		const opened = program.openBook({ folder: place, ...checkAsideAbove, evenDamaged: true });
		if (opened.ok) books.set(name, opened.value);
		return opened;
	};
	const owner: Owner = {
		folder,
		folderOf: (book) => (book === 'farm' ? folder : join(folder, 'demo-farm')),
		contextFor(name) {
			const opened = open(name);
			const { printer, log } = program;
			return opened.ok
				? ok({ book: opened.value, printer, log, demo: name === 'demo', aside: show !== undefined })
				: opened;
		},
		async close() {
			await local?.close();
			local = null;
			freeFolder(folder, locks, books);
		},
	};
	try {
		const farm = open('farm');
		if (!farm.ok) {
			freeFolder(folder, locks, books);
			return farm;
		}
		sweepPrivateTempFolder();
		const token = newToken();
		const address = show ? socketAddress(folder) : null;
		if (show && address) {
			// Left by an owner that was killed; the lock says that it is gone.
			if (process.platform !== 'win32') rmSync(address, { force: true });
			local = await serveLocally({ address, token, owner, program, show });
		}
		writeOwnerNote(folder, { pid: process.pid, door, address, token, since: new Date().toISOString() });
		return ok(owner);
	} catch (error) {
		await owner.close();
		throw error;
	}
}

function freeFolder(folder: string, locks: FolderLock[], books: Map<BookName, Book>): void {
	try {
		for (const name of bookNames) books.get(name)?.close();
		books.clear();
		removeOwnerNote(folder);
	} finally {
		for (const lock of locks.splice(0)) lock.release();
	}
}
