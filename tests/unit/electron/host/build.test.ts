import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import { buildIfStale, stampOf, type Target } from '../../../../electron/host/build.ts';
import { scratchFolder } from '../scratch.ts';

function target(build: Target['build']): Target {
	return { name: 'thing', sources: ['src', 'lock.json'], build };
}

function project(): string {
	const root = scratchFolder();
	mkdirSync(join(root, 'src', 'deep'), { recursive: true });
	writeFileSync(join(root, 'src', 'deep', 'a.ts'), 'a');
	writeFileSync(join(root, 'lock.json'), '{}');
	return root;
}

test('is built once, and again when a source changes, comes or goes by another name', async () => {
	const root = project();
	const build = vi.fn(async (_: string, into: string) =>
		writeFileSync(join(into, 'out'), String(build.mock.calls.length)),
	);
	const thing = target(build);
	const counts: number[] = [];
	const buildAgain = async () => {
		await buildIfStale(thing, root);
		counts.push(build.mock.calls.length);
	};
	await buildAgain();
	await buildAgain();
	writeFileSync(join(root, 'src', 'deep', 'a.ts'), 'b');
	await buildAgain();
	writeFileSync(join(root, 'src', 'b.ts'), '');
	await buildAgain();
	writeFileSync(join(root, 'elsewhere.ts'), '');
	await buildAgain();
	expect([counts, readdirSync(join(root, 'build'))]).toEqual([[1, 1, 2, 3, 3], ['thing']]);
});

test('a build that fails leaves the old one in place', async () => {
	const root = project();
	const built = await buildIfStale(
		target(async (_, into) => writeFileSync(join(into, 'out'), 'old')),
		root,
	);
	writeFileSync(join(root, 'src', 'deep', 'a.ts'), 'broken');
	const failing = target(() => Promise.reject(new Error('cannot be built')));
	await expect(buildIfStale(failing, root)).rejects.toThrow('cannot be built');
	expect([readFileSync(join(built, 'out'), 'utf8'), readdirSync(join(root, 'build'))]).toEqual(['old', ['thing']]);
});

test('of two that build at once the first one stays, and nothing is left beside it', async () => {
	const root = project();
	const writing = (text: string, after: Promise<void>): Target =>
		target(async (_, into) => {
			await after;
			writeFileSync(join(into, 'out'), text);
		});
	const firstDone = Promise.withResolvers<void>();
	const second = buildIfStale(writing('second', firstDone.promise), root);
	const built = await buildIfStale(writing('first', Promise.resolve()), root);
	firstDone.resolve();
	await second;
	expect([readFileSync(join(built, 'out'), 'utf8'), readdirSync(join(root, 'build'))]).toEqual(['first', ['thing']]);
});

test('moving a line from one file to the next changes the stamp', () => {
	const [first, second] = [project(), project()];
	writeFileSync(join(first, 'src', 'b.ts'), 'x');
	writeFileSync(join(second, 'src', 'deep', 'a.ts'), 'ax');
	writeFileSync(join(second, 'src', 'b.ts'), '');
	expect(stampOf(first, ['src'])).not.toBe(stampOf(second, ['src']));
});
