import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';

/** Real and hostile boundary files stand beside the project, not in it: their licences differ. */
const root = process.env['FILLMARK_SHARED_DATA'] ?? resolve(import.meta.dirname, '../../shared/data');

/** Path of a file or folder of the shared test data, or null where this machine has none; the test is then skipped and says so. */
export function sharedData(path: string): string | null {
	const full = join(root, path);
	return existsSync(full) ? full : null;
}
