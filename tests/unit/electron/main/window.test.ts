import { EventEmitter, once } from 'node:events';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { MessageChannel, type MessagePort } from 'node:worker_threads';
import { createORPCClient } from '@orpc/client';
import { RPCLink } from '@orpc/client/message-port';
import { beforeEach, expect, onTestFinished, test, vi } from 'vitest';
import { becomeOwner } from '../../../../electron/host/owner.ts';
import { handOverPort } from '../../../../electron/main/book-port.ts';
import { guardPage, guardSession } from '../../../../electron/main/guard.ts';
import { handle, listen, messages } from '../../../../electron/main/messages.ts';
import { createPages } from '../../../../electron/main/pages.ts';
import { createWindowPrinter, type PrintPages } from '../../../../electron/main/window-printer.ts';
import { scratchFolder } from '../scratch.ts';
import { testProgram } from '../test-program.ts';

// Electron itself is not needed to see what the program asks of it: these stand in for the parts it uses.
const electron = vi.hoisted(() => ({
	handled: new Map<string, (event: unknown, ...args: unknown[]) => unknown>(),
	windows: [] as { loaded: string[]; destroyed: boolean; options: unknown }[],
	printed: vi.fn(async () => Buffer.from('%PDF-1.7')),
}));
vi.mock('electron', () => ({
	ipcMain: {
		handle: (name: string, run: () => unknown) => electron.handled.set(name, run),
		on: (name: string, run: () => unknown) => electron.handled.set(name, run),
	},
	MessageChannelMain: MessageChannel,
	BrowserWindow: class {
		readonly seen = { loaded: [] as string[], destroyed: false, options: null as unknown };
		readonly webContents = { printToPDF: electron.printed };
		constructor(options: unknown) {
			this.seen.options = options;
			electron.windows.push(this.seen);
		}
		async loadURL(url: string) {
			this.seen.loaded.push(url);
		}
		destroy() {
			this.seen.destroyed = true;
		}
	},
}));

beforeEach(() => {
	electron.handled.clear();
	electron.windows.length = 0;
});

const ownFrame = { url: 'app://fillmark/', parent: null };
const foreignSenders = [
	null,
	{ ...ownFrame, parent: {} },
	{ url: 'https://evil.test/', parent: null },
	{ ...ownFrame, detached: true },
];

async function ownedFolder() {
	const program = testProgram();
	const folder = scratchFolder();
	const owner = await becomeOwner({ folder, door: 'window', program });
	if (!owner?.ok) throw new Error('the folder could not be taken');
	onTestFinished(() => owner.value.close());
	return { folder, program, owner: owner.value };
}

test('a message of a foreign sender is never run', async () => {
	const run = vi.fn();
	for (const name of Object.keys(messages) as (keyof typeof messages)[]) {
		handle(name, run);
		const good = { 'open-book': 'farm', 'pick-file': [], 'pick-target': 'diary.pdf' }[name];
		for (const senderFrame of foreignSenders) {
			await expect(electron.handled.get(name)?.({ senderFrame }, good)).rejects.toThrow('refused');
		}
		listen(name, run);
		for (const senderFrame of foreignSenders) electron.handled.get(name)?.({ senderFrame }, good);
	}
	expect(run).not.toHaveBeenCalled();
});

test('a message of another shape is refused; the right one is run with plain values', async () => {
	const run = vi.fn();
	const odd = [
		undefined,
		null,
		7,
		'',
		{},
		[],
		'x'.repeat(1000),
		{ book: 'farm' },
		[{ name: 'x', extensions: ['../exe'] }],
		['farm'],
		Symbol('x'),
	];
	listen('open-book', run);
	for (const value of odd) electron.handled.get('open-book')?.({ senderFrame: ownFrame }, value);
	electron.handled.get('open-book')?.({ senderFrame: ownFrame });
	electron.handled.get('open-book')?.({ senderFrame: ownFrame }, 'farm', 'demo');
	expect(run).not.toHaveBeenCalled();
	handle('pick-target', (_, name) => name);
	electron.handled.get('open-book')?.({ senderFrame: ownFrame }, 'farm');
	const target = await electron.handled.get('pick-target')?.({ senderFrame: ownFrame }, '../../etc/passwd');
	expect(target).toBe('passwd');
});

test('no file but messages.ts listens to the page, and none opens anything outside', () => {
	const folder = join(import.meta.dirname, '../../../../electron/main');
	const users = readdirSync(folder).filter((file) => /ipcMain/.test(readFileSync(join(folder, file), 'utf8')));
	const openers = readdirSync(folder).filter((file) =>
		/\bshell\b|openExternal/.test(readFileSync(join(folder, file), 'utf8')),
	);
	expect([users, openers]).toEqual([['messages.ts'], []]);
});

test('every way out of a page is barred', () => {
	const contents = Object.assign(new EventEmitter(), { setWindowOpenHandler: vi.fn() });
	guardPage(contents as never);
	const stopped = (name: string, url: string) => {
		const event = { url, preventDefault: vi.fn() };
		contents.emit(name, event);
		return event.preventDefault.mock.calls.length > 0;
	};
	const names = ['will-navigate', 'will-redirect', 'will-frame-navigate'];
	expect([
		names.map((name) => stopped(name, 'https://evil.test/')),
		names.map((name) => stopped(name, 'app://fillmark/#/store')),
		stopped('will-attach-webview', 'app://fillmark/'),
		contents.setWindowOpenHandler.mock.calls[0]?.[0]({ url: 'app://fillmark/' }),
	]).toEqual([[true, true, true], [false, false, false], true, { action: 'deny' }]);
});

