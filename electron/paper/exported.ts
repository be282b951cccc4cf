import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { plainFileName } from '../host/incoming-file.ts';

const LONGEST_NAME = 80;

/** Where a paper or report goes: the path asked for, else a plain name in the exports folder of the books. */
export function exportPath(bookFolder: string, asked: string | undefined, name: string, ending: string): string {
	if (asked !== undefined) return resolve(asked);
	const plain = plainFileName(
		name
			.replace(/[\\/]/g, '-')
			.replace(/^[\s=+@'-]+/, '')
			.slice(0, LONGEST_NAME),
	);
	return join(bookFolder, 'exports', `${plain}.${ending}`);
}

/**
 * Writes a file whole or not at all: under a name of its own first. A file that is there already is replaced: a path
 * asked for is the caller's wish, and what lies in the exports folder can be made again at any time.
 */
export function writeExport(path: string, bytes: Uint8Array): Result<string> {
	const unfinished = join(dirname(path), `.${randomBytes(6).toString('hex')}.unfinished`);
	try {
		if (statSync(path, { throwIfNoEntry: false })?.isDirectory()) {
			return refuse('file.notWritten', { file: path, why: 'it is a folder; name a file in it' });
		}
		mkdirSync(dirname(path), { recursive: true, mode: 0o700 });
		writeFileSync(unfinished, bytes, { mode: 0o600, flush: true });
		renameSync(unfinished, path);
		return ok(path);
	} catch (error) {
		if (existsSync(unfinished)) rmSync(unfinished);
		const { code, message } = error as { code?: string; message: string };
		return code === 'ENOSPC' ? refuse('data.full') : refuse('file.notWritten', { file: path, why: message });
	}
}
