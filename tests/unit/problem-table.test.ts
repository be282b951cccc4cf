import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { type ProblemCode, problemCodes, sentenceOf, statusOf } from '../../shared/basics/problem.ts';

const root = join(import.meta.dirname, '../..');
const read = (patterns: string[]) =>
	globSync(patterns, { cwd: root })
		.filter((file) => !file.endsWith('problem.ts') && !file.endsWith('problem-table.test.ts'))
		.map((file) => ({ file: file.replaceAll('\\', '/'), text: readFileSync(join(root, file), 'utf8') }));
const sources = read(['shared/**/*.ts', 'db/**/*.ts', 'electron/**/*.ts']);
const tests = read(['tests/**/*.ts', 'tests/**/*.tsx']);

test('every refusal in the table is given somewhere', () => {
	expect(problemCodes.filter((code) => !sources.some(({ text }) => text.includes(`'${code}'`)))).toEqual([]);
});

test('every refusal is met by some test', () => {
	expect(problemCodes.filter((code) => !tests.some(({ text }) => text.includes(`'${code}'`)))).toEqual([]);
});

test.each(problemCodes)('%s has a status of the web and a whole sentence', (code) => {
	expect(statusOf(code)).toBeGreaterThanOrEqual(400);
	expect(statusOf(code)).toBeLessThan(600);
	// `input.invalid` says whatever the schema found wrong.
	if (code !== 'input.invalid') expect(sentenceOf({ code, details: {} })).toMatch(/^[^a-z].*\.$/);
});

/** The names a sentence stands for: those that turn up in it when each detail says its own name. */
function figuresOf(code: ProblemCode): string[] {
	const echo = new Proxy({}, { get: (_, name) => `‹${String(name)}›` });
	return [...new Set([...sentenceOf({ code, details: echo }).matchAll(/‹(\w+)›/g)].map(([, name = '']) => name))];
}

type Given = { readonly file: string; readonly code: ProblemCode; readonly names: readonly string[] | null };

/** Every place that refuses with details written out on the spot. `names` is null where some come from elsewhere. */
function refusals(file: string, text: string): Given[] {
	const found: Given[] = [];
	for (const match of text.matchAll(/(?:refuse\(\s*|code: )'([\w.]+)'\s*(\)|,\s*(?:details:\s*)?\{)?/g)) {
		const [whole, code = '', next] = match;
		if (!problemCodes.includes(code as ProblemCode)) continue;
		if (next === undefined) continue;
		const names = next === ')' ? [] : topNames(text.slice(match.index + whole.length));
		found.push({ file, code: code as ProblemCode, names });
	}
	return found;
}

/** The names of an object literal, from behind its opening brace; null where something is spread into it. */
function topNames(text: string): string[] | null {
	const names: string[] = [];
	let depth = 0;
	let atName = true;
	for (let at = 0; at < text.length; at++) {
		const char = text[at] ?? '';
		if (depth === 0 && char === '}') return names;
		if (char === "'" || char === '`') {
			at = endOfText(text, at);
			continue;
		}
		if (depth === 0 && atName && text.startsWith('...', at)) return null;
		const name = depth === 0 && atName ? /^\w+/.exec(text.slice(at)) : null;
		if (name) {
			names.push(name[0]);
			atName = false;
			at += name[0].length - 1;
		} else if ('{[('.includes(char)) depth += 1;
		else if ('}])'.includes(char)) depth -= 1;
		else if (char === ',' && depth === 0) atName = true;
	}
	return null;
}

function endOfText(text: string, from: number): number {
	for (let at = from + 1; at < text.length; at++) {
		if (text[at] === '\\') at += 1;
		else if (text[at] === text[from]) return at;
	}
	return text.length;
}

function missing({ code, names }: Given): string[] {
	return names === null ? [] : figuresOf(code).filter((name) => !names.includes(name));
}

test('whoever refuses brings every figure of the sentence', () => {
	const all = sources.flatMap(({ file, text }) => refusals(file, text));
	expect(all.length).toBeGreaterThan(120);
	expect(all.filter(({ names }) => names !== null).length / all.length).toBeGreaterThan(0.8);
	const short = all.map((given) => ({ ...given, missing: missing(given) })).filter((given) => given.missing.length > 0);
	expect(short.map(({ file, code, missing: lacks }) => `${file}: ${code} without ${lacks.join(', ')}`)).toEqual([]);
});

test('a figure that is missing is found', () => {
	const lines = "refuse('key.reused', { note: f({ key: 1 }), 'x': `}` }) refuse('data.full') refuse('key.reused')";
	expect(refusals('x.ts', lines).map(missing)).toEqual([['key'], [], ['key']]);
	expect(refusals('x.ts', "refuse('key.reused', { ...given })").map(missing)).toEqual([[]]);
	expect(figuresOf('data.inUse')).toEqual(['folder', 'holder']);
});
