import type { IncomingMessage } from 'node:http';
import type { Problem } from '../../shared/basics/problem.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';

/** The largest JSON a request may carry: the outline of a large farm is about 2 MB. */
export const LARGEST_JSON_BYTES = 8 * 1024 * 1024;
/** Longest silence between two pieces of a body, and longest time for the whole of a JSON body. */
const LONGEST_SILENCE_MS = 5_000;
const LONGEST_JSON_MS = 10_000;

/** The JSON of a request, read up to the limit. */
export async function readJson(request: IncomingMessage): Promise<Result<unknown>> {
	const tooLarge: Problem = { code: 'door.tooLarge', details: { limit: '8 MB' } };
	if (Number(request.headers['content-length'] ?? 0) > LARGEST_JSON_BYTES) return { ok: false, problem: tooLarge };
	const pieces: Buffer[] = [];
	let size = 0;
	for await (const piece of piecesOf(request, LONGEST_JSON_MS)) {
		size += piece.length;
		if (size > LARGEST_JSON_BYTES) return { ok: false, problem: tooLarge };
		pieces.push(piece);
	}
	try {
		const text = new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(pieces));
		return ok(text === '' ? undefined : JSON.parse(text));
	} catch {
		return refuse('input.invalid', { path: 'input', why: 'not JSON' });
	}
}

/** The pieces of a body. One that stops coming, or takes too long as a whole, is given up: its connection is cut. */
export async function* piecesOf(
	request: IncomingMessage,
	longestMs = Number.POSITIVE_INFINITY,
): AsyncGenerator<Buffer> {
	const until = Date.now() + longestMs;
	const giveUp = () => request.destroy(new Error('the request stopped coming'));
	const arm = () => setTimeout(giveUp, Math.max(0, Math.min(LONGEST_SILENCE_MS, until - Date.now())));
	let timer = arm();
	try {
		for await (const piece of request) {
			clearTimeout(timer);
			yield piece;
			timer = arm();
		}
	} finally {
		clearTimeout(timer);
	}
}
