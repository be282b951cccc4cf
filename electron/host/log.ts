import { appendFileSync, renameSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** Takes one line. Never given a token, a key or the content of an entry. */
export type Log = (line: string) => void;

const LARGEST_LOG_BYTES = 2_000_000;

/** The log of a data folder: `fillmark.log`, with the one before it kept as `fillmark.log.old`. */
export function openLog(folder: string, now: () => number = Date.now): Log {
	const file = join(folder, 'fillmark.log');
	return (line) => {
		try {
			if (sizeOf(file) > LARGEST_LOG_BYTES) renameSync(file, `${file}.old`);
			appendFileSync(file, `${new Date(now()).toISOString()} ${line}\n`, { mode: 0o600 });
		} catch {
			// A log that cannot be written (full disk) must not stop the work it tells of.
		}
	};
}

function sizeOf(file: string): number {
	return statSync(file, { throwIfNoEntry: false })?.size ?? 0;
}
