import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { problemCodes, sentenceOf, statusOf } from '../../shared/basics/problem.ts';

const root = join(import.meta.dirname, '../..');
const text = globSync(['shared/**/*.ts', 'db/**/*.ts', 'electron/**/*.ts'], { cwd: root })
	.filter((file) => !file.endsWith('problem.ts'))
	.map((file) => readFileSync(join(root, file), 'utf8'))
	.join('\n');

test('every refusal in the table is given somewhere', () => {
	expect(problemCodes.filter((code) => !text.includes(`'${code}'`))).toEqual([]);
});

test.each(problemCodes)('%s has a status of the web and a whole sentence', (code) => {
	expect(statusOf(code)).toBeGreaterThanOrEqual(400);
	expect(statusOf(code)).toBeLessThan(600);
	// `input.invalid` says whatever the schema found wrong.
	if (code !== 'input.invalid') expect(sentenceOf({ code, details: {} })).toMatch(/^[^a-z].*\.$/);
});
