/** The command line door: JSON in, JSON out. See `usage` in run.ts. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { createBrowserPrinter } from '../host/browser-printer.ts';
import { dataFolderHere, prepareDataFolder } from '../host/data-folder.ts';
import { loadProgram } from '../host/load-program.ts';
import { openLog } from '../host/log.ts';
import { runCall } from './run.ts';

// npm runs its scripts in the project folder and keeps the caller's own folder in INIT_CWD.
const typedIn = process.env['npm_lifecycle_event'] === 'call' ? process.env['INIT_CWD'] : undefined;
const folder = typedIn ?? process.cwd();

// Stdout carries the answer alone, whatever a library may print.
console.log = console.error;
console.info = console.error;

const status = await runCall(process.argv.slice(2), {
	folder,
	patienceMs: 60_000,
	readStdin: () => readFileSync(0, 'utf8'),
	prepareDataFolder: (asked) => prepareDataFolder(asked === undefined ? dataFolderHere() : resolve(folder, asked)),
	loadProgram: (data) => loadProgram(createBrowserPrinter(), data === null ? console.error : openLog(data)),
	out: (text) => process.stdout.write(text),
	err: (text) => process.stderr.write(text),
});
process.exitCode = status;
