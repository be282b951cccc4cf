import { expect, test } from 'vitest';
import { isInside } from '../../../../electron/main/guard.ts';
import {
	appHeaders,
	assetPathOf,
	isOwnFrame,
	mayHavePermission,
	mayNavigate,
	printHeaders,
	printWindowOptions,
	windowOptions,
} from '../../../../electron/main/policy.ts';

// Tables after the Electron security checklist, https://www.electronjs.org/docs/latest/tutorial/security

test('the window is sandboxed, isolated and without Node', () => {
	expect(windowOptions('preload.cjs', true).webPreferences).toEqual({
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
		preload: 'preload.cjs',
		devTools: false,
	});
});

test('the printing window runs no script and has no preload', () => {
	const { webPreferences, show } = printWindowOptions();
	expect([show, webPreferences.javascript, webPreferences.sandbox, 'preload' in webPreferences]).toEqual([
		false,
		false,
		true,
		false,
	]);
});

test.each(['app://fillmark/', 'app://fillmark/#/fields', 'app://fillmark/?x=1#/'])('%s is our own page', (url) => {
	expect(mayNavigate(url)).toBe(true);
});

const hostileAddresses = [
	'',
	'about:blank',
	'about:srcdoc',
	'javascript:alert(1)',
	'JaVaScRiPt:alert(1)',
	'data:text/html,<script>1</script>',
	'blob:app://fillmark/0b1e',
	'filesystem:app://fillmark/x',
	'file:///etc/passwd',
	'file://fillmark/',
	'http://fillmark/',
	'https://fillmark/',
	'http://127.0.0.1:8080/',
	'https://example.org/',
	'ws://fillmark/',
	'app:fillmark',
	'app:///fillmark/',
	'app://fillmark.evil.test/',
	'app://evil.test/',
	'app://evil.test/app://fillmark/',
	'app://evil@fillmark/',
	'app://fillmark:80/',
	'app://fillmark@evil.test/',
	'app://fillmark%2eevil/',
	'app://FILLMARK.evil/',
	'app://print/',
	'app://fillmark./',
	'app2://fillmark/',
	'xapp://fillmark/',
	'chrome://settings/',
	'devtools://devtools/bundled/',
	'view-source:app://fillmark/',
	'smb://server/share',
	'\\\\server\\share',
	'ms-settings:privacy',
	'intent://fillmark/#Intent;end',
	'app://fíllmark/',
	'app://fillmark/assets/app.js',
];

test.each(hostileAddresses)('%s is not', (url) => {
	expect(mayNavigate(url)).toBe(false);
});

const permissions = [
	'media',
	'geolocation',
	'notifications',
	'midi',
	'midiSysex',
	'pointerLock',
	'fullscreen',
	'openExternal',
	'window-management',
	'clipboard-read',
	'display-capture',
	'mediaKeySystem',
	'idle-detection',
	'speaker-selection',
	'storage-access',
	'top-level-storage-access',
	'keyboardLock',
	'hid',
	'serial',
	'usb',
	'fileSystem',
	'unknown',
];

test('every permission is refused but writing plain text to the clipboard, and that only to our page', () => {
	const granted = permissions.filter((permission) => mayHavePermission(permission, 'app://fillmark/'));
	const copying = ['app://fillmark', 'app://fillmark/', 'https://evil.test', 'app://print/', '', 'null'];
	expect([granted, copying.map((origin) => mayHavePermission('clipboard-sanitized-write', origin))]).toEqual([
		[],
		[true, true, false, false, false, false],
	]);
});

test('messages are taken from the main frame of our page only', () => {
	const own = { url: 'app://fillmark/#/store', parent: null };
	const frames = [
		own,
		null,
		undefined,
		{ ...own, parent: {} },
		{ ...own, url: 'https://evil.test/' },
		{ ...own, url: '' },
		{ ...own, detached: true },
	];
	expect(frames.map(isOwnFrame)).toEqual([true, false, false, false, false, false, false]);
});

test('an address names a file of the built page or nothing', () => {
	const addresses = [
		['app://fillmark/', '/index.html'],
		['app://fillmark/#/fields', '/index.html'],
		['app://fillmark/assets/app.js', '/assets/app.js'],
		['app://fillmark/../../etc/passwd', '/etc/passwd'],
		['app://fillmark/%2e%2e/%2e%2e/etc/passwd', '/etc/passwd'],
		['app://fillmark/..%2f..%2fetc%2fpasswd', '/..%2f..%2fetc%2fpasswd'],
		['app://fillmark/..%5c..%5cwindows', '/..%5c..%5cwindows'],
		['app://evil.test/assets/app.js', null],
		['file:///assets/app.js', null],
		['', null],
	] as const;
	expect(addresses.map(([url]) => assetPathOf(url))).toEqual(addresses.map(([, path]) => path));
});

test('nothing is fetched from outside', () => {
	const inside = [
		'app://fillmark/',
		'app://fillmark/assets/app.js',
		'app://print/0b1e',
		'data:font/woff2;base64,AA',
		'blob:app://fillmark/0b1e',
	];
	const outside = [
		'https://example.org/',
		'http://127.0.0.1/',
		'ws://127.0.0.1/',
		'file:///etc/passwd',
		'ftp://x/',
		'app://evil.test/',
		'',
	];
	expect([inside.map(isInside), outside.map(isInside)]).toEqual([inside.map(() => true), outside.map(() => false)]);
});

test('the page may run its own files only; a page to be printed may load nothing at all', () => {
	expect(appHeaders('N')['content-security-policy']).toBe(
		"default-src 'none'; script-src 'self'; style-src 'self' 'nonce-N'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; worker-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
	);
	expect(printHeaders()['content-security-policy']).toBe(
		"default-src 'none'; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:",
	);
});
