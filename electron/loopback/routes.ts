import { randomBytes } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { join } from 'node:path';
import { RPCHandler } from '@orpc/server/node';
import { type Problem, sentenceOf, statusOf } from '../../shared/basics/problem.ts';
import { backgroundServer } from '../host/background-server.ts';
import { exportedFile } from '../host/exported-file.ts';
import { keepIncomingFile, LARGEST_INCOMING_BYTES } from '../host/incoming-file.ts';
import type { Owner } from '../host/owner.ts';
import { NONCE_MARK, pageWithNonce, type Site, securityHeaders } from '../host/page.ts';
import { type BookName, bookNames, type Program } from '../host/program.ts';
import { servingOptions } from '../host/rpc.ts';
import type { DoorContext } from '../procedures/handler.ts';
import { piecesOf, readJson } from './body.ts';
import { HANDOVER_PATH, valuesOf } from './gate.ts';
import type { Sessions, Shown } from './sessions.ts';

/** Every address that is answered. Only `/health` and the hand-over page ask for nothing. */
export const routePatterns = {
	health: /^\/health$/,
	open: new RegExp(`^${HANDOVER_PATH}$`),
	handover: /^\/handover\.js$/,
	session: /^\/session$/,
	rpc: /^\/rpc\/(farm|demo)\/./,
	upload: /^\/upload$/,
	exported: /^\/exports\/(farm|demo)\/([^/]+)$/,
} as const;

type Ways = {
	readonly owner: Owner;
	readonly program: Program;
	readonly site: Site;
	readonly sessions: Sessions;
	readonly port: number;
};

type Answer = (request: IncomingMessage, response: ServerResponse) => Promise<void>;

const handoverPage = readFileSync(join(import.meta.dirname, 'handover.html'), 'utf8');
const handoverScript = readFileSync(join(import.meta.dirname, 'handover.js'));

/** What happens to a request that the gate let through. */
export function createRoutes(ways: Ways): Answer {
	const { sessions, site } = ways;
	const cookieName = `fillmark-${ways.port}`;
	const posts: readonly (readonly [RegExp, string, Answer])[] = [
		[
			routePatterns.session,
			'application/json',
			(request, response) => openSession(ways, cookieName, request, response),
		],
		[routePatterns.rpc, 'application/json', withKey(createRpcRoute(ways))],
		[
			routePatterns.upload,
			'application/octet-stream',
			withKey((request, response) => receiveFile(ways, request, response)),
		],
	];
	const gets: readonly (readonly [RegExp, Answer])[] = [
		[routePatterns.health, async (_, response) => sendJson(response, 200, { ok: true })],
		[
			routePatterns.handover,
			async (_, response) => send(response, 200, 'text/javascript; charset=utf-8', handoverScript),
		],
		[routePatterns.open, async (_, response) => sendPage(null, response)],
		[/^\/$/, async (request, response) => sendPage(request, response)],
		[routePatterns.exported, withCookie((request, response) => sendExported(ways, request, response))],
	];

	function shown(request: IncomingMessage): Shown {
		const cookies = valuesOf(request.rawHeaders, 'cookie').flatMap((line) => line.split(/; */));
		const own = cookies
			.filter((cookie) => cookie.startsWith(`${cookieName}=`))
			.map((cookie) => cookie.slice(cookieName.length + 1));
		const keys = valuesOf(request.rawHeaders, 'x-fillmark-token').filter((key) => key !== '');
		return { cookie: own.length > 1 ? '' : own[0], key: keys.length > 1 ? '' : keys[0] };
	}

	/** Data is handed out only to a window that shows both its cookie and its key. */
	function withKey(answer: Answer): Answer {
		return async (request, response) => {
			const standing = sessions.standing(shown(request), 'cookie and key');
			return standing === 'in' ? answer(request, response) : sendLocked(standing, response);
		};
	}

	function withCookie(answer: Answer): Answer {
		return async (request, response) => {
			const standing = sessions.standing(shown(request), 'cookie');
			return standing === 'in' ? answer(request, response) : sendLocked(standing, response);
		};
	}

	function sendLocked(standing: 'none' | 'wrong' | 'waiting', response: ServerResponse): void {
		if (standing === 'waiting') sendBusy(response, sessions.waitS());
		else sendRefusal(response, { code: 'door.locked', details: {} });
	}

	/** The page for a window that has its cookie, else the hand-over page. */
	async function sendPage(request: IncomingMessage | null, response: ServerResponse): Promise<void> {
		const nonce = randomBytes(18).toString('base64url');
		const isIn = request !== null && sessions.standing({ cookie: shown(request).cookie }, 'cookie') === 'in';
		const page = isIn ? pageWithNonce(site, nonce) : null;
		const picturesFrom = page === null ? null : await backgroundServer(ways.owner);
		const headers = securityHeaders(nonce, picturesFrom);
		for (const [name, value] of Object.entries(headers)) response.setHeader(name, value);
		send(response, 200, 'text/html; charset=utf-8', page ?? handoverPage.replaceAll(NONCE_MARK, nonce));
	}

	const sendAsset = withCookie(async (request, response) => {
		const asset = site.get(pathOf(request));
		if (asset) send(response, 200, asset.type, asset.bytes);
		else send(response, 404, 'text/plain', 'Not found');
	});

	return async (request, response) => {
		const path = pathOf(request);
		const post = posts.find(([pattern]) => pattern.test(path));
		if (request.method !== 'POST') {
			if (post) return sendNotAllowed(response, 'POST');
			const get = gets.find(([pattern]) => pattern.test(path));
			return get ? get[1](request, response) : sendAsset(request, response);
		}
		if (!post) return send(response, 404, 'text/plain', 'Not found');
		const type = (request.headers['content-type'] ?? '').toLowerCase().replace(/; *charset=utf-8$/, '');
		if (type === post[1]) return post[2](request, response);
		return sendRefusal(response, { code: 'door.foreign', details: { why: `its content is not ${post[1]}` } }, 415);
	};
}

