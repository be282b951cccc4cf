import {
	type JsonValue,
	type Problem,
	type ProblemCode,
	type ProblemDetails,
	problemCodes,
	sentenceOf,
} from '../basics/problem.ts';

/** A refusal as every door hands it out: the code, the sentence a person reads, the figures needed to act. */
export type WireProblem = { readonly code: ProblemCode; readonly message: string; readonly details: ProblemDetails };

/** How the transport's own error codes are called here. */
const transportCodes: ReadonlyMap<string, ProblemCode> = new Map([
	['BAD_REQUEST', 'input.invalid'],
	['NOT_FOUND', 'procedure.unknown'],
	['PAYLOAD_TOO_LARGE', 'door.tooLarge'],
	['INTERNAL_SERVER_ERROR', 'internal'],
]);

/**
 * What a failed call means, the same at every door. Anything that is not a refusal of ours is a bug (`internal`); the
 * words of the bug stay in the log.
 */
export function toProblem(error: unknown): WireProblem {
	const given = isObject(error) ? String(error['code']) : '';
	const code = transportCodes.get(given) ?? problemCodes.find((known) => known === given) ?? 'internal';
	const details = code !== 'internal' && isObject(error) ? detailsOf(error['data']) : {};
	return wireProblem({ code, details: code === 'input.invalid' ? { ...unreadable, ...details } : details });
}

/** A problem with its sentence. */
export function wireProblem(problem: Problem): WireProblem {
	return { code: problem.code, message: sentenceOf(problem), details: problem.details };
}

const unreadable = { path: 'input', why: 'it could not be read' };

function detailsOf(data: unknown): ProblemDetails {
	if (!isObject(data)) return {};
	if (!Array.isArray(data['issues'])) return data as ProblemDetails;
	const issues = data['issues']
		.filter(isObject)
		.map((issue) => ({ path: pathOf(issue['path']), why: String(issue['message']) }));
	const [first = unreadable] = issues;
	return issues.length > 1 ? { ...first, issues } : first;
}

/** `['fields', 2, 'areaHa']` → `fields[2].areaHa`. */
function pathOf(path: unknown): string {
	const steps = (Array.isArray(path) ? path : []).map(
		(step: unknown) => (isObject(step) ? step['key'] : step) as JsonValue,
	);
	const text = steps.map((step) => (typeof step === 'number' ? `[${step}]` : `.${String(step)}`)).join('');
	return text === '' ? 'input' : text.replace(/^\./, '');
}

function isObject(value: unknown): value is Record<string, unknown> {
	return typeof value === 'object' && value !== null;
}
