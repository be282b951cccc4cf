import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { type AddressInfo, connect, createServer } from 'node:net';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { LARGEST_JSON_BYTES } from '../../../../electron/loopback/body.ts';
import { openLoopback } from '../../../../electron/loopback/server.ts';
import {
	everyAnswer,
	foreignWritesLetThrough,
	headersMissing,
	hostsLetThrough,
	hostValues,
	routes,
} from './attacks.ts';
import { ask, askRaw, fromPage, type Header, openDoor, withHeader } from './open-door.ts';

test('a foreign or unclear Host reaches no handler, on any route', async () => {
	const door = await openDoor();
	expect(hostValues(door.port).refused.length).toBeGreaterThanOrEqual(57);
	expect(await hostsLetThrough(door)).toEqual([]);
	expect(door.touched()).toBe(0);
});

test('the three names of this computer pass, in any case', async () => {
	const door = await openDoor();
	const replies = await Promise.all(
		hostValues(door.port).allowed.map((host) => ask(door.port, 'GET', '/health', [['Host', host]])),
	);
	expect(replies.map(({ status, body }) => [status, body])).toEqual(Array(5).fill([200, '{"ok":true}']));
});

test('a target that is not a path is refused', async () => {
	const door = await openDoor();
	const targets = [
		`http://127.0.0.1:${door.port}/health`,
		'http://evil.test/health',
		'//evil.test/health',
		'*',
		'/\\evil.test',
		`/${'x'.repeat(3000)}`,
	];
	const replies = await Promise.all(targets.map((target) => ask(door.port, 'GET', target, fromPage(door.port))));
	expect(replies.map(({ status }) => status)).toEqual([400, 400, 400, 400, 400, 414]);
});

test('no write of a foreign page is run, whatever it claims to be', async () => {
	const door = await openDoor();
	expect(await foreignWritesLetThrough(door)).toEqual([]);
});

test('whoever arrives from elsewhere sees the hand-over page and no other', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const arriving = (site: string, mode: string): Header[] => [
		['Host', `127.0.0.1:${door.port}`],
		['Sec-Fetch-Site', site],
		['Sec-Fetch-Mode', mode],
		['Cookie', signedIn.cookie],
	];
	const seen: Record<string, number[]> = {};
	for (const path of ['/open', '/', '/assets/app.js', '/exports/farm/x', '/health']) {
		const asked = [
			arriving('cross-site', 'navigate'),
			arriving('same-site', 'navigate'),
			arriving('cross-site', 'cors'),
		];
		seen[path] = (await Promise.all(asked.map((headers) => ask(door.port, 'GET', path, headers)))).map(
			({ status }) => status,
		);
	}
	const none = [403, 403, 403];
	expect(seen).toEqual({
		'/open': [200, 200, 403],
		'/': none,
		'/assets/app.js': none,
		'/exports/farm/x': none,
		'/health': none,
	});
});

test('the page itself may call, on either name of this computer', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const byName = withHeader(
		withHeader(fromPage(door.port, signedIn), 'Host', `localhost:${door.port}`),
		'Origin',
		`http://localhost:${door.port}`,
	);
	const replies = [
		await ask(door.port, 'POST', '/rpc/farm/fields/list', fromPage(door.port, signedIn), '{"json":{}}'),
		await ask(door.port, 'POST', '/rpc/demo/fields/list', byName, '{"json":{}}'),
	];
	expect(replies.map(({ status, body }) => [status, JSON.parse(body)])).toEqual([
		[200, { json: { folder: door.folder, demo: false } }],
		[200, { json: { folder: join(door.folder, 'demo-farm'), demo: true } }],
	]);
});

test('without cookie and key there is no data, only the hand-over page', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const wrong = { cookie: `fillmark-${door.port}=wrong`, key: 'wrong' };
	const who: Record<string, Header[]> = {
		nobody: fromPage(door.port),
		'cookie only': fromPage(door.port, { cookie: signedIn.cookie }),
		'key only': fromPage(door.port, { key: signedIn.key }),
		'wrong key': fromPage(door.port, { cookie: signedIn.cookie, key: wrong.key }),
		'wrong cookie': fromPage(door.port, { cookie: wrong.cookie, key: signedIn.key }),
		'cookie twice': fromPage(door.port, { cookie: `${signedIn.cookie}; ${wrong.cookie}`, key: signedIn.key }),
		'cookie of another port': fromPage(door.port, { cookie: signedIn.cookie.replace(/\d+/, '1'), key: signedIn.key }),
		'signed in': fromPage(door.port, signedIn),
	};
	const seen: Record<string, number[]> = {};
	for (const [name, headers] of Object.entries(who)) {
		const asked = [
			ask(door.port, 'POST', '/rpc/farm/fields/list', headers, '{"json":{}}'),
			ask(door.port, 'POST', '/upload', withHeader(headers, 'Content-Type', 'application/octet-stream'), 'x'),
			ask(door.port, 'GET', '/assets/app.js', headers),
			ask(door.port, 'GET', '/exports/farm/diary.pdf', headers),
		];
		seen[name] = (await Promise.all(asked)).map(({ status }) => status);
	}
	expect(seen).toEqual({
		nobody: [401, 401, 401, 401],
		'cookie only': [401, 401, 200, 404],
		'key only': [401, 401, 401, 401],
		'wrong key': [401, 401, 200, 404],
		'wrong cookie': [401, 401, 401, 401],
		'cookie twice': [401, 401, 401, 401],
		'cookie of another port': [401, 401, 401, 401],
		'signed in': [200, 200, 200, 404],
	});
	expect(door.touched()).toBe(1);
});

