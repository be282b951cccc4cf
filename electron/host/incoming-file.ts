import { randomBytes } from 'node:crypto';
import { createWriteStream, mkdirSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';

/** The largest file the page may hand over: the cap of an import. */
export const LARGEST_INCOMING_BYTES = 64 * 1024 * 1024;
/** Files kept at a time; the oldest goes when another comes. */
const MOST_KEPT = 20;

/**
 * Keeps a file the page handed over, under its own plain name in a folder of its own, and answers its path.
 * What arrives only in part, or is too large, leaves nothing behind.
 */
export async function keepIncomingFile(
	dataFolder: string,
	name: string,
	body: AsyncIterable<Uint8Array>,
): Promise<Result<string>> {
	const incoming = join(dataFolder, 'incoming');
	mkdirSync(incoming, { recursive: true, mode: 0o700 });
	dropOldest(incoming);
	const folder = join(incoming, `${Date.now()}-${randomBytes(6).toString('hex')}`);
	mkdirSync(folder, { mode: 0o700 });
	const part = join(folder, 'part');
	let size = 0;
	try {
		await pipeline(
			body,
			async function* (chunks: AsyncIterable<Uint8Array>) {
				for await (const chunk of chunks) {
					size += chunk.length;
					if (size > LARGEST_INCOMING_BYTES) throw new TooLarge();
					yield chunk;
				}
			},
			createWriteStream(part, { mode: 0o600 }),
		);
		const path = join(folder, plainFileName(name));
		renameSync(part, path);
		return ok(path);
	} catch (error) {
		rmSync(folder, { recursive: true, force: true });
		if (error instanceof TooLarge) return refuse('door.tooLarge', { limit: '64 MB' });
		if (error instanceof Error && 'code' in error && error.code === 'ENOSPC') return refuse('data.full');
		throw error;
	}
}

/** Files of an earlier start are of no use to anyone. */
export function forgetIncomingFiles(dataFolder: string): void {
	rmSync(join(dataFolder, 'incoming'), { recursive: true, force: true });
}

/** The last part of a name, without what a file system could take for something else. */
export function plainFileName(name: string): string {
	const last = name.split(/[\\/]/).at(-1) ?? '';
	const plain = last
		.normalize('NFC')
		// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
		.replace(/[\u0000-\u001f\u007f-\u009f<>:"|?*\u202a-\u202e\u2066-\u2069]/g, '_')
		.replace(/^[\s.]+|[\s.]+$/g, '')
		.slice(-120);
	const stem = plain.split('.')[0] ?? '';
	if (plain === '') return 'file';
	return /^(con|prn|aux|nul|com\d|lpt\d)$/i.test(stem) ? `_${plain}` : plain;
}

class TooLarge extends Error {}

function dropOldest(incoming: string): void {
	const kept = readdirSync(incoming).sort();
	for (const name of kept.slice(0, Math.max(0, kept.length - MOST_KEPT + 1))) {
		rmSync(join(incoming, name), { recursive: true, force: true });
	}
}
