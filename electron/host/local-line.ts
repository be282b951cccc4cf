import { request as httpRequest, type IncomingHttpHeaders, type IncomingMessage } from 'node:http';
import { Readable } from 'node:stream';
import { RPCLink } from '@orpc/client/fetch';
import type { OwnerNote } from './owner-note.ts';
import type { BookName } from './program.ts';
import { wireRefusal } from './rpc.ts';

/** The note names an owner that does not listen: it has just ended or has not begun. */
export class NobodyListens extends Error {
	override readonly name = 'NobodyListens';
}

/** Asks the owner of the data folder for one procedure. Throws what the procedure refused with, or NobodyListens. */
export function callOwner(note: OwnerNote, book: BookName, path: readonly string[], input: unknown): Promise<unknown> {
	const link = new RPCLink({ url: `http://owner/rpc/${book}`, fetch: (request) => send(note, request) });
	return link.call(path, input, { context: {} });
}

/** Asks the owner to bring up its window; the address to open by hand where it has none. */
export async function showOwner(note: OwnerNote): Promise<string | null> {
	const answer = await send(note, new Request('http://owner/show', { method: 'POST' }));
	const { address } = (await answer.json()) as { address: string | null };
	return address;
}

async function send(note: OwnerNote, request: Request): Promise<Response> {
	const body = Buffer.from(await request.arrayBuffer());
	const headers = {
		...Object.fromEntries(request.headers),
		'x-fillmark-owner': note.token,
		'content-length': body.length,
	};
	const { pathname } = new URL(request.url);
	const message = await new Promise<IncomingMessage>((answered, failed) => {
		const sending = httpRequest(
			{ socketPath: note.address ?? '', path: pathname, method: request.method, headers, agent: false },
			answered,
		);
		let connected = false;
		sending.on('socket', (socket) => socket.once('connect', () => (connected = true)));
		sending.on('error', () =>
			failed(connected ? wireRefusal({ code: 'door.closed', details: {} }) : new NobodyListens()),
		);
		sending.end(body);
	});
	const { statusCode: status = 500 } = message;
	const bodyless = status === 204 || status === 304;
	return new Response(bodyless ? null : (Readable.toWeb(message) as ReadableStream), {
		status,
		headers: plain(message.headers),
	});
}

function plain(headers: IncomingHttpHeaders): [string, string][] {
	return Object.entries(headers).flatMap(([name, value]) =>
		[value ?? []].flat().map((one): [string, string] => [name, one]),
	);
}