test('the page is shown to its own window with a nonce of its own; to others only the hand-over page', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const pages = [
		await ask(door.port, 'GET', '/', fromPage(door.port, signedIn)),
		await ask(door.port, 'GET', '/', fromPage(door.port, signedIn)),
		await ask(door.port, 'GET', '/', fromPage(door.port)),
		await ask(door.port, 'GET', '/open', fromPage(door.port, signedIn)),
	];
	const nonces = pages.map(
		({ headers }) => /'nonce-([\w-]{24})'/.exec(headers.get('content-security-policy') ?? '')?.[1] ?? '',
	);
	expect(new Set(nonces).size).toBe(4);
	expect(pages[0]?.body).toBe(`<meta content="${nonces[0]}"><p>the page</p>`);
	expect(pages[2]?.body).toContain(`nonce="${nonces[2]}"`);
	expect(pages.slice(2).map(({ body }) => body.includes('the page'))).toEqual([false, false]);
});

test('a launch token opens one window once', async () => {
	const door = await openDoor();
	const launch = door.launchUrl().split('#launch=')[1];
	const use = () => ask(door.port, 'POST', '/session', fromPage(door.port), JSON.stringify({ launch }));
	const [first, second] = [await use(), await use()];
	expect([first.status, second.status, second.headers.get('set-cookie')]).toEqual([200, 401, null]);
	const [cookie = '', ...marks] = (first.headers.get('set-cookie') ?? '').split('; ');
	expect(cookie).toMatch(new RegExp(`^fillmark-${door.port}=[\\w-]{43}$`));
	expect(marks).toEqual(['Path=/', 'HttpOnly', 'SameSite=Strict']);
});

test('of 2,000 guesses none opens, the answer never differs, and after twenty they must wait; who is in stays in', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const answers = new Map<string, number>();
	for (let guess = 0; guess < 2_000; guess++) {
		const { status, body } = await ask(
			door.port,
			'POST',
			'/session',
			fromPage(door.port),
			`{"launch":"guess-${guess}"}`,
		);
		const kind = `${status} ${(JSON.parse(body) as { json: { code: string } }).json.code}`;
		answers.set(kind, (answers.get(kind) ?? 0) + 1);
	}
	const inside = await ask(door.port, 'POST', '/rpc/farm/fields/list', fromPage(door.port, signedIn), '{"json":{}}');
	const late = await ask(door.port, 'POST', '/session', fromPage(door.port), '{"launch":"guess"}');
	expect([...answers.keys()]).toEqual(['401 door.locked', '429 door.busy']);
	expect(answers.get('401 door.locked')).toBeLessThanOrEqual(30);
	expect(inside.status).toBe(200);
	expect(Number(late.headers.get('retry-after'))).toBeGreaterThan(0);
});

test('every answer carries the security headers, errors of the parser too', async () => {
	const door = await openDoor();
	const answers = await everyAnswer(door);
	expect(answers.flatMap(([name, reply]) => headersMissing(name, reply))).toEqual([]);
	expect(answers.filter(([, { status }]) => status === 0)).toEqual([]);
	const failed = answers.filter(([, { status }]) => status >= 500).map(([name]) => name);
	expect(failed).toEqual(['a bug']);
	expect(answers.filter(([, { body }]) => /secret of the inside|node_modules|at \w+ \(/.test(body))).toEqual([]);
});

test('only GET, HEAD and POST are answered, each where it belongs', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const own = fromPage(door.port, signedIn);
	const verbs = ['PUT', 'DELETE', 'PATCH', 'OPTIONS', 'TRACE', 'PROPFIND'];
	const replies = await Promise.all(verbs.map((verb) => ask(door.port, verb, '/health', own)));
	expect(replies.map(({ status }) => status)).toEqual(verbs.map(() => 405));
	const read = await ask(door.port, 'GET', '/rpc/farm/fields/list?data={}', own);
	expect([read.status, read.headers.get('allow'), door.touched()]).toEqual([405, 'POST', 0]);
});

