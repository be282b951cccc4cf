import { randomBytes } from 'node:crypto';
import { Readable } from 'node:stream';
import { sentenceOf, statusOf } from '../../shared/basics/problem.ts';
import { backgroundServer } from '../host/background-server.ts';
import { exportedFile } from '../host/exported-file.ts';
import { keepIncomingFile } from '../host/incoming-file.ts';
import type { Owner } from '../host/owner.ts';
import { pageWithNonce, type Site } from '../host/page.ts';
import type { BookName } from '../host/program.ts';
import { APP_HOST, appHeaders, assetPathOf, PRINT_HOST, printHeaders } from './policy.ts';
import type { PrintPages } from './window-printer.ts';

/** Answers every address of the app scheme: the page, the files it hands over and takes, and pages on their way to paper. */
export function createPages(site: Site, owner: Owner, printing: PrintPages): (request: Request) => Promise<Response> {
	return async (request) => {
		const url = new URL(request.url);
		if (url.host === PRINT_HOST) return printPage(printing, url.pathname);
		if (url.host !== APP_HOST) return notFound();
		if (request.method === 'POST') return url.pathname === '/upload' ? receiveFile(owner, request) : notFound();
		if (request.method !== 'GET') return notFound();
		const [, book, name] = /^\/exports\/(farm|demo)\/([^/]+)$/.exec(url.pathname) ?? [];
		if (book && name) return sendExported(owner, book as BookName, name);
		return sendAsset(site, owner, request.url);
	};
}

async function sendAsset(site: Site, owner: Owner, url: string): Promise<Response> {
	const path = assetPathOf(url);
	const asset = path === null ? undefined : site.get(path);
	if (!asset) return notFound();
	if (path !== '/index.html')
		return new Response(new Uint8Array(asset.bytes), { headers: { ...appHeaders(null), 'content-type': asset.type } });
	const nonce = randomBytes(18).toString('base64url');
	const headers = { ...appHeaders(nonce, await backgroundServer(owner)), 'content-type': asset.type };
	return new Response(pageWithNonce(site, nonce), { headers });
}

async function receiveFile(owner: Owner, request: Request): Promise<Response> {
	if (!request.body) return notFound();
	const name = decoded(request.headers.get('x-file-name') ?? '');
	const kept = await keepIncomingFile(owner.folder, name, Readable.fromWeb(request.body as never));
	if (kept.ok) return Response.json({ path: kept.value }, { headers: appHeaders(null) });
	const { code } = kept.problem;
	return Response.json(
		{ code, message: sentenceOf(kept.problem) },
		{ status: statusOf(code), headers: appHeaders(null) },
	);
}

function sendExported(owner: Owner, book: BookName, name: string): Response {
	const file = exportedFile(owner.folderOf(book), decoded(name));
	if (!file) return notFound();
	const headers = Object.fromEntries(Object.entries(file.headers).map(([header, value]) => [header, String(value)]));
	return new Response(Readable.toWeb(file.stream) as never, { headers: { ...appHeaders(null), ...headers } });
}

function printPage(printing: PrintPages, path: string): Response {
	const html = printing.get(path.slice(1));
	return html === undefined ? notFound() : new Response(html, { headers: printHeaders() });
}

function notFound(): Response {
	return new Response('Not found', { status: 404, headers: { ...appHeaders(null), 'content-type': 'text/plain' } });
}

function decoded(text: string): string {
	try {
		return decodeURIComponent(text);
	} catch {
		return '';
	}
}
