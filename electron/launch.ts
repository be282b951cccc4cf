/** `npm start`: the program in a window of its own, else in this computer's browser. */
import { spawn } from 'node:child_process';
import { join, resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { type Problem, sentenceOf } from '../shared/basics/problem.ts';
import { sandboxFlags } from './host/browser.ts';
import { buildIfStale, desktop, importBuilt, page } from './host/build.ts';
import { callersFolder, dataFolderHere, prepareDataFolder } from './host/data-folder.ts';
import { fetchElectron } from './host/electron-binary.ts';
import { NobodyListens, showOwner } from './host/local-line.ts';
import { hasDisplay } from './host/open-browser.ts';
import { readOwnerNote } from './host/owner-note.ts';

const usage = 'npm start -- [--data DIR] [--no-open] [--browser-window] [--port NUMBER]';
/** A call from the command line may hold the folder for a moment. */
const LONGEST_WAIT_MS = 30_000;
const root = join(import.meta.dirname, '..');

const say = (line: string) => console.log(line);
// A line for a terminal that was closed meanwhile is lost; the program and its books are not.
for (const stream of [process.stdout, process.stderr]) stream.on('error', () => undefined);

function readOptions() {
	try {
		const { values } = parseArgs({
			options: {
				data: { type: 'string' },
				'no-open': { type: 'boolean', default: false },
				'browser-window': { type: 'boolean', default: false },
				port: { type: 'string' },
			},
		});
		const port = values.port === undefined ? undefined : Number(values.port);
		if (port !== undefined && !(Number.isInteger(port) && port >= 1024 && port <= 65_535)) {
			throw new Error('--port must be a number from 1024 to 65535');
		}
		return { data: values.data, port, open: !values['no-open'], browserWindow: values['browser-window'] };
	} catch (error) {
		return stop(`${error instanceof Error ? error.message : String(error)}\n${usage}`);
	}
}

function stop(line: string): never {
	console.error(line);
	process.exit(1);
}

function stopFor(problem: Problem): never {
	return stop(sentenceOf(problem));
}

/** True when another process has the folder open and has shown its window. */
async function shownByOwner(folder: string): Promise<boolean> {
	const note = readOwnerNote(folder);
	if (!note?.address) return false;
	try {
		const address = await showOwner(note);
		say(
			address === null ? 'Fillmark is already open; its window comes up.' : `Fillmark is already open. Open ${address}`,
		);
		return true;
	} catch (error) {
		if (error instanceof NobodyListens) return false;
		throw error;
	}
}

/** Runs the desktop window to its end; false when it could not be had or broke down at once. */
async function ranInElectron(folder: string): Promise<boolean> {
	const binary = await fetchElectron(root);
	if (!binary) {
		say('Electron could not be fetched here (`npx install-electron` tries again); opening in the browser.');
		return false;
	}
	const main = join(await buildIfStale(desktop), 'app', 'main.js');
	const started = Date.now();
	const child = spawn(binary, [...sandboxFlags(), main, '--data', folder], { stdio: 'inherit' });
	for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => child.kill('SIGTERM'));
	const code = await new Promise<number | null>((done) => child.once('exit', done).once('error', () => done(1)));
	if (code === 0 || Date.now() - started > 10_000) return true;
	say(`Electron ended at once (code ${code}); opening in the browser.`);
	return false;
}

async function launch(): Promise<void> {
	const options = readOptions();
	const prepared = prepareDataFolder(
		options.data === undefined ? dataFolderHere() : resolve(callersFolder('start'), options.data),
	);
	if (!prepared.ok) return stopFor(prepared.problem);
	const folder = prepared.value;
	if (await shownByOwner(folder)) return;
	const built = await buildIfStale(page);
	const open = options.open && hasDisplay(process.platform, process.env);
	if (open && !options.browserWindow && (await ranInElectron(folder))) return;
	const { runLoopback } = await importBuilt<typeof import('./loopback/run.ts')>('loopback');
	for (const patience = Date.now() + LONGEST_WAIT_MS; ; await sleep(200)) {
		const run = await runLoopback({ folder, page: built, open, port: options.port, say });
		if (run?.ok) return;
		if (run) return stopFor(run.problem);
		if (await shownByOwner(folder)) return;
		const holder = `process ${readOwnerNote(folder)?.pid ?? 'unknown'}`;
		if (Date.now() > patience) return stopFor({ code: 'data.inUse', details: { folder, holder } });
	}
}

await launch();