test('each permission is answered once', () => {
	const set: Record<string, (...args: never[]) => unknown> = {};
	const keep = (name: string) => (run: (...args: never[]) => unknown) => void Object.assign(set, { [name]: run });
	const webRequest = { onBeforeRequest: keep('request') };
	guardSession(
		{
			setPermissionRequestHandler: keep('ask'),
			setPermissionCheckHandler: keep('check'),
			setDevicePermissionHandler: keep('device'),
			webRequest,
		} as never,
		async () => null,
	);
	const answers: unknown[] = [];
	const answer = (value: unknown) => void answers.push(value);
	const page = { getURL: () => 'app://fillmark/' };
	set['ask']?.(page as never, 'geolocation' as never, answer as never);
	set['ask']?.(page as never, 'clipboard-sanitized-write' as never, answer as never);
	set['request']?.({ url: 'https://evil.test/' } as never, answer as never);
	expect([
		answers,
		set['device']?.(),
		set['check']?.(null as never, 'media' as never, 'app://fillmark/' as never),
	]).toEqual([[false, true, { cancel: true }], false, false]);
});

test('a procedure answers over a port as over HTTP', async () => {
	const { folder, program, owner } = await ownedFolder();
	const sent: { book: string; port: MessagePort }[] = [];
	const page = { postMessage: (_: string, book: string, [port]: MessagePort[]) => port && sent.push({ book, port }) };
	handOverPort(page as never, 'demo', owner, program);
	const { book, port } = sent[0] ?? {};
	if (!port) throw new Error('no port was handed over');
	port.start();
	onTestFinished(() => port.close());
	const client = createORPCClient(new RPCLink({ port: port as never })) as unknown as Record<
		string,
		Record<string, (input: unknown) => Promise<unknown>>
	>;
	expect([book, await client['fields']?.['list']?.({})]).toEqual([
		'demo',
		{ folder: join(folder, 'demo-farm'), demo: true },
	]);
	await expect(client['store']?.['receive']?.({})).rejects.toMatchObject({ code: 'store.short', data: { need: 2 } });
	await expect(client['store']?.['onHand']?.({})).rejects.toMatchObject({
		code: 'INTERNAL_SERVER_ERROR',
		message: 'Internal server error',
	});
	port.close();
	await once(port, 'close');
});

test('the app scheme serves the page, takes a file and hands out exports, and nothing else', async () => {
	const { owner } = await ownedFolder();
	const site = new Map([['/index.html', { type: 'text/html', bytes: Buffer.from('<meta content="__CSP_NONCE__">') }]]);
	const pages = createPages(site, owner, new Map([['0b1e', '<p>paper</p>']]));
	const get = (url: string, init?: RequestInit) => pages(new Request(url, init));
	const page = await get('app://fillmark/');
	const nonce = /'nonce-([\w-]{24})'/.exec(page.headers.get('content-security-policy') ?? '')?.[1];
	expect(await page.text()).toBe(`<meta content="${nonce}">`);
	const taken = await get('app://fillmark/upload', {
		method: 'POST',
		body: 'bytes',
		headers: { 'x-file-name': 'fields.zip' },
	});
	const { path } = (await taken.json()) as { path: string };
	expect(readFileSync(path, 'utf8')).toBe('bytes');
	const printed = await get('app://print/0b1e');
	expect([printed.status, await printed.text()]).toEqual([200, '<p>paper</p>']);
	const refused = [
		await get('app://fillmark/nowhere'),
		await get('app://evil.test/'),
		await get('app://print/guess'),
		await get('app://fillmark/', { method: 'DELETE' }),
		await get('app://fillmark/', { method: 'POST', body: 'x' }),
		await get('app://fillmark/exports/farm/..%2fowner.json'),
		await get('app://fillmark/exports/farm/none.pdf'),
	];
	expect(refused.map(({ status }) => status)).toEqual(refused.map(() => 404));
	expect([page, printed, ...refused].every(({ headers }) => headers.get('x-content-type-options') === 'nosniff')).toBe(
		true,
	);
});

test('a page is printed from a window of its own, which is gone afterwards, also when printing fails', async () => {
	const pages: PrintPages = new Map();
	const printer = createWindowPrinter(pages);
	expect(await printer.pdf('<p>card</p>')).toEqual({ ok: true, value: new Uint8Array(Buffer.from('%PDF-1.7')) });
	electron.printed.mockRejectedValueOnce(new Error('no printer'));
	await expect(printer.pdf('<p>card</p>')).rejects.toThrow('no printer');
	expect(
		electron.windows.map(({ loaded, destroyed }) => [
			loaded.length,
			/^app:\/\/print\/[0-9a-f]{32}$/.test(loaded[0] ?? ''),
			destroyed,
		]),
	).toEqual([
		[1, true, true],
		[1, true, true],
	]);
	expect(pages.size).toBe(0);
});
