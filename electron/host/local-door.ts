import { timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { RPCHandler } from '@orpc/server/node';
import type { DoorContext } from '../procedures/handler.ts';
import type { Owner } from './owner.ts';
import { bookNames, type Program } from './program.ts';
import { servingOptions } from './rpc.ts';

/** The owner's ear for other processes of the same user. */
export type LocalDoor = { close(): Promise<void> };

/** Brings up the window; gives the address to open by hand where there is no window to bring up. */
export type Show = () => Promise<string | null>;

export type LocalDoorOptions = {
	readonly address: string;
	readonly token: string;
	readonly owner: Owner;
	readonly program: Program;
	readonly show: Show;
};

const LONGEST_GOODBYE_MS = 10_000;

/** Serves both books and `POST /show` on a socket that only this user can open. */
export async function serveLocally({ address, token, owner, program, show }: LocalDoorOptions): Promise<LocalDoor> {
	const handlers = bookNames.map((book) => ({
		prefix: `/rpc/${book}` as const,
		handler: new RPCHandler<DoorContext>(program.router, { ...servingOptions(owner, book) }),
	}));
	const answer = async (request: IncomingMessage, response: ServerResponse) => {
		if (!sameToken(request.headers['x-fillmark-owner'], token)) return response.writeHead(401).end();
		if (request.method === 'POST' && request.url === '/show') {
			const address = await show();
			return response.writeHead(200, { 'content-type': 'application/json' }).end(JSON.stringify({ address }));
		}
		for (const { prefix, handler } of handlers) {
			const { matched } = await handler.handle(request, response, { prefix, context: {} });
			if (matched) return response;
		}
		return response.writeHead(404).end();
	};
	const server = createServer((request, response) => {
		answer(request, response).catch((error: unknown) => {
			program.log(`local door: ${String(error)}`);
			response.destroy();
		});
	});
	server.requestTimeout = 0;
	await listenPrivately(server, address);
	return { close: () => closeGently(server) };
}

/** The socket file is made with no rights for anyone else. */
function listenPrivately(server: Server, address: string): Promise<void> {
	return new Promise((done, failed) => {
		server.once('error', failed);
		const before = process.umask(0o177);
		try {
			server.listen({ path: address }, done);
		} finally {
			process.umask(before);
		}
	});
}

/** Takes no more requests and waits for those being answered. */
export function closeGently(server: Server): Promise<void> {
	return new Promise((done) => {
		const late = setTimeout(() => server.closeAllConnections(), LONGEST_GOODBYE_MS);
		server.close(() => {
			clearTimeout(late);
			done();
		});
		server.closeIdleConnections();
	});
}

function sameToken(given: unknown, token: string): boolean {
	if (typeof given !== 'string') return false;
	const [a, b] = [Buffer.from(given), Buffer.from(token)];
	return a.length === b.length && timingSafeEqual(a, b);
}
