import { Worker } from 'node:worker_threads';
import type { Book } from '../../db/open-book.ts';
import type { Result } from '../../shared/basics/result.ts';
import type { Printer } from './handler.ts';

/** What goes to the reading thread, and what comes back. */
export type AsideTask = { readonly id: number; readonly name: string; readonly input: unknown; readonly now: number };
export type AsideMessage =
	| { readonly kind: 'answer'; readonly id: number; readonly outcome: Result<unknown> }
	| { readonly kind: 'bug'; readonly id: number; readonly trace: string }
	| { readonly kind: 'print'; readonly page: number; readonly html: string };
export type AsideReply = { readonly kind: 'printed'; readonly page: number; readonly outcome: Result<Uint8Array> };

export type Asking = {
	readonly name: string;
	readonly input: unknown;
	readonly now: number;
	readonly demo: boolean;
	readonly printer: Printer | null;
	readonly signal: AbortSignal | undefined;
};

type Waiting = { readonly done: (outcome: Result<unknown>) => void; readonly failed: (error: Error) => void };
type Thread = { readonly worker: Worker; readonly waiting: Map<number, Waiting> };

const threads = new WeakMap<Book, Thread>();
let lastId = 0;

/**
 * Answers a long question in a thread of its own, with a connection that can only read, so that the program goes on
 * meanwhile. A question that is called off ends the thread; the next one starts another.
 */
export function askAside(book: Book, asking: Asking): Promise<Result<unknown>> {
	const { name, input, now, signal } = asking;
	const thread = threads.get(book) ?? startThread(book, asking);
	lastId += 1;
	const id = lastId;
	return new Promise((done, failed) => {
		const calledOff = () => {
			failed(new DOMException('called off', 'AbortError'));
			thread.waiting.delete(id);
			if (thread.waiting.size === 0) void endThread(book);
		};
		if (signal?.aborted) return calledOff();
		signal?.addEventListener('abort', calledOff, { once: true });
		const settle = (after: () => void) => {
			signal?.removeEventListener('abort', calledOff);
			after();
		};
		thread.waiting.set(id, {
			done: (outcome) => settle(() => done(outcome)),
			failed: (error) => settle(() => failed(error)),
		});
		thread.worker.postMessage({ id, name, input, now } satisfies AsideTask);
	});
}

function startThread(book: Book, { demo, printer }: Asking): Thread {
	const entry = import.meta.url.endsWith('.ts') ? './aside-thread.ts' : './aside-thread.js';
	const worker = new Worker(new URL(entry, import.meta.url), {
		workerData: { file: book.file, folder: book.folder, demo },
	});
	const thread: Thread = { worker, waiting: new Map() };
	worker.unref();
	worker.on('message', (message: AsideMessage) => {
		if (message.kind === 'print') return void print(worker, printer, message);
		const waiting = thread.waiting.get(message.id);
		thread.waiting.delete(message.id);
		if (message.kind === 'answer') waiting?.done(message.outcome);
		else waiting?.failed(new Error(message.trace));
	});
	const ended = (error: Error) => {
		if (threads.get(book) === thread) threads.delete(book);
		for (const waiting of thread.waiting.values()) waiting.failed(error);
		thread.waiting.clear();
	};
	worker.on('error', ended);
	worker.on('exit', () => ended(new Error('the reading thread ended')));
	threads.set(book, thread);
	book.beforeClose(() => endThread(book));
	return thread;
}

async function print(
	worker: Worker,
	printer: Printer | null,
	{ page, html }: { page: number; html: string },
): Promise<void> {
	const outcome = printer
		? await printer.pdf(html)
		: ({ ok: false, problem: { code: 'pdf.noBrowser', details: {} } } as const);
	worker.postMessage({ kind: 'printed', page, outcome } satisfies AsideReply);
}

async function endThread(book: Book): Promise<void> {
	const thread = threads.get(book);
	threads.delete(book);
	await thread?.worker.terminate();
}
