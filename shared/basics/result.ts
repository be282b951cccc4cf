import type { Problem, ProblemCode, ProblemDetails } from './problem.ts';

/** A refusal travels as a value; only bugs throw. */
export type Result<Value> =
	| { readonly ok: true; readonly value: Value }
	| { readonly ok: false; readonly problem: Problem };

/** The answer. */
export function ok<Value>(value: Value): Result<Value> {
	return { ok: true, value };
}

/** A refusal by the trade or the data. `details` carries the figures needed to act. */
export function refuse(
	code: ProblemCode,
	details: ProblemDetails = {},
): { readonly ok: false; readonly problem: Problem } {
	return { ok: false, problem: { code, details } };
}

/** Thrown for a bug, never for bad input; caught in one place and answered as `internal`. */
export class InvariantError extends Error {
	override readonly name = 'InvariantError';
}

/** States what must hold. The sentence says what is wrong when it does not. */
export function invariant(condition: unknown, sentence: string): asserts condition {
	if (!condition) throw new InvariantError(sentence);
}
