import { existsSync, mkdirSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { electronBinary, fetchElectron } from '../../../../electron/host/electron-binary.ts';
import { scratchFolder } from '../scratch.ts';

/** A project whose Electron package fetches its program by this script. */
function projectWith(script: string): string {
	const root = scratchFolder();
	const folder = join(root, 'node_modules', 'electron');
	mkdirSync(folder, { recursive: true });
	const helpers =
		"const { mkdirSync, writeFileSync, appendFileSync } = require('node:fs'); const { join } = require('node:path');";
	writeFileSync(join(folder, 'install.js'), `${helpers}\nappendFileSync(join(__dirname, 'tries'), 'x');\n${script}`);
	return root;
}

const succeeds =
	"mkdirSync(join(__dirname, 'dist')); writeFileSync(join(__dirname, 'dist', 'electron'), ''); writeFileSync(join(__dirname, 'path.txt'), 'electron');";

test('a program that is there is taken, also from a place named by hand', () => {
	const root = projectWith('');
	const elsewhere = scratchFolder();
	writeFileSync(join(elsewhere, 'electron'), '');
	writeFileSync(join(root, 'node_modules', 'electron', 'path.txt'), 'electron\n');
	expect([electronBinary(root, {}), electronBinary(root, { ELECTRON_OVERRIDE_DIST_PATH: elsewhere })]).toEqual([
		null,
		join(elsewhere, 'electron'),
	]);
});

test('a missing program is fetched once', async () => {
	const root = projectWith(succeeds);
	const binary = join(root, 'node_modules', 'electron', 'dist', 'electron');
	expect([await fetchElectron(root), await fetchElectron(root)]).toEqual([binary, binary]);
});

test.each([
	['is refused', 'process.exit(1)'],
	['hangs', 'setInterval(() => {}, 1000)'],
])('a fetch that %s is given up and not tried again the same day', async (_, script) => {
	const root = projectWith(script);
	const failed = join(root, 'build', 'electron-not-fetched');
	const first = await fetchElectron(root, Date.now(), 500);
	expect([first, existsSync(failed)]).toEqual([null, true]);
	writeFileSync(
		join(root, 'node_modules', 'electron', 'install.js'),
		`const { mkdirSync, writeFileSync } = require('node:fs'); const { join } = require('node:path');\n${succeeds}`,
	);
	expect(await fetchElectron(root)).toBeNull();
	const yesterday = new Date(Date.now() - 25 * 3_600_000);
	utimesSync(failed, yesterday, yesterday);
	expect(await fetchElectron(root)).toBe(join(root, 'node_modules', 'electron', 'dist', 'electron'));
});
