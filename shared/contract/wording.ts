import type { z } from 'zod';

type Issue = z.core.$ZodRawIssue;

/**
 * What is wrong with a value of an input, in words that name the cure. The sentence around it names the place; a kind of
 * trouble that has no words here keeps the schema library's own.
 */
export function wordingOf(issue: Issue): string | undefined {
	switch (issue.code) {
		case 'invalid_type': {
			const wanted = typeNames.get(issue.expected) ?? issue.expected;
			return issue.input === undefined
				? `missing; it must be ${wanted}`
				: `must be ${wanted}, not ${shown(issue.input)}`;
		}
		case 'unrecognized_keys':
			return `nothing is known here as ${issue.keys.join(', ')}; check the spelling`;
		case 'invalid_value':
			return `must be one of ${issue.values.map(String).join(', ')}${notWhat(issue.input)}`;
		case 'too_small':
			return boundary(issue.origin, issue.inclusive === false ? 'more than' : 'at least', issue.minimum, issue.input);
		case 'too_big':
			return boundary(issue.origin, issue.inclusive === false ? 'less than' : 'at most', issue.maximum, issue.input);
		case 'invalid_format': {
			const wanted = formats.get(issue.format);
			return wanted && `must be ${wanted}${notWhat(issue.input)}`;
		}
		default:
			return undefined;
	}
}

const typeNames: ReadonlyMap<string, string> = new Map([
	['number', 'a number'],
	['int', 'a whole number'],
	['string', 'text'],
	['boolean', 'true or false'],
	['array', 'a list'],
	['object', 'an object of named values'],
	['record', 'an object of named values'],
]);

const formats: ReadonlyMap<string, string> = new Map([
	['date', 'a date like 2026-03-31'],
	['datetime', 'a date and time like 2026-03-31T07:30'],
]);

function boundary(origin: string, words: string, limit: number | bigint, input: unknown): string {
	if (origin === 'string') return Number(limit) === 1 ? 'must not be empty' : `must have ${words} ${limit} characters`;
	if (origin === 'array') return `must hold ${words} ${limit} of them`;
	return `must be ${words} ${limit}${notWhat(input)}`;
}

function notWhat(input: unknown): string {
	return input === undefined ? '' : `, not ${shown(input)}`;
}

/** A value as it was given, cut where it is long. */
function shown(input: unknown): string {
	if (Array.isArray(input)) return 'a list';
	if (typeof input === 'object' && input !== null) return 'an object';
	const text = typeof input === 'string' ? `"${input}"` : String(input);
	return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
