import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { text } from 'node:stream/consumers';
import { expect, test } from 'vitest';
import { buildIfStale, desktop, page } from '../../../../electron/host/build.ts';
import { scratchFolder } from '../scratch.ts';

const square = [
	[
		[10, 52],
		[10.01, 52],
		[10.01, 52.01],
		[10, 52.01],
		[10, 52],
	],
];
const field = {
	type: 'Feature',
	properties: { name: 'Home Close' },
	geometry: { type: 'Polygon', coordinates: square },
};

test('the built program starts, shows its page, reads a file in a process of its own, and ends cleanly', {
	timeout: 120_000,
}, async () => {
	await buildIfStale(page);
	const main = join(await buildIfStale(desktop), 'app', 'main.js');
	const folder = scratchFolder();
	const boundaries = join(folder, 'fields.geojson');
	writeFileSync(boundaries, JSON.stringify({ type: 'FeatureCollection', features: [field] }));
	const data = join(folder, 'data');
	const child = spawn(process.execPath, [join(import.meta.dirname, 'drive-built-program.mjs'), main, data, boundaries]);
	const [said, complained, [code]] = await Promise.all([text(child.stdout), text(child.stderr), once(child, 'exit')]);
	expect([complained, code]).toEqual(['', 0]);
	expect(JSON.parse(said)).toEqual({
		order: ['sandbox', 'scheme app', 'ready', 'permissions', 'window'],
		errors: [],
		paths: { userData: join(data, 'desktop') },
		url: 'app://fillmark/',
		preload: join(main, '..', 'preload.cjs'),
		page: [200, true],
		book: 'farm',
		added: ['Home Close'],
		fields: ['Home Close'],
	});
	expect(existsSync(join(main, '..', 'preload.cjs'))).toBe(true);
	expect(readdirSync(data).filter((name) => /wal|owner\.(json|sock)/.test(name))).toEqual([]);
});
