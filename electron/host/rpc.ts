import { mkdirSync } from 'node:fs';
import { isAbsolute, join, resolve } from 'node:path';
import { ORPCError } from '@orpc/server';
import type { StandardRPCHandlerOptions } from '@orpc/server/standard';
import type { Problem } from '../../shared/basics/problem.ts';
import { sentenceOf, statusOf } from '../../shared/basics/problem.ts';
import type { DoorContext } from '../procedures/handler.ts';
import type { Owner } from './owner.ts';
import type { BookName } from './program.ts';

/** A refusal in the form the transport carries. */
export function wireRefusal(problem: Problem): ORPCError<string, unknown> {
	return new ORPCError(problem.code, {
		status: statusOf(problem.code),
		message: sentenceOf(problem),
		data: problem.details,
	});
}

/**
 * How a door serves one book: the book is opened at its first request, and a file named without a folder lies in the
 * exports folder of the book.
 */
export function servingOptions(owner: Owner, book: BookName): StandardRPCHandlerOptions<DoorContext> {
	return {
		rootInterceptors: [
			async (options) => {
				const context = owner.contextFor(book);
				if (context.ok) return options.next({ ...options, context: { ...options.context, ...context.value } });
				const error = wireRefusal(context.problem);
				return { matched: true, response: { status: error.status, headers: {}, body: { json: error.toJSON() } } };
			},
		],
		interceptors: [
			async (options) => {
				try {
					return await options.next();
				} catch (error) {
					if (!(error instanceof ORPCError) || error.status >= 500) options.context.log?.(`door: ${describe(error)}`);
					throw error;
				}
			},
		],
		clientInterceptors: [
			(options) => {
				const exports = join(owner.folderOf(book), 'exports');
				const input = withAbsolutePath(options.input, exports);
				if (input !== options.input) mkdirSync(exports, { recursive: true, mode: 0o700 });
				return options.next({ ...options, input });
			},
		],
	};
}

/** The same input with a relative `path` set against a folder. */
export function withAbsolutePath(input: unknown, folder: string): unknown {
	if (typeof input !== 'object' || input === null || !('path' in input)) return input;
	const { path } = input;
	return typeof path === 'string' && path !== '' && !isAbsolute(path)
		? { ...input, path: resolve(folder, path) }
		: input;
}

function describe(error: unknown): string {
	return error instanceof Error ? (error.stack ?? error.message) : String(error);
}