test('no path leads out of the page or of the exports', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const exports = join(door.folder, 'exports');
	mkdirSync(join(exports, 'folder'), { recursive: true });
	writeFileSync(join(exports, 'spray diary.pdf'), 'paper');
	writeFileSync(join(door.folder, 'secret.txt'), 'secret');
	symlinkSync(join(door.folder, 'secret.txt'), join(exports, 'link.txt'));
	const outside = [
		'..%2fsecret.txt',
		'..%5csecret.txt',
		'%2e%2e%2fsecret.txt',
		'..%252fsecret.txt',
		'%00',
		'a%00.pdf',
		'link.txt',
		'folder',
	];
	const others = [
		'%2fetc%2fpasswd',
		'C:%5cWindows%5cwin.ini',
		'%5c%5cserver%5cshare',
		'.',
		'..',
		'%c0%ae%c0%ae%2f',
		'%',
		'CON',
	];
	const pages = [
		'/../package.json',
		'/assets/../../package.json',
		'/%2e%2e/package.json',
		'/assets/..%5c..%5cpackage.json',
	];
	const more = [
		'/index.html%00.js',
		'/assets/',
		'/assets',
		'/etc/passwd',
		'/assets//app.js',
		'/fillmark.sqlite',
		'/owner.json',
	];
	const paths = [...outside, ...others].map((name) => `/exports/farm/${name}`).concat(pages, more);
	expect(paths.length).toBeGreaterThanOrEqual(25);
	const own = fromPage(door.port, signedIn);
	const found: string[] = [];
	for (const path of paths) {
		const { status } = await ask(door.port, 'GET', path, own);
		if (status !== 404) found.push(`${path}: ${status}`);
	}
	expect(found).toEqual([]);
	const good = await ask(door.port, 'GET', '/exports/farm/spray%20diary.pdf', own);
	expect([good.status, good.body, good.headers.get('content-disposition')]).toEqual([
		200,
		'paper',
		"attachment; filename*=UTF-8''spray%20diary.pdf",
	]);
	const typed = await ask(
		door.port,
		'GET',
		'/exports/farm/spray%20diary.pdf',
		withHeader(own, 'Sec-Fetch-Site', 'none'),
	);
	expect(typed.status).toBe(404);
});

test('a file handed over keeps its plain name, in a folder of its own', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const headers = withHeader(fromPage(door.port, signedIn), 'Content-Type', 'application/octet-stream');
	const bytes = 'boundaries '.repeat(100_000);
	const names = ['fields.zip', '..%2F..%2Fevil.zip', '%00.zip', 'Schl%C3%A4ge%20S%C3%BCd.geojson', ''];
	const paths: string[] = [];
	for (const name of names) {
		const reply = await ask(door.port, 'POST', '/upload', [...headers, ['X-File-Name', name]], bytes);
		paths.push((JSON.parse(reply.body) as { path: string }).path);
	}
	const incoming = join(door.folder, 'incoming');
	expect(
		paths.map((path) => [
			path.startsWith(`${incoming}/`),
			path
				.slice(incoming.length + 1)
				.split('/')
				.slice(1),
		]),
	).toEqual([['fields.zip'], ['evil.zip'], ['_.zip'], ['Schläge Süd.geojson'], ['file']].map((name) => [true, name]));
	expect(readFileSync(paths[0] ?? '', 'utf8')).toBe(bytes);
});

test('a file that breaks off leaves nothing behind', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const headers = withHeader(fromPage(door.port, signedIn), 'Content-Type', 'application/octet-stream');
	const lines = headers.map(([name, value]) => `${name}: ${value}\r\n`).join('');
	const socket = connect(door.port, '127.0.0.1');
	socket.write(`POST /upload HTTP/1.1\r\n${lines}X-File-Name: half.zip\r\nContent-Length: 1000\r\n\r\nhalf`);
	await expect
		.poll(() => existsSync(join(door.folder, 'incoming')) && readdirSync(join(door.folder, 'incoming')).length)
		.toBe(1);
	socket.destroy();
	await expect.poll(() => readdirSync(join(door.folder, 'incoming')).length).toBe(0);
});

test('what is too large is refused before it is read', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const own = fromPage(door.port, signedIn);
	const head = (path: string, type: string, extra: string) =>
		`POST ${path} HTTP/1.1\r\n${withHeader(own, 'Content-Type', type)
			.map(([name, value]) => `${name}: ${value}\r\n`)
			.join('')}${extra}\r\n\r\n`;
	const json = 'application/json';
	const bytes = 'application/octet-stream';
	const replies = [
		await askRaw(door.port, head('/rpc/farm/fields/list', json, 'Content-Length: 2000000000')),
		await askRaw(door.port, head('/upload', bytes, 'Content-Length: 2000000000')),
		await askRaw(
			door.port,
			`${head('/rpc/farm/fields/list', json, 'Transfer-Encoding: chunked')}${chunk(LARGEST_JSON_BYTES + 1)}`,
		),
	];
	expect(replies.map(({ status }) => status)).toEqual([413, 413, 413]);
	expect(door.touched()).toBe(0);
});

