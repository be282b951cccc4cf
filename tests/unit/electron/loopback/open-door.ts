import { connect } from 'node:net';
import { onTestFinished } from 'vitest';
import { becomeOwner, type Owner } from '../../../../electron/host/owner.ts';
import type { Site } from '../../../../electron/host/page.ts';
import { type Loopback, openLoopback } from '../../../../electron/loopback/server.ts';
import { scratchFolder } from '../scratch.ts';
import { testProgram } from '../test-program.ts';

export type OpenDoor = Loopback & {
	readonly folder: string;
	readonly owner: Owner;
	touched(): number;
	signIn(): Promise<SignedIn>;
};
export type SignedIn = { readonly cookie: string; readonly key: string };
export type Header = readonly [name: string, value: string];
export type Reply = { readonly status: number; readonly headers: Headers; readonly body: string };

const site: Site = new Map([
	[
		'/index.html',
		{ type: 'text/html; charset=utf-8', bytes: Buffer.from('<meta content="__CSP_NONCE__"><p>the page</p>') },
	],
	['/assets/app.js', { type: 'text/javascript; charset=utf-8', bytes: Buffer.from('console.log(1)') }],
]);

/** The loopback door of a small program, closed after the test. */
export async function openDoor(): Promise<OpenDoor> {
	const folder = scratchFolder();
	const program = testProgram();
	const owner = await becomeOwner({ folder, door: 'browser', program, show: async () => null });
	if (!owner?.ok) throw new Error('the folder could not be taken');
	const door = await openLoopback({ owner: owner.value, program, site });
	onTestFinished(async () => {
		await door.close();
		await owner.value.close();
	});
	const signIn = async () => {
		const launch = door.launchUrl().split('#launch=')[1];
		const reply = await ask(door.port, 'POST', '/session', fromPage(door.port), JSON.stringify({ launch }));
		const cookie = reply.headers.get('set-cookie')?.split(';')[0] ?? '';
		return { cookie, key: (JSON.parse(reply.body) as { key: string }).key };
	};
	return { ...door, folder, owner: owner.value, touched: program.touched, signIn };
}

/** The headers a browser sends with a request of the page itself. */
export function fromPage(port: number, signedIn?: Partial<SignedIn>): Header[] {
	return [
		['Host', `127.0.0.1:${port}`],
		['Origin', `http://127.0.0.1:${port}`],
		['Sec-Fetch-Site', 'same-origin'],
		['Content-Type', 'application/json'],
		...(signedIn?.cookie ? [['Cookie', signedIn.cookie] as const] : []),
		...(signedIn?.key ? [['X-Fillmark-Token', signedIn.key] as const] : []),
	];
}

/** Takes headers of that name out and puts the new value in, if there is one. */
export function withHeader(headers: readonly Header[], name: string, value: string | null): Header[] {
	const rest = headers.filter(([known]) => known.toLowerCase() !== name.toLowerCase());
	return value === null ? rest : [...rest, [name, value]];
}

/** One request, written byte by byte as asked, no client in between. */
export function ask(
	port: number,
	method: string,
	target: string,
	headers: readonly Header[],
	body = '',
): Promise<Reply> {
	const length: Header[] = body === '' ? [] : [['Content-Length', String(Buffer.byteLength(body))]];
	const lines = [...headers, ...length, ['Connection', 'close']].map(([name, value]) => `${name}: ${value}\r\n`);
	return askRaw(port, `${method} ${target} HTTP/1.1\r\n${lines.join('')}\r\n${body}`);
}

/** Sends the bytes and gives what came back until the other side closed; status 0 when that was nothing. */
export function askRaw(port: number, bytes: string | Buffer, longestMs = 15_000): Promise<Reply> {
	return new Promise((done, failed) => {
		const pieces: Buffer[] = [];
		const socket = connect(port, '127.0.0.1', () => socket.write(bytes));
		const late = setTimeout(() => {
			socket.destroy();
			failed(new Error(`not closed within ${longestMs} ms`));
		}, longestMs);
		socket.on('data', (piece) => pieces.push(piece));
		socket.on('error', () => {});
		socket.on('close', () => {
			clearTimeout(late);
			done(parse(Buffer.concat(pieces)));
		});
	});
}

function parse(bytes: Buffer): Reply {
	const end = bytes.indexOf('\r\n\r\n');
	const [first = '', ...lines] = bytes.subarray(0, Math.max(0, end)).toString().split('\r\n');
	const headers = new Headers(
		lines.map((line): [string, string] => [line.split(':')[0] ?? '', line.slice(line.indexOf(':') + 1).trim()]),
	);
	const rest = bytes.subarray(end + 4);
	const body = headers.get('transfer-encoding') === 'chunked' ? withoutChunks(rest) : rest;
	return { status: Number(first.split(' ')[1] ?? 0), headers, body: body.toString() };
}

/** RFC 9112 §7.1. */
function withoutChunks(bytes: Buffer): Buffer {
	const lineEnd = bytes.indexOf('\r\n');
	const size = Number.parseInt(bytes.subarray(0, Math.max(0, lineEnd)).toString(), 16);
	if (!size) return Buffer.alloc(0);
	const start = lineEnd + 2;
	return Buffer.concat([bytes.subarray(start, start + size), withoutChunks(bytes.subarray(start + size + 2))]);
}
