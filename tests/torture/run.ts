/**
 * `npm run torture`: kills the program, cuts its power, breaks its disk and tears its files, and says what was lost.
 * Beside each stands a control: the same with its guard taken away, which must be found out.
 *
 *   npm run torture                   some twenty minutes
 *   npm run torture -- --quick        a first look
 *   npm run torture -- --long         a night
 *   npm run torture -- power torn     only the suites with these words in their names
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildChildren } from './children.ts';
import { compileDisk } from './disk-library.ts';
import { lineOf, type Size } from './outcome.ts';
import { suites } from './suites.ts';

const args = process.argv.slice(2);
const size: Size = args.includes('--quick') ? 'quick' : args.includes('--long') ? 'long' : 'usual';
const words = args.filter((arg) => !arg.startsWith('--'));
const chosen = suites.filter(({ name }) => words.length === 0 || words.some((word) => name.includes(word)));

const folder = mkdtempSync(join(tmpdir(), 'fillmark-torture-'));
const children = await buildChildren();
const disk = compileDisk(folder);
const started = performance.now();
let failed = 0;
let skipped = 0;
try {
	for (const [index, suite] of chosen.entries()) {
		const own = join(folder, String(index));
		mkdirSync(own);
		const outcome = await suite.run({ children, disk, folder: own, size });
		if (outcome.good === false) failed += 1;
		if (outcome.good === null) skipped += 1;
		console.log(lineOf(outcome));
		rmSync(own, { recursive: true, force: true });
	}
} finally {
	children.remove();
	rmSync(folder, { recursive: true, force: true });
}
const minutes = ((performance.now() - started) / 60_000).toFixed(1);
console.log(
	`${chosen.length - failed - skipped} held, ${failed} failed, ${skipped} skipped, in ${minutes} min (${size})`,
);
process.exitCode = failed > 0 || chosen.length === 0 ? 1 : 0;
