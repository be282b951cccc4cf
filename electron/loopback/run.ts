import type { ChildProcess } from 'node:child_process';
import { setTimeout as sleep } from 'node:timers/promises';
import { ok, type Result } from '../../shared/basics/result.ts';
import { findBrowser } from '../host/browser.ts';
import { createBrowserPrinter } from '../host/browser-printer.ts';
import { forgetIncomingFiles } from '../host/incoming-file.ts';
import { loadProgram } from '../host/load-program.ts';
import { openLog } from '../host/log.ts';
import { openInDefaultBrowser, openWindow, writePrivateLink } from '../host/open-browser.ts';
import { becomeOwner, type Owner } from '../host/owner.ts';
import { readSite } from '../host/page.ts';
import { type Loopback, openLoopback } from './server.ts';

export type LoopbackRun = {
	readonly folder: string;
	/** The built page. */
	readonly page: string;
	/** False: print the address, open nothing. */
	readonly open: boolean;
	readonly port?: number | undefined;
	say(line: string): void;
};

const WINDOW_APPEARS_WITHIN_MS = 20_000;

/**
 * Serves the books to this computer's browser until the window is closed or the process is told to end.
 * Null when another process owns the folder.
 */
export async function runLoopback(run: LoopbackRun): Promise<Result<void> | null> {
	const program = await loadProgram(createBrowserPrinter(), openLog(run.folder));
	let show: () => Promise<string | null> = async () => null;
	const owner = await becomeOwner({ folder: run.folder, door: 'browser', program, show: () => show() });
	if (!owner?.ok) return owner;
	forgetIncomingFiles(run.folder);
	const door = await openDoorOr(owner.value, () =>
		openLoopback({ owner: owner.value, program, site: readSite(run.page), ...(run.port ? { port: run.port } : {}) }),
	);
	const end = Promise.withResolvers<void>();
	const windows = new Set<ChildProcess>();
	show = async () => {
		if (run.open) return showWindow(door, run, windows, end.resolve);
		const address = door.launchUrl();
		run.say(`Open ${address}`);
		return address;
	};
	for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => end.resolve());
	printNewAddressOnEnter(door, run);
	const address = await show();
	if (address !== null) run.say('The address works once and for one minute. Press Enter for a new one, Ctrl-C to end.');
	await end.promise;
	for (const window of windows) window.kill();
	await door.close();
	await owner.value.close();
	return ok(undefined);
}

async function openDoorOr(owner: Owner, open: () => Promise<Loopback>): Promise<Loopback> {
	try {
		return await open();
	} catch (error) {
		await owner.close();
		throw error;
	}
}

/** Opens a window; where none appears, the user's own browser; where that cannot be, gives the address. */
async function showWindow(
	door: Loopback,
	run: LoopbackRun,
	windows: Set<ChildProcess>,
	onClosed: () => void,
): Promise<string | null> {
	const link = writePrivateLink(door.launchUrl());
	try {
		const browser = findBrowser();
		if (browser && (await windowAppears(openWindow(browser, link.href, run.folder), door, windows, onClosed)))
			return null;
		const another = writePrivateLink(door.launchUrl());
		setTimeout(another.remove, 60_000).unref();
		if (openInDefaultBrowser(another.href)) return null;
	} finally {
		link.remove();
	}
	const address = door.launchUrl();
	run.say(`No window could be opened here. Open ${address}`);
	return address;
}

/** True once the page has shown its token. The books close with the last window that ends by itself. */
async function windowAppears(
	child: ChildProcess,
	door: Loopback,
	windows: Set<ChildProcess>,
	onClosed: () => void,
): Promise<boolean> {
	windows.add(child);
	const ended = new Promise<false>((done) => child.once('exit', () => done(false)).once('error', () => done(false)));
	void ended.then(() => windows.delete(child));
	const appeared = await Promise.race([
		door.nextOpened().then(() => true),
		ended.then(() => sleep(2_000, false, { ref: false })),
		sleep(WINDOW_APPEARS_WITHIN_MS, false, { ref: false }),
	]);
	if (appeared && child.exitCode === null) void ended.then(() => windows.size === 0 && onClosed());
	return appeared;
}

function printNewAddressOnEnter(door: Loopback, run: LoopbackRun): void {
	if (!process.stdin.isTTY) return;
	process.stdin.on('data', () => run.say(`Open ${door.launchUrl()}`));
	process.stdin.unref();
}