/** A launch token for a session: the cookie goes to the browser, the key to the page. */
async function openSession(
	{ sessions }: Ways,
	cookieName: string,
	request: IncomingMessage,
	response: ServerResponse,
): Promise<void> {
	const body = await readJson(request);
	if (!body.ok) return sendRefusal(response, body.problem);
	const { launch } = Object(body.value) as { launch?: unknown };
	const session = sessions.redeem(typeof launch === 'string' ? launch : '');
	if (session === 'waiting') return sendBusy(response, sessions.waitS());
	if (session === null) return sendRefusal(response, { code: 'door.locked', details: {} });
	response.setHeader('set-cookie', `${cookieName}=${session.cookie}; Path=/; HttpOnly; SameSite=Strict`);
	return sendJson(response, 200, { key: session.key });
}

function createRpcRoute({ owner, program }: Ways): Answer {
	const handlers = new Map(
		bookNames.map((book) => [book, new RPCHandler<DoorContext>(program.router, servingOptions(owner, book))]),
	);
	return async (request, response) => {
		const path = pathOf(request);
		const book = routePatterns.rpc.exec(path)?.[1] as BookName;
		const body = await readJson(request);
		if (!body.ok) return sendRefusal(response, body.problem);
		const read = Object.assign(request, { body: body.value ?? {} });
		const outcome = await handlers.get(book)?.handle(read, response, { prefix: `/rpc/${book}`, context: {} });
		if (outcome?.matched) return;
		const name = path.split('/').slice(3).join('.');
		sendRefusal(response, { code: 'procedure.unknown', details: { name } });
	};
}

async function receiveFile({ owner }: Ways, request: IncomingMessage, response: ServerResponse): Promise<void> {
	const tooLarge: Problem = { code: 'door.tooLarge', details: { limit: '64 MB' } };
	if (Number(request.headers['content-length'] ?? 0) > LARGEST_INCOMING_BYTES) return sendRefusal(response, tooLarge);
	const kept = await keepIncomingFile(
		owner.folder,
		decoded(String(request.headers['x-file-name'] ?? '')),
		piecesOf(request),
	);
	if (!kept.ok) return sendRefusal(response, kept.problem);
	return sendJson(response, 200, { path: kept.value });
}

async function sendExported({ owner }: Ways, request: IncomingMessage, response: ServerResponse): Promise<void> {
	const [, book, name] = routePatterns.exported.exec(pathOf(request)) ?? [];
	const fromPage = request.headers['sec-fetch-site'] === 'same-origin';
	const file = fromPage ? exportedFile(owner.folderOf(book as BookName), decoded(name ?? '')) : null;
	if (!file) return send(response, 404, 'text/plain', 'Not found');
	response.writeHead(200, file.headers);
	file.stream.on('error', () => response.destroy());
	response.on('close', () => file.stream.destroy());
	if (request.method === 'HEAD') response.end();
	else file.stream.pipe(response);
}

function pathOf(request: IncomingMessage): string {
	return (request.url ?? '/').split('?')[0] ?? '/';
}

function decoded(text: string): string {
	try {
		return decodeURIComponent(text);
	} catch {
		return '';
	}
}

/** A refusal in the form the transport's client reads. What is left of the request is not waited for. */
function sendRefusal(response: ServerResponse, problem: Problem, status = statusOf(problem.code)): void {
	response.setHeader('connection', 'close');
	const json = { defined: false, code: problem.code, status, message: sentenceOf(problem), data: problem.details };
	sendJson(response, status, { json });
}

function sendBusy(response: ServerResponse, seconds: number): void {
	response.setHeader('retry-after', seconds);
	sendRefusal(response, { code: 'door.busy', details: { seconds } });
}

function sendNotAllowed(response: ServerResponse, allowed: string): void {
	response.setHeader('allow', allowed);
	sendRefusal(response, { code: 'door.foreign', details: { why: `only ${allowed} is answered here` } }, 405);
}

function sendJson(response: ServerResponse, status: number, value: unknown): void {
	send(response, status, 'application/json', JSON.stringify(value));
}

function send(response: ServerResponse, status: number, type: string, body: string | Buffer): void {
	response.writeHead(status, { 'content-type': type, 'content-length': Buffer.byteLength(body) });
	response.end(body);
}
