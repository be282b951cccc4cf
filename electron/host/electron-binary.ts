import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

const LONGEST_FETCH_MS = 10_000;
const RETRY_AFTER_MS = 24 * 60 * 60_000;

/** Where Electron's program is, or null where it has not been fetched. Its package brings it at the first run, not at install. */
export function electronBinary(
	root: string,
	env: Readonly<Record<string, string | undefined>> = process.env,
): string | null {
	const folder = join(root, 'node_modules', 'electron');
	const name = readOr(join(folder, 'path.txt'), '') || (process.platform === 'win32' ? 'electron.exe' : 'electron');
	const file = join(env['ELECTRON_OVERRIDE_DIST_PATH'] ?? join(folder, 'dist'), name);
	return existsSync(file) ? file : null;
}

/**
 * Electron's program, fetched by its own package where it is missing: for ten seconds at most, and not again within a day
 * of having failed. Null where it cannot be had.
 */
export async function fetchElectron(
	root: string,
	now = Date.now(),
	longestMs = LONGEST_FETCH_MS,
): Promise<string | null> {
	const there = electronBinary(root);
	const failedAt = join(root, 'build', 'electron-not-fetched');
	const failed = statSync(failedAt, { throwIfNoEntry: false })?.mtimeMs ?? 0;
	if (there || now - failed < RETRY_AFTER_MS) return there;
	await runFor(longestMs, join(root, 'node_modules', 'electron', 'install.js'));
	const fetched = electronBinary(root);
	if (fetched) return fetched;
	mkdirSync(dirname(failedAt), { recursive: true });
	writeFileSync(failedAt, '');
	return null;
}

function runFor(longestMs: number, script: string): Promise<void> {
	return new Promise((done) => {
		const child = spawn(process.execPath, [script], { stdio: 'ignore' });
		const late = setTimeout(() => child.kill('SIGKILL'), longestMs);
		const end = () => {
			clearTimeout(late);
			done();
		};
		child.once('exit', end);
		child.once('error', end);
	});
}

function readOr(file: string, otherwise: string): string {
	try {
		return readFileSync(file, 'utf8').trim();
	} catch {
		return otherwise;
	}
}
