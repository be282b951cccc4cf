import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { buildChildren, type Children } from '../torture/children.ts';
import { killWhilePosting } from '../torture/kill-while-posting.ts';
import { scratchFolder } from './electron/scratch.ts';
import { seededRandom } from './seeded-random.ts';

const KILLS = 20;
let children: Children;

beforeAll(async () => {
	children = await buildChildren();
}, 60_000);
afterAll(() => children.remove());

test('a process killed while it logs loads loses nothing acknowledged and leaves nothing half', async () => {
	const folder = scratchFolder();
	const count = await killWhilePosting({ children, folder, kills: KILLS, random: seededRandom(415) });
	expect(count).toMatchObject({ kills: KILLS, lost: [], half: [], brokenChains: [] });
	expect(count.acknowledged).toBeGreaterThanOrEqual(KILLS);
	expect(count.stored - count.acknowledged).toBeLessThanOrEqual(KILLS);
}, 120_000);

test('a process that acknowledges too early is found out', async () => {
	const folder = join(scratchFolder(), 'early');
	const count = await killWhilePosting({ children, folder, kills: 5, random: seededRandom(416), tooEarly: true });
	expect(count.lost.length).toBeGreaterThan(0);
	expect(count).toMatchObject({ half: [], brokenChains: [] });
}, 60_000);
