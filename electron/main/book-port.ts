import { RPCHandler } from '@orpc/server/message-port';
import { MessageChannelMain, type WebContents } from 'electron';
import type { Owner } from '../host/owner.ts';
import type { BookName, Program } from '../host/program.ts';
import { servingOptions } from '../host/rpc.ts';
import type { DoorContext } from '../procedures/handler.ts';

/** Hands the page a port of its own to one book. */
export function handOverPort(
	page: Pick<WebContents, 'postMessage'>,
	book: BookName,
	owner: Owner,
	program: Program,
): void {
	const { port1, port2 } = new MessageChannelMain();
	new RPCHandler<DoorContext>(program.router, servingOptions(owner, book)).upgrade(port1, { context: {} });
	port1.start();
	page.postMessage('rpc-port', book, [port2]);
}