test('two lengths, or a length and chunks, are refused: no second request is smuggled in', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const lines = fromPage(door.port, signedIn)
		.map(([name, value]) => `${name}: ${value}\r\n`)
		.join('');
	const hidden = `POST /rpc/farm/fields/list HTTP/1.1\r\n${lines}Content-Length: 2\r\n\r\n{}`;
	const starts = [
		'Content-Length: 0\r\nTransfer-Encoding: chunked',
		`Content-Length: 0\r\nContent-Length: ${hidden.length}`,
		'Transfer-Encoding: chunked, identity',
	];
	const replies = [];
	for (const start of starts)
		replies.push(await askRaw(door.port, `POST /session HTTP/1.1\r\n${lines}${start}\r\n\r\n0\r\n\r\n${hidden}`));
	expect([replies.map(({ status }) => status), door.touched()]).toEqual([[400, 400, 400], 0]);
});

test('a request that never ends is cut off within ten seconds', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const lines = fromPage(door.port, signedIn)
		.map(([name, value]) => `${name}: ${value}\r\n`)
		.join('');
	const started = Date.now();
	await Promise.all([
		askRaw(door.port, 'GET / HTTP/1.1\r\nHost: 127'),
		askRaw(door.port, `POST /rpc/farm/fields/list HTTP/1.1\r\n${lines}Content-Length: 100\r\n\r\n{`),
	]);
	expect(Date.now() - started).toBeLessThan(10_000);
});

test('a long answer is not cut off', async () => {
	const door = await openDoor();
	const signedIn = await door.signIn();
	const reply = await ask(
		door.port,
		'POST',
		'/rpc/farm/fields/get',
		fromPage(door.port, signedIn),
		'{"json":{"ms":7000}}',
	);
	expect(JSON.parse(reply.body)).toEqual({ json: 'answered' });
});

test('500 idle connections do not keep the page from being answered', async () => {
	const door = await openDoor();
	const sockets = Array.from({ length: 500 }, () => connect(door.port, '127.0.0.1').on('error', () => {}));
	await Promise.all(sockets.map((socket) => new Promise((done) => socket.once('connect', done))));
	const { status } = await ask(door.port, 'GET', '/health', fromPage(door.port));
	for (const socket of sockets) socket.destroy();
	expect(status).toBe(200);
});

test('after all this abuse the books are byte for byte the same', async () => {
	const door = await openDoor();
	const hash = () =>
		createHash('sha256')
			.update(readFileSync(join(door.folder, 'fillmark.sqlite-wal')))
			.digest('hex');
	const before = hash();
	await everyAnswer(door);
	expect(hash()).toBe(before);
});

test.skipIf(process.platform !== 'linux')('one socket listens, on 127.0.0.1 (Linux: seen in /proc/net)', async () => {
	const door = await openDoor();
	const open = createServer().listen(0, '0.0.0.0');
	await once(open, 'listening');
	const { port } = open.address() as AddressInfo;
	const listening = listeningSockets();
	open.close();
	expect(listening.filter((address) => address.endsWith(`:${door.port}`))).toEqual([`127.0.0.1:${door.port}`]);
	expect(listening.filter((address) => address.endsWith(`:${port}`))).toEqual([`0.0.0.0:${port}`]);
});

test.each(['0.0.0.0', '::', '', 'localhost', '192.168.1.2'])('it does not start on %j', async (host) => {
	const options = { owner: {} as never, program: {} as never, site: new Map(), host };
	await expect(openLoopback(options)).rejects.toThrow('127.0.0.1 only');
});

test('every route is tried', () => {
	expect(Object.keys(routes).length).toBe(10);
});

function chunk(size: number): string {
	return `${size.toString(16)}\r\n${'x'.repeat(size)}\r\n0\r\n\r\n`;
}

/** Every local address in LISTEN (state 0A), of both protocols. Addresses are hexadecimal in host order. */
function listeningSockets(): string[] {
	const lines = ['/proc/net/tcp', '/proc/net/tcp6'].flatMap((file) => readFileSync(file, 'utf8').split('\n'));
	return lines
		.map((line) => line.trim().split(/\s+/))
		.filter((columns) => columns[3] === '0A')
		.map((columns) => {
			const [address = '', port = ''] = (columns[1] ?? '').split(':');
			const bytes =
				address
					.match(/../g)
					?.map((byte) => Number.parseInt(byte, 16))
					.reverse() ?? [];
			return `${bytes.length === 4 ? bytes.join('.') : address}:${Number.parseInt(port, 16)}`;
		});
}
