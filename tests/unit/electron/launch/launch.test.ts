import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { readOwnerNote } from '../../../../electron/host/owner-note.ts';
import { scratchFolder } from '../scratch.ts';

const root = join(import.meta.dirname, '../../../..');
const fakeBrowser = join(import.meta.dirname, 'fake-browser.mjs');
const FIVE_MINUTES = 300_000;

type Started = {
	readonly child: ChildProcess;
	said(): string;
	heard(word: string | RegExp): Promise<void>;
	ended(): Promise<number | null>;
};

/** `npm start` on a computer with a display, where `browser` is the only browser. */
function start(args: readonly string[], browser = fakeBrowser): Started {
	const bin = scratchFolder();
	writeFileSync(join(bin, 'node'), `#!/bin/sh\nexec "${process.execPath}" "$@"\n`, { mode: 0o755 });
	const child = spawn(process.execPath, [join(root, 'electron/launch.ts'), '--browser-window', ...args], {
		env: { PATH: bin, HOME: bin, DISPLAY: ':none', CHROMIUM_PATH: browser },
		stdio: ['ignore', 'pipe', 'pipe'],
	});
	onTestFinished(() => void child.kill('SIGKILL'));
	const pieces: string[] = [];
	for (const stream of [child.stdout, child.stderr])
		stream.on('data', (chunk: Buffer) => pieces.push(chunk.toString()));
	const exit = once(child, 'exit').then(([code]) => code as number | null);
	return {
		child,
		said: () => pieces.join(''),
		heard: (word) => expect.poll(() => pieces.join(''), { timeout: 60_000 }).toMatch(word),
		ended: () => exit,
	};
}

test('closing the window ends the program and leaves the folder free', { timeout: FIVE_MINUTES }, async () => {
	const folder = scratchFolder();
	const program = start(['--data', folder]);
	expect([await program.ended(), program.said()]).toEqual([0, '']);
	expect(readdirSync(folder).sort()).toEqual(['fillmark.sqlite', 'owner.lock', 'window']);
});

test('where no window can be opened the address is given, and Ctrl-C ends it', { timeout: FIVE_MINUTES }, async () => {
	const folder = scratchFolder();
	const program = start(['--data', folder], '/bin/false');
	await program.heard(/No window could be opened here\. Open http:\/\/127\.0\.0\.1:\d+\/open#launch=[\w-]{43}\n/);
	program.child.kill('SIGINT');
	expect(await program.ended()).toBe(0);
	expect(readOwnerNote(folder)).toBeNull();
});

test('a second start brings up the first and ends; after a killed one a new start owns the folder', {
	timeout: FIVE_MINUTES,
}, async () => {
	const folder = scratchFolder();
	const first = start(['--data', folder, '--no-open']);
	await first.heard('Open http');
	const second = start(['--data', folder, '--no-open']);
	expect([await second.ended(), second.said()]).toEqual([
		0,
		expect.stringMatching(/^Fillmark is already open\. Open http/),
	]);
	first.child.kill('SIGKILL');
	await first.ended();
	const third = start(['--data', folder, '--no-open']);
	await third.heard(/^Open http/);
	third.child.kill('SIGTERM');
	expect(await third.ended()).toBe(0);
});

test.each([
	['an unknown option', ['--fast'], /--fast[\s\S]*npm start -- /],
	['a port of the system', ['--port', '80'], /--port must be a number/],
	['a folder that is synchronised', ['--data', join(tmpdir(), 'Dropbox', 'farm')], /synchronised/],
] as const)('%s is refused with a sentence', { timeout: FIVE_MINUTES }, async (_, args, sentence) => {
	const program = start(args);
	expect([await program.ended(), program.said()]).toEqual([1, expect.stringMatching(sentence)]);
});

test('the launch token is in no command line, and in no file that others can read', {
	timeout: FIVE_MINUTES,
}, async () => {
	const folder = scratchFolder();
	await start(['--data', folder]).ended();
	const { line, mode } = JSON.parse(readFileSync(join(folder, 'window', 'seen.json'), 'utf8')) as Record<
		string,
		string
	>;
	expect([/--app=file:/.test(line ?? ''), /launch=|127\.0\.0\.1/.test(line ?? ''), mode]).toEqual([true, false, '600']);
});
