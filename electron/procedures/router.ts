import { isContractProcedure } from '@orpc/contract';
import { implement, ORPCError } from '@orpc/server';
import { sentenceOf, statusOf } from '../../shared/basics/problem.ts';
import { type Result, refuse } from '../../shared/basics/result.ts';
import { contract } from '../../shared/contract/contract.ts';
import type { DoorContext, Handler } from './handler.ts';
import { handlers } from './handlers.ts';
import { type Call, perform } from './perform.ts';

export type Router = ReturnType<typeof createRouter>;

type Builder = {
	handler(
		run: (call: { input: unknown; context: DoorContext; signal?: AbortSignal | undefined }) => Promise<unknown>,
	): unknown;
	readonly [name: string]: unknown;
};

/** Every procedure of the contract with its handler, ready for any door. */
export function createRouter() {
	const builder = implement(contract).$context<DoorContext>();
	const table = withHandlers(builder as unknown as Builder, contract, handlers, []);
	return builder.router(table as Parameters<typeof builder.router>[0]);
}

function withHandlers(builder: Builder, declared: object, handler: object, path: readonly string[]): unknown {
	if (isContractProcedure(declared)) {
		const name = path.join('.');
		return builder.handler(({ input, context: door, signal }) =>
			answer(handler as Handler<unknown, unknown>, { name, input, door, now: Date.now(), signal }),
		);
	}
	return Object.fromEntries(
		Object.entries(declared).map(([name, inner]) => [
			name,
			withHandlers(builder[name] as Builder, inner as object, (handler as Record<string, object>)[name] ?? {}, [
				...path,
				name,
			]),
		]),
	);
}

/** Runs a handler. A refusal becomes the typed error of the wire; a bug is logged and answered without its inside. */
async function answer(handler: Handler<unknown, unknown>, call: Call): Promise<unknown> {
	const outcome = await attempt(handler, call);
	if (outcome.ok) return outcome.value;
	const { code, details } = outcome.problem;
	throw new ORPCError(code, { status: statusOf(code), message: sentenceOf(outcome.problem), data: details });
}

async function attempt(handler: Handler<unknown, unknown>, call: Call): Promise<Result<unknown>> {
	const { name, door } = call;
	try {
		return await perform(handler, call);
	} catch (error) {
		if (call.signal?.aborted) throw error;
		const code = String((error as { code?: unknown }).code ?? '');
		if (code === 'SQLITE_FULL' || code === 'ENOSPC') return refuse('data.full');
		if (code === 'EIO' || code.startsWith('SQLITE_IOERR')) {
			return refuse('data.diskFault', { why: (error as Error).message });
		}
		if (code.startsWith('SQLITE_CORRUPT')) {
			return refuse('data.damaged', { file: door.book?.file ?? '?', why: (error as Error).message });
		}
		const trace = error instanceof Error ? (error.stack ?? error.message) : String(error);
		(door.log ?? console.error)(`${name}: ${trace}`);
		return refuse('internal');
	}
}
