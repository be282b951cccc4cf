/** Provides the browser that tests and pictures need: the one found, else Debian's package, else the test runner's own. */
import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';
import { findBrowser, findOnPath } from './browser.ts';

function run(command: string, args: readonly string[]): boolean {
	const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
	return spawnSync(command, args, { stdio: ['ignore', 2, 2], env }).status === 0;
}

function installPackage(): boolean {
	if (process.platform !== 'linux' || process.getuid?.() !== 0 || !findOnPath('apt-get')) return false;
	console.error('No browser found: installing the Debian package chromium');
	run('apt-get', ['update', '-qq']);
	return run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium']) && findBrowser() !== null;
}

function installRunnersOwn(): boolean {
	console.error('No browser found: asking the test runner to bring its own');
	return run(process.execPath, [
		resolve(import.meta.dirname, '../../node_modules/playwright/cli.js'),
		'install',
		'chromium',
	]);
}

if (findBrowser() === null && !installPackage() && !installRunnersOwn()) {
	console.error('The tests need Chromium, Chrome or Edge. Install one, or name it in CHROMIUM_PATH.');
	process.exitCode = 1;
}
