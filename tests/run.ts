/** Every check in one run: types, lint, unit and reference tests, the program in a browser. The closing lines say how it went. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';

type Count = { readonly passed: number; readonly failed: number; readonly skipped: number };
type Check = { readonly name: string; readonly args: readonly string[]; readonly count?: () => Count };

const root = join(import.meta.dirname, '..');
const results = join(root, 'tests', 'results');
const unitResults = join(results, 'unit.json');
const e2eResults = join(results, 'e2e.json');

/**
 * `npm test -- <part of a file name>` runs the tests of those files alone. `npm test -- --accept-schema` writes the schema
 * that the migrations now make into its snapshot.
 */
const asked = process.argv.slice(2);
const acceptSchema = asked.includes('--accept-schema');
const only = acceptSchema ? ['tests/unit/migrations.test.ts'] : asked;
const mayBeNone = only.length > 0;

const checks: readonly Check[] = [
	{ name: 'types', args: ['tests/typecheck.ts'] },
	{ name: 'lint', args: ['node_modules/@biomejs/biome/bin/biome', 'check', '--error-on-warnings', '.'] },
	{
		name: 'unit and reference tests',
		args: [
			'node_modules/vitest/vitest.mjs',
			'run',
			'--config',
			'tests/vitest.config.ts',
			'--reporter=default',
			'--reporter=json',
			`--outputFile.json=${unitResults}`,
			...(mayBeNone ? ['--passWithNoTests', ...only] : []),
			...(acceptSchema ? ['--update', '--testNamePattern', 'the committed snapshot is the schema'] : []),
		],
		count: countUnit,
	},
	{
		name: 'browser tests',
		args: [
			'node_modules/playwright/cli.js',
			'test',
			'-c',
			'tests/playwright.config.ts',
			...(mayBeNone ? ['--pass-with-no-tests', ...only] : []),
		],
		count: countE2e,
	},
];

function countUnit(): Count {
	const { numPassedTests, numFailedTests, numPendingTests, numTodoTests } = readJson(unitResults);
	return {
		passed: Number(numPassedTests),
		failed: Number(numFailedTests),
		skipped: Number(numPendingTests) + Number(numTodoTests),
	};
}

function countE2e(): Count {
	const { expected, unexpected, flaky, skipped } = readJson(e2eResults)['stats'] as Record<string, number>;
	return { passed: (expected ?? 0) + (flaky ?? 0), failed: unexpected ?? 0, skipped: skipped ?? 0 };
}

function readJson(file: string): Record<string, unknown> {
	return JSON.parse(readFileSync(file, 'utf8')) as Record<string, unknown>;
}

function seconds(since: number): string {
	return `${Math.round((Date.now() - since) / 1000)} s`;
}

rmSync(results, { recursive: true, force: true });
mkdirSync(results, { recursive: true });
const closing: string[] = [];
const total = { passed: 0, failed: 0, skipped: 0 };
let broken: string | null = null;
for (const { name, args, count } of checks) {
	const started = Date.now();
	console.log(`\n— ${name}`);
	const { status } = spawnSync(process.execPath, args, { cwd: root, stdio: 'inherit' });
	const counted = count ? tryCount(count) : null;
	total.passed += counted?.passed ?? 0;
	total.failed += counted?.failed ?? 0;
	total.skipped += counted?.skipped ?? 0;
	const figures = counted ? `: ${counted.passed} passed, ${counted.failed} failed, ${counted.skipped} skipped` : '';
	closing.push(`${status === 0 ? 'ok    ' : 'FAILED'} ${name}${figures} (${seconds(started)})`);
	const ranNothing = counted !== null && !mayBeNone && counted.passed === 0;
	if (status === 0 && !ranNothing && !(count && counted === null)) continue;
	broken = name;
	process.exitCode = status || 1;
	break;
}
console.log(`\n${closing.join('\n')}`);
if (broken !== null) console.log(`Stopped at ${broken}.`);
if (broken !== null && total.failed === 0) total.failed = 1;
console.log(`${total.passed} passed, ${total.failed} failed, ${total.skipped} skipped`);

/** No figures where the runner broke down before it wrote them. */
function tryCount(count: () => Count): Count | null {
	try {
		return count();
	} catch {
		return null;
	}
}
