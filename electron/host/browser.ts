import { accessSync, constants, statSync } from 'node:fs';
import { delimiter, join, posix, win32 } from 'node:path';

export type Machine = {
	readonly platform: NodeJS.Platform;
	readonly env: Readonly<Record<string, string | undefined>>;
};

/** Where a Chromium, Chrome or Edge may be, the best guess first. `CHROMIUM_PATH` names one by hand. */
export function browserPlaces({ platform, env }: Machine): string[] {
	const byHand = env['CHROMIUM_PATH'] ? [env['CHROMIUM_PATH']] : [];
	if (platform === 'win32') {
		const roots = ['ProgramFiles', 'ProgramFiles(x86)', 'LOCALAPPDATA'].flatMap((name) => env[name] ?? []);
		const files = [
			'Google\\Chrome\\Application\\chrome.exe',
			'Chromium\\Application\\chrome.exe',
			'Microsoft\\Edge\\Application\\msedge.exe',
		];
		return [...byHand, ...files.flatMap((file) => roots.map((root) => win32.join(root, file)))];
	}
	if (platform === 'darwin') {
		const names = ['Google Chrome', 'Chromium', 'Microsoft Edge'];
		const roots = ['/Applications', ...(env['HOME'] ? [posix.join(env['HOME'], 'Applications')] : [])];
		return [...byHand, ...names.flatMap((name) => roots.map((root) => `${root}/${name}.app/Contents/MacOS/${name}`))];
	}
	const names = [
		'chromium',
		'chromium-browser',
		'google-chrome',
		'google-chrome-stable',
		'microsoft-edge',
		'microsoft-edge-stable',
	];
	const folders = [
		...new Set([
			'/usr/bin',
			'/usr/local/bin',
			...(env['PATH'] ?? '').split(':').filter((folder) => posix.isAbsolute(folder)),
		]),
	];
	return [...byHand, ...names.flatMap((name) => folders.map((folder) => posix.join(folder, name)))];
}

/** The first browser that is there and may be run; null where none is. */
export function findBrowser(
	machine: Machine = { platform: process.platform, env: process.env },
	canRun: (file: string) => boolean = isProgram,
): string | null {
	return browserPlaces(machine).find(canRun) ?? null;
}

/** A program of this name on PATH, or null. */
export function findOnPath(name: string): string | null {
	const folders = (process.env['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '');
	return folders.map((folder) => join(folder, name)).find(isProgram) ?? null;
}

/** Chromium's sandbox does not run as root; nobody but root is asked to do without. */
export function sandboxFlags(): string[] {
	return process.getuid?.() === 0 ? ['--no-sandbox'] : [];
}

function isProgram(file: string): boolean {
	try {
		accessSync(file, constants.X_OK);
		return statSync(file).isFile();
	} catch {
		return false;
	}
}
