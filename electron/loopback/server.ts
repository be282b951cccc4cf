import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Duplex } from 'node:stream';
import { sentenceOf } from '../../shared/basics/problem.ts';
import { closeGently } from '../host/local-door.ts';
import type { Owner } from '../host/owner.ts';
import { type Site, securityHeaders } from '../host/page.ts';
import type { Program } from '../host/program.ts';
import { HANDOVER_PATH, turnedAway } from './gate.ts';
import { createRoutes } from './routes.ts';
import { createSessions } from './sessions.ts';

/** The door for this computer's browser. */
export type Loopback = {
	readonly port: number;
	readonly origin: string;
	/** An address that opens one window, once, within a minute. */
	launchUrl(): string;
	/** Settles when the next window shows its token. */
	nextOpened(): Promise<void>;
	close(): Promise<void>;
};

export type LoopbackOptions = {
	readonly owner: Owner;
	readonly program: Program;
	readonly site: Site;
	readonly port?: number;
	/** Only this computer's own addresses; anything else is refused. */
	readonly host?: string;
};

const LIMITS = { maxHeaderSize: 16_384, headersTimeout: 5_000, requestTimeout: 60_000, keepAliveTimeout: 5_000 };
const MOST_CONNECTIONS = 512;

/** Serves the page and both books on 127.0.0.1, and nowhere else. */
export async function openLoopback({
	owner,
	program,
	site,
	port = 0,
	host = '127.0.0.1',
}: LoopbackOptions): Promise<Loopback> {
	if (host !== '127.0.0.1') throw new Error(`Fillmark listens on 127.0.0.1 only, not on ${host || 'every address'}.`);
	const waiting: (() => void)[] = [];
	const sessions = createSessions(Date.now, () => waiting.splice(0).forEach((tell) => void tell()));
	const server = createServer({ ...LIMITS, connectionsCheckingInterval: 1_000, requireHostHeader: false });
	server.maxConnections = MOST_CONNECTIONS;
	await listen(server, port, host);
	const own = (server.address() as AddressInfo).port;
	const routes = createRoutes({ owner, program, site, sessions, port: own });
	const answer = async (request: IncomingMessage, response: ServerResponse) => {
		for (const [name, value] of Object.entries(securityHeaders())) response.setHeader(name, value);
		const { method = '', url: target = '', rawHeaders } = request;
		const turned = turnedAway({ method, target, rawHeaders }, own);
		if (!turned) return routes(request, response);
		const message = sentenceOf({ code: 'door.foreign', details: { why: turned.why } });
		const json = { defined: false, code: 'door.foreign', status: turned.status, message, data: { why: turned.why } };
		response.writeHead(turned.status, { 'content-type': 'application/json', connection: 'close' });
		response.end(JSON.stringify({ json }));
	};
	const serve = (request: IncomingMessage, response: ServerResponse) => {
		answer(request, response).catch((error: unknown) => {
			if (!request.destroyed) program.log(`loopback door: ${error instanceof Error ? error.stack : String(error)}`);
			if (response.headersSent) response.destroy();
			else response.writeHead(500, { connection: 'close' }).end();
		});
	};
	server.on('request', serve);
	server.on('checkExpectation', (_, response: ServerResponse) => {
		response.writeHead(417, { ...securityHeaders(), connection: 'close' }).end();
	});
	server.on('upgrade', (_, socket) => endRaw(socket, '403 Forbidden'));
	server.on('connect', (_, socket) => endRaw(socket, '405 Method Not Allowed'));
	server.on('clientError', (error: NodeJS.ErrnoException, socket) => endRaw(socket, statusOfParser(error.code)));
	const origin = `http://127.0.0.1:${own}`;
	return {
		port: own,
		origin,
		launchUrl: () => `${origin}${HANDOVER_PATH}#launch=${sessions.newLaunchToken()}`,
		nextOpened: () => new Promise((tell) => waiting.push(tell)),
		close: () => closeGently(server),
	};
}

function listen(server: Server, port: number, host: string): Promise<void> {
	return new Promise((done, failed) => {
		server.once('error', failed);
		server.listen({ port, host, exclusive: true }, () => {
			server.off('error', failed);
			done();
		});
	});
}

/** Answers what never became a request, with the same headers as everything else. */
function endRaw(socket: Duplex, status: string): void {
	socket.on('error', () => socket.destroy());
	if (!socket.writable) return void socket.destroy();
	const headers = Object.entries({ ...securityHeaders(), connection: 'close', 'content-length': '0' });
	socket.end(`HTTP/1.1 ${status}\r\n${headers.map(([name, value]) => `${name}: ${value}\r\n`).join('')}\r\n`);
	setTimeout(() => socket.destroy(), 1_000).unref();
}

function statusOfParser(code: string | undefined): string {
	if (code === 'HPE_HEADER_OVERFLOW') return '431 Request Header Fields Too Large';
	if (code === 'ERR_HTTP_REQUEST_TIMEOUT') return '408 Request Timeout';
	return '400 Bad Request';
}
