import { createHash, randomBytes } from 'node:crypto';
import { lstatSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';

/** Who holds a data folder and how to reach it. Readable by this user alone. */
export type OwnerNote = {
	readonly pid: number;
	readonly door: 'window' | 'browser' | 'call';
	/** Path of the local socket or name of the pipe; null while none is served. */
	readonly address: string | null;
	/** Must come with every request: a named pipe on Windows may be opened by others. */
	readonly token: string;
	readonly since: string;
};

/** Longest socket path that every system takes: sockaddr_un holds 104 bytes on macOS, 108 on Linux, with a closing zero. */
export const LONGEST_SOCKET_PATH = 100;

export function writeOwnerNote(folder: string, note: OwnerNote): void {
	const file = noteFile(folder);
	writeFileSync(`${file}.new`, `${JSON.stringify(note)}\n`, { mode: 0o600 });
	renameSync(`${file}.new`, file);
}

/** The note of the present owner; null where there is none or it is being written. */
export function readOwnerNote(folder: string): OwnerNote | null {
	try {
		return JSON.parse(readFileSync(noteFile(folder), 'utf8')) as OwnerNote;
	} catch {
		return null;
	}
}

export function removeOwnerNote(folder: string): void {
	rmSync(noteFile(folder), { force: true });
}

export function newToken(): string {
	return randomBytes(32).toString('base64url');
}

/** Where the owner of this folder listens: in the folder itself, or under a short name where its path is too long. */
export function socketAddress(folder: string, platform: NodeJS.Platform = process.platform): string {
	const name = createHash('sha256').update(folder).digest('hex').slice(0, 32);
	if (platform === 'win32') return `\\\\.\\pipe\\fillmark-${name}`;
	const inside = join(folder, 'owner.sock');
	return Buffer.byteLength(inside) <= LONGEST_SOCKET_PATH ? inside : join(privateTempFolder(), `${name}.sock`);
}

/** A folder for short-lived things that no other user can look into; under `/tmp` itself where the path would be too long. */
export function privateTempFolder(): string {
	const uid = process.getuid?.() ?? userInfo().username;
	const inTemp = join(tmpdir(), `fillmark-${uid}`);
	const folder = Buffer.byteLength(inTemp) + 40 <= LONGEST_SOCKET_PATH ? inTemp : `/tmp/fillmark-${uid}`;
	mkdirSync(folder, { recursive: true, mode: 0o700 });
	const found = lstatSync(folder);
	const ours = process.platform === 'win32' || (found.uid === process.getuid?.() && (found.mode & 0o077) === 0);
	if (!found.isDirectory() || !ours)
		throw new Error(`${folder} belongs to someone else or is open to others. Remove it.`);
	return folder;
}

/** Removes what programs that were killed left there an hour ago or earlier. Sockets are their owners' own. */
export function sweepPrivateTempFolder(folder: string = privateTempFolder(), now: number = Date.now()): void {
	for (const entry of readdirSync(folder, { withFileTypes: true })) {
		const path = join(folder, entry.name);
		const found = entry.isDirectory() ? statSync(path, { throwIfNoEntry: false }) : undefined;
		if (found && now - found.mtimeMs > 60 * 60_000) rmSync(path, { recursive: true, force: true });
	}
}

function noteFile(folder: string): string {
	return join(folder, 'owner.json');
}
