import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { findOnPath, sandboxFlags } from './browser.ts';
import { privateTempFolder } from './owner-note.ts';

/** A page that leads to the address. Command lines can be read by every user of a computer, this file by one. */
export type PrivateLink = { readonly href: string; remove(): void };

export function writePrivateLink(address: string): PrivateLink {
	const folder = mkdtempSync(join(privateTempFolder(), 'open-'));
	const file = join(folder, 'fillmark.html');
	const html = `<!doctype html><meta charset="utf-8"><title>Fillmark</title><meta http-equiv="refresh" content="0;url=${address}">\n`;
	writeFileSync(file, html, { mode: 0o600 });
	return { href: pathToFileURL(file).href, remove: () => rmSync(folder, { recursive: true, force: true }) };
}

/** A window without address bar, from a profile of its own: otherwise a browser that is open already would take it over. */
export function windowFlags(href: string, profile: string): string[] {
	return [
		`--app=${href}`,
		`--user-data-dir=${profile}`,
		'--window-size=1366,900',
		'--no-first-run',
		'--no-default-browser-check',
		'--disable-sync',
		'--disable-background-mode',
		'--disable-background-networking',
		'--disable-component-update',
		// Hides the bar that warns of the missing sandbox; only ever together with it.
		...sandboxFlags().flatMap((flag) => [flag, '--test-type']),
	];
}

/** Opens the window with the browser found. */
export function openWindow(browser: string, href: string, dataFolder: string): ChildProcess {
	const profile = join(dataFolder, 'window');
	mkdirSync(profile, { recursive: true, mode: 0o700 });
	const child = spawn(browser, windowFlags(href, profile), { stdio: 'ignore' });
	child.on('error', () => {});
	return child;
}

/** Hands the page to whatever browser the user has chosen; false where there is no way to. */
export function openInDefaultBrowser(href: string, platform: NodeJS.Platform = process.platform): boolean {
	const [command, ...args] = defaultBrowserCommand(href, platform);
	if (platform === 'linux' && !findOnPath(command)) return false;
	const child = spawn(command, args, { stdio: 'ignore', detached: true });
	child.on('error', () => {});
	child.unref();
	return true;
}

export function defaultBrowserCommand(href: string, platform: NodeJS.Platform): [string, ...string[]] {
	if (platform === 'win32') return ['rundll32', 'url.dll,FileProtocolHandler', href];
	return platform === 'darwin' ? ['open', href] : ['xdg-open', href];
}

/** True where a window can be seen at all. */
export function hasDisplay(platform: NodeJS.Platform, env: Readonly<Record<string, string | undefined>>): boolean {
	return platform === 'win32' || platform === 'darwin' || Boolean(env['DISPLAY'] || env['WAYLAND_DISPLAY']);
}
