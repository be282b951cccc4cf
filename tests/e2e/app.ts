import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test as base, type Page } from 'playwright/test';
import { callOwner, showOwner } from '../../electron/host/local-line.ts';
import { type OwnerNote, readOwnerNote } from '../../electron/host/owner-note.ts';

/** The program, started as a user starts it, with books of its own. */
export type App = {
	/** Its data folder. */
	readonly data: string;
	/** `http://127.0.0.1:PORT` */
	readonly origin: string;
	/** A fresh address that opens one window. */
	address(): Promise<string>;
	/** Opens a window on a page, signed in; `route` is the part after `#`. */
	open(page: Page, route?: string): Promise<void>;
	/** Asks a procedure directly, to lay the books before a test. */
	call(name: string, input?: unknown, book?: 'farm' | 'demo'): Promise<unknown>;
	/** Ends the program and throws its books away. */
	close(): Promise<void>;
};

const root = join(import.meta.dirname, '..', '..');

/** Starts the program on a new data folder, or on the one given, which is then left in place. */
export async function startApp({ data }: { data?: string } = {}): Promise<App> {
	const folder = data ?? mkdtempSync(join(tmpdir(), 'fillmark-e2e-'));
	const child = spawn(process.execPath, [join(root, 'electron/launch.ts'), '--data', folder, '--no-open'], {
		stdio: ['ignore', 'pipe', 'inherit'],
	});
	const ended = once(child, 'exit');
	const origin = await new Promise<string>((done, failed) => {
		let said = '';
		child.stdout.on('data', (chunk: Buffer) => {
			said += chunk.toString();
			const address = /Open (http:\/\/127\.0\.0\.1:\d+)\//.exec(said)?.[1];
			if (address) done(address);
		});
		child.once('exit', (code) => failed(new Error(`the program ended with ${code}: ${said}`)));
	});
	const address = async () => (await showOwner(noteOf(folder))) ?? '';
	return {
		data: folder,
		origin,
		address,
		async open(page, route = '/') {
			await page.goto(await address());
			await page.waitForFunction(
				() => sessionStorage.getItem('fillmark-token') !== null && document.getElementById('root') !== null,
			);
			await page.goto(`${origin}/#${route}`);
		},
		call: (name, input = {}, book = 'farm') => callOwner(noteOf(folder), book, name.split('.'), input),
		async close() {
			child.kill('SIGTERM');
			await ended;
			if (data === undefined) rmSync(folder, { recursive: true, force: true });
		},
	};
}

function noteOf(folder: string): OwnerNote {
	const note = readOwnerNote(folder);
	if (!note) throw new Error(`nobody owns ${folder}`);
	return note;
}

type Running = { file: string; app: App } | null;

/**
 * `app`: one program for all tests of one spec file. Playwright gives a worker several files in turn; each gets books of
 * its own, so that what a spec finds never depends on which specs ran before it.
 */
export const test = base.extend<{ app: App }, { running: { now: Running } }>({
	running: [
		// biome-ignore lint/correctness/noEmptyPattern: Playwright reads the names of fixtures from this pattern
		async ({}, use) => {
			const running: { now: Running } = { now: null };
			await use(running);
			await running.now?.app.close();
		},
		{ scope: 'worker' },
	],
	app: async ({ running }, use, { file }) => {
		if (running.now?.file !== file) {
			await running.now?.app.close();
			running.now = null;
			running.now = { file, app: await startApp() };
		}
		await use(running.now.app);
	},
});
