import { createORPCClient } from '@orpc/client';
import { RPCLink as FetchLink } from '@orpc/client/fetch';
import { RPCLink as PortLink } from '@orpc/client/message-port';
import type { ContractRouterClient } from '@orpc/contract';
import { createContext, useContext } from 'react';
import type { contract } from '../shared/contract/contract.ts';
import type { Book } from './book.ts';
import { tokenHeader } from './door.ts';

/** Every procedure, typed by the contract: `api.fields.list({})`. */
export type Api = ContractRouterClient<typeof contract>;

const ports = new Map<Book, Promise<MessagePort>>();
const apis = new Map<Book, Promise<Api>>();

/** The line to one book: HTTP to the loopback door in a browser, a message port in the desktop window. */
export function apiOf(book: Book): Promise<Api> {
	const known = apis.get(book);
	if (known) return known;
	const made = window.fillmark ? overPort(book) : Promise.resolve(overHttp(book));
	apis.set(book, made);
	return made;
}

export const BookContext = createContext<Book>('farm');

/** The book this part of the page belongs to. */
export function useBook(): Book {
	return useContext(BookContext);
}

function overHttp(book: Book): Api {
	return createORPCClient(new FetchLink({ url: `${location.origin}/rpc/${book}`, headers: tokenHeader }));
}

async function overPort(book: Book): Promise<Api> {
	const port = await portOf(book);
	port.start();
	return createORPCClient(new PortLink({ port }));
}

function portOf(book: Book): Promise<MessagePort> {
	const known = ports.get(book);
	if (known) return known;
	const arrived = new Promise<MessagePort>((resolve) => {
		const receive = (event: MessageEvent) => {
			const port = event.source === window ? portFor(book, event) : undefined;
			if (!port) return;
			window.removeEventListener('message', receive);
			resolve(port);
		};
		window.addEventListener('message', receive);
	});
	ports.set(book, arrived);
	window.fillmark?.openBook?.(book);
	return arrived;
}

function portFor(book: Book, event: MessageEvent): MessagePort | undefined {
	const data: unknown = event.data;
	const isOurs =
		typeof data === 'object' &&
		data !== null &&
		'type' in data &&
		data.type === 'rpc-port' &&
		'book' in data &&
		data.book === book;
	return isOurs ? event.ports[0] : undefined;
}
