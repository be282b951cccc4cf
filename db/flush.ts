import { closeSync, fsyncSync, openSync } from 'node:fs';

/** Makes sure that what was written to a file is on the disk. */
export function flushFile(path: string): void {
	flush(path, 'r+');
}

/** Makes sure that names given in a folder are on the disk. Windows has no such call and writes names through. */
export function flushFolder(path: string): void {
	if (process.platform !== 'win32') flush(path, 'r');
}

/** Windows flushes only what is open for writing (FlushFileBuffers needs GENERIC_WRITE). */
function flush(path: string, mode: 'r' | 'r+'): void {
	const handle = openSync(path, mode);
	try {
		fsyncSync(handle);
	} finally {
		closeSync(handle);
	}
}
