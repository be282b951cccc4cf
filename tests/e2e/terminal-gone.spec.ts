import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { expect, test } from 'playwright/test';
import { callOwner, showOwner } from '../../electron/host/local-line.ts';
import { readOwnerNote } from '../../electron/host/owner-note.ts';

test('the program goes on when the terminal it was started in is gone', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'fillmark-e2e-'));
	const launch = join(import.meta.dirname, '../../electron/launch.ts');
	const child = spawn(process.execPath, [launch, '--data', folder, '--no-open'], {
		stdio: ['ignore', 'pipe', 'ignore'],
	});
	const ended = once(child, 'exit');
	try {
		await once(child.stdout, 'data');
		child.stdout.destroy();
		const note = readOwnerNote(folder);
		if (!note) throw new Error('the program has no note in its folder');
		expect(await showOwner(note)).toMatch(/^http:/);
		await sleep(500);
		expect(await showOwner(note)).toMatch(/^http:/);
		expect(await callOwner(note, 'farm', ['settings', 'get'], {})).toMatchObject({ farmName: null });
	} finally {
		child.kill('SIGTERM');
		await ended;
		rmSync(folder, { recursive: true, force: true });
	}
});
