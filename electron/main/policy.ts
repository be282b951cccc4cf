/**
 * What the desktop window may do: pure answers, tested as tables; main.ts only asks them.
 * Source: Electron security checklist, https://www.electronjs.org/docs/latest/tutorial/security (points 2–18).
 */
import type { BrowserWindowConstructorOptions } from 'electron';
import { contentSecurityPolicy, securityHeaders } from '../host/page.ts';

export const APP_SCHEME = 'app';
export const APP_HOST = 'fillmark';
/** Pages on their way to paper come from another origin than the window, so that neither can reach the other. */
export const PRINT_HOST = 'print';
export const APP_URL = `${APP_SCHEME}://${APP_HOST}/`;

export type Shown = { readonly width: number; readonly height: number };

/** The window: a sandboxed page without Node, without webview, behind a preload that hands over ports. */
export function windowOptions(
	preload: string,
	packaged: boolean,
	{ width, height }: Shown = { width: 1366, height: 900 },
) {
	return {
		width,
		height,
		minWidth: 360,
		minHeight: 480,
		title: 'Fillmark',
		show: false,
		backgroundColor: '#f6f1e7',
		webPreferences: { ...lockedDown, preload, devTools: !packaged },
	} satisfies BrowserWindowConstructorOptions;
}

/** The window a page is printed from: never shown, runs no script, has no preload. */
export function printWindowOptions() {
	return {
		show: false,
		webPreferences: { ...lockedDown, javascript: false, images: true, devTools: false },
	} satisfies BrowserWindowConstructorOptions;
}

const lockedDown = {
	sandbox: true,
	contextIsolation: true,
	nodeIntegration: false,
	nodeIntegrationInWorker: false,
	nodeIntegrationInSubFrames: false,
	webSecurity: true,
	webviewTag: false,
	allowRunningInsecureContent: false,
	experimentalFeatures: false,
	navigateOnDragDrop: false,
	spellcheck: false,
} as const;

/** Only our own page; everything inside it is a route in the fragment. */
export function mayNavigate(url: string): boolean {
	const parsed = parse(url);
	return parsed !== null && isAppOrigin(parsed) && parsed.pathname === '/';
}

/** Copying a figure is all the page may ask for; Electron grants everything where nobody answers. */
export function mayHavePermission(permission: string, origin: string): boolean {
	const parsed = parse(origin);
	return permission === 'clipboard-sanitized-write' && parsed !== null && isAppOrigin(parsed);
}

/** The part of a sender that a message is judged by. A frame that is gone is null. */
export type SenderFrame = { readonly url: string; readonly parent: unknown; readonly detached?: boolean } | null;

/** Messages are taken from the main frame of our own page only. */
export function isOwnFrame(frame: SenderFrame | undefined): boolean {
	if (!frame || frame.parent !== null || frame.detached === true) return false;
	return mayNavigate(frame.url);
}

/** The file of the built page that an address names (`/assets/x.js`), or null. Files are looked up, never opened by path. */
export function assetPathOf(url: string): string | null {
	const parsed = parse(url);
	if (parsed === null || !isAppOrigin(parsed)) return null;
	return parsed.pathname === '/' ? '/index.html' : parsed.pathname;
}

/** Headers of every answer of the app scheme: the same as at the loopback door. */
export function appHeaders(nonce: string | null, picturesFrom: string | null = null): Record<string, string> {
	return securityHeaders(nonce, picturesFrom);
}

/** A page on its way to paper brings its styles and fonts with it and may load nothing. */
export function printHeaders(): Record<string, string> {
	return {
		...securityHeaders(),
		'content-security-policy': `${contentSecurityPolicy(null)
			.split('; ')
			.filter((rule) => /^(default-src|object-src|base-uri|form-action|frame-ancestors)/.test(rule))
			.join('; ')}; style-src 'unsafe-inline'; font-src data:; img-src data:`,
		'content-type': 'text/html; charset=utf-8',
	};
}

function isAppOrigin({ protocol, host, username, password }: URL): boolean {
	return protocol === `${APP_SCHEME}:` && host === APP_HOST && username === '' && password === '';
}

function parse(url: string): URL | null {
	return URL.canParse(url) ? new URL(url) : null;
}
