import { ORPCError } from '@orpc/client';
import type { JsonValue, ProblemCode, ProblemDetails } from '../shared/basics/problem.ts';
import { toProblem } from '../shared/contract/wire-error.ts';

/** A refusal as the page shows it: the same code, sentence and figures as at every other door. */
export type ShownProblem = {
	readonly code: ProblemCode | 'door.closed';
	readonly sentence: string;
	readonly details: ProblemDetails;
};

/** Why a call failed, in one form. A call that never reached the program says so. */
export function problemOf(error: unknown): ShownProblem {
	if (!(error instanceof ORPCError)) return doorClosed;
	const { code, message, details } = toProblem(error);
	return { code, details, sentence: message };
}

/** What a refusal asks a person to choose, if it does: the layers of a file, the reference systems, the units. */
export function choicesOf(problem: ShownProblem): readonly JsonValue[] {
	const choices = problem.details['choices'];
	return Array.isArray(choices) ? choices : [];
}

const doorClosed: ShownProblem = {
	code: 'door.closed',
	sentence: 'The program does not answer. What is entered here is kept; start Fillmark again and save once more.',
	details: {},
};
