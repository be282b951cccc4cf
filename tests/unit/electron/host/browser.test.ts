import { expect, test } from 'vitest';
import { browserPlaces, findBrowser } from '../../../../electron/host/browser.ts';
import { defaultBrowserCommand, hasDisplay } from '../../../../electron/host/open-browser.ts';

const linux = { platform: 'linux', env: { PATH: '/opt/bin:relative:/usr/bin' } } as const;

test('a browser named by hand goes first, then Chromium, Chrome and Edge where they are kept', () => {
	const byHand = { ...linux, env: { ...linux.env, CHROMIUM_PATH: '/my/browser' } };
	expect(browserPlaces(byHand).slice(0, 4)).toEqual([
		'/my/browser',
		'/usr/bin/chromium',
		'/usr/local/bin/chromium',
		'/opt/bin/chromium',
	]);
	expect(browserPlaces(linux).some((place) => place.startsWith('relative'))).toBe(false);
});

test('Windows and macOS keep them in their own places', () => {
	const windows = browserPlaces({
		platform: 'win32',
		env: { ProgramFiles: 'C:\\Program Files', LOCALAPPDATA: 'C:\\Users\\a\\AppData\\Local' },
	});
	const mac = browserPlaces({ platform: 'darwin', env: { HOME: '/Users/a' } });
	expect(windows).toContain('C:\\Users\\a\\AppData\\Local\\Google\\Chrome\\Application\\chrome.exe');
	expect(mac).toContain('/Users/a/Applications/Chromium.app/Contents/MacOS/Chromium');
});

test('the first that can be run is taken, none is null', () => {
	expect(findBrowser(linux, (file) => file === '/opt/bin/google-chrome')).toBe('/opt/bin/google-chrome');
	expect(findBrowser(linux, () => false)).toBeNull();
});

test.each([
	['linux', {}, false],
	['linux', { DISPLAY: '' }, false],
	['linux', { DISPLAY: ':0' }, true],
	['linux', { WAYLAND_DISPLAY: 'wayland-0' }, true],
	['win32', {}, true],
	['darwin', {}, true],
] as const)('on %s with %j a window can be seen: %s', (platform, env, expected) => {
	expect(hasDisplay(platform, env)).toBe(expected);
});

test('the user’s own browser is asked the way of the system', () => {
	const commands = (['linux', 'darwin', 'win32'] as const).map(
		(platform) => defaultBrowserCommand('file:///x.html', platform)[0],
	);
	expect(commands).toEqual(['xdg-open', 'open', 'rundll32']);
});
