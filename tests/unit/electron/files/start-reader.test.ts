import { join } from 'node:path';
import { expect, test } from 'vitest';
import { type BoundaryFile, readBoundaryFile } from '../../../../electron/files/boundary-file.ts';
import { startForked } from '../../../../electron/reader/forked-process.ts';
import { residentBytes } from '../../../../electron/reader/process-memory.ts';
import type { ReaderProcess } from '../../../../electron/reader/reader-process.ts';
import { readerLimits } from '../../../../electron/reader/start-reader.ts';
import type { Result } from '../../../../shared/basics/result.ts';

const readers = join(import.meta.dirname, '../../../fixtures/readers');
const farm = join(import.meta.dirname, '../../../fixtures/boundaries/parcelles.zip');

/** Reads with a reader of the tests; answers with the result and whether its process is gone. */
async function readWith(entry: string, limits: { seconds?: number; memoryBytes?: number } = {}) {
	let started: ReaderProcess | null = null;
	const result: Result<BoundaryFile> = await readBoundaryFile(
		farm,
		{},
		{
			startProcess: (program) => {
				started = startForked(program);
				return started;
			},
			limits: { ...readerLimits, entry: join(readers, entry), ...limits },
		},
	);
	const { pid } = started as unknown as ReaderProcess;
	return { result, gone: await isGone(pid ?? 0) };
}

async function isGone(pid: number): Promise<boolean> {
	for (let tries = 0; tries < 100; tries++) {
		if ((await residentBytes(pid)) === null) return true;
		await new Promise((resolve) => setTimeout(resolve, 20));
	}
	return false;
}

test('a reader that never comes back is ended at the time limit', async () => {
	const { result, gone } = await readWith('loops.ts', { seconds: 1 });
	expect([result, gone]).toEqual([
		{ ok: false, problem: { code: 'file.tooSlow', details: { file: 'parcelles.zip', seconds: 1 } } },
		true,
	]);
});

test('a reader that takes memory outside its heap is ended from outside', async () => {
	const { result, gone } = await readWith('swells.ts', { memoryBytes: 200 * 1024 * 1024 });
	const why = 'reading it takes more than 200 MB of memory';
	expect([result, gone]).toEqual([
		{ ok: false, problem: { code: 'file.tooBig', details: { file: 'parcelles.zip', why } } },
		true,
	]);
});

test('a reader that fills its heap is told from a broken one', async () => {
	const [full, broken] = [await readWith('heaps.ts'), await readWith('breaks.ts')];
	expect([full, broken].map(({ result, gone }) => [result.ok || result.problem.code, gone])).toEqual([
		['file.tooBig', true],
		['file.damaged', true],
	]);
});

test('the program goes on while a reader is at work, and the next import works', async () => {
	let beats = 0;
	const pulse = setInterval(() => beats++, 20);
	const { result } = await readWith('loops.ts', { seconds: 1 });
	clearInterval(pulse);
	const next = await readBoundaryFile(farm);
	expect([result.ok, beats > 5, next.ok && next.value.records.length]).toEqual([false, true, 8]);
});

test('the reader may not write, start programs or see the environment', async () => {
	const said = await new Promise((resolve) => {
		const reader = startForked(join(readers, 'tries.ts'));
		reader.listen(resolve, () => undefined);
		reader.send('go');
	});
	expect(said).toEqual({ write: 'ERR_ACCESS_DENIED', start: 'ERR_ACCESS_DENIED', environment: [] });
});
