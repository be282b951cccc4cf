import { expect, test } from 'vitest';
import { backgroundServer } from '../../../../electron/host/background-server.ts';
import type { Owner } from '../../../../electron/host/owner.ts';
import { contentSecurityPolicy } from '../../../../electron/host/page.ts';
import { guardSession } from '../../../../electron/main/guard.ts';
import { createPages } from '../../../../electron/main/pages.ts';
import { ask, fromPage, openDoor } from '../loopback/open-door.ts';

const address = 'https://tiles.example:8443/{z}/{x}/{y}.png?key=1';
const server = 'https://tiles.example:8443';

function setBackground(owner: Owner, layer: string | null): void {
	const farm = owner.contextFor('farm');
	if (!farm.ok) throw new Error(farm.problem.code);
	farm.value.book?.writer.sqlite.prepare('UPDATE farm SET background = ?').run(layer);
}

const layerAt = (where: string) =>
	JSON.stringify({ kind: 'xyz', address: where, layers: null, credit: '©', deepestZoom: 19 });

function picturesOf(headers: Headers): unknown[] {
	const policy = headers.get('content-security-policy') ?? '';
	return [/img-src ([^;]*)/.exec(policy)?.[1], headers.get('cross-origin-embedder-policy')];
}

const own = ["'self' data: blob:", 'require-corp'];
const withServer = [`'self' data: blob: ${server}`, 'credentialless'];

test('the policy of the page names the one server, for pictures alone', () => {
	const before = contentSecurityPolicy('N').split('; ');
	const after = contentSecurityPolicy('N', server).split('; ');
	expect(after.filter((rule) => !before.includes(rule))).toEqual([`img-src 'self' data: blob: ${server}`]);
});

test('the loopback door admits it to a window that is in, while it is set, and nowhere else', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const answers = async () =>
		Promise.all(
			[
				['/', signedIn],
				['/', undefined],
				['/open', signedIn],
				['/assets/app.js', signedIn],
			].map(async ([path, as]) =>
				picturesOf((await ask(door.port, 'GET', path as string, fromPage(door.port, as as never))).headers),
			),
		);
	expect(await answers()).toEqual([own, own, own, own]);
	setBackground(door.owner, layerAt(address));
	expect(await answers()).toEqual([withServer, own, own, own]);
	setBackground(door.owner, null);
	expect(await answers()).toEqual([own, own, own, own]);
});

test('the desktop page admits it while it is set', async () => {
	const { owner } = await openDoor();
	const site = new Map([['/index.html', { type: 'text/html', bytes: Buffer.from('page') }]]);
	const pages = createPages(site, owner, new Map());
	const shown = async () => picturesOf((await pages(new Request('app://fillmark/'))).headers);
	expect(await shown()).toEqual(own);
	setBackground(owner, layerAt(address));
	expect(await shown()).toEqual(withServer);
});

test('an address in the book that is none opens nothing', async () => {
	const { owner } = await openDoor();
	setBackground(owner, layerAt("https://*; script-src 'unsafe-inline'/{z}/{x}/{y}"));
	expect(await backgroundServer(owner)).toBeNull();
});

test('the desktop session lets pictures of that server out, and nothing else', async () => {
	let set: string | null = server;
	let onRequest: (details: object, answer: (said: { cancel: boolean }) => void) => void = () => {};
	guardSession(
		{
			setPermissionRequestHandler: () => {},
			setPermissionCheckHandler: () => {},
			setDevicePermissionHandler: () => {},
			webRequest: {
				onBeforeRequest: (run: typeof onRequest) => {
					onRequest = run;
				},
			},
		} as never,
		async () => set,
	);
	const stopped = (url: string, resourceType: string) =>
		new Promise((done) => onRequest({ url, resourceType }, ({ cancel }) => done(cancel)));
	const tried = async () => [
		await stopped('https://tiles.example:8443/1/2/3.png', 'image'),
		await stopped('https://tiles.example:8443/1/2/3.png', 'xhr'),
		await stopped('https://tiles.example:8443/x.js', 'script'),
		await stopped('https://tiles.example:8443/', 'mainFrame'),
		await stopped('https://tiles.example/1/2/3.png', 'image'),
		await stopped('http://tiles.example:8443/1/2/3.png', 'image'),
		await stopped('https://evil.test/https://tiles.example:8443/', 'image'),
		await stopped('app://fillmark/assets/a.png', 'image'),
	];
	expect(await tried()).toEqual([false, true, true, true, true, true, true, false]);
	set = null;
	expect(await tried()).toEqual([true, true, true, true, true, true, true, false]);
});
