/** The command line door: JSON in, JSON out. See `usage` in run.ts. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { createBrowserPrinter } from '../host/browser-printer.ts';
import { callersFolder, dataFolderHere, prepareDataFolder } from '../host/data-folder.ts';
import { loadProgram } from '../host/load-program.ts';
import { type Log, openLog } from '../host/log.ts';
import { runCall } from './run.ts';

const folder = callersFolder('call');

// Stdout carries the answer alone, whatever a library may print.
console.log = console.error;
console.info = console.error;
// A reader that has seen enough (`| head`) is no mistake of ours.
process.stdout.on('error', () => process.exit(1));

/** What goes to the log is told on stderr too: the caller is the one who can act on it. */
function tellingToo(log: Log): Log {
	return (line) => {
		log(line);
		console.error(line);
	};
}

const status = await runCall(process.argv.slice(2), {
	folder,
	patienceMs: 60_000,
	readStdin: () => readFileSync(0, 'utf8'),
	prepareDataFolder: (asked) => prepareDataFolder(asked === undefined ? dataFolderHere() : resolve(folder, asked)),
	loadProgram: (data) => loadProgram(createBrowserPrinter(), data === null ? console.error : tellingToo(openLog(data))),
	out: (text) => process.stdout.write(text),
	err: (text) => process.stderr.write(text),
});
// Whatever may still be running, the call is over once its answer is out.
process.stdout.write('', () => process.stderr.write('', () => process.exit(status)));
