import { rmSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { killWhilePosting } from '../torture/kill-while-posting.ts';
import { newFolder } from './electron/procedures/test-books.ts';
import { seededRandom } from './seeded-random.ts';

const KILLS = 8;

test('a process killed while it logs loads loses nothing acknowledged and leaves nothing half', {
	timeout: 120_000,
}, async () => {
	const folder = newFolder();
	onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
	const count = await killWhilePosting(folder, KILLS, seededRandom(20_270_415));
	expect(count).toMatchObject({ kills: KILLS, lost: [], half: [], chainsWhole: true });
	expect(count.acknowledged).toBeGreaterThanOrEqual(KILLS);
	expect(count.stored - count.acknowledged).toBeLessThanOrEqual(KILLS);
});
