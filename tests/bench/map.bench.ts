import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import react from '@vitejs/plugin-react';
import { chromium, type Page } from 'playwright';
import { build, preview } from 'vite';
import { findBrowser, sandboxFlags } from '../../electron/host/browser.ts';
import { FIELDS } from './invented-fields.ts';
import type { MapTimes, Way } from './map-page/page.ts';
import type { BenchRow } from './row.ts';

const STEPS = 41;

/** The map of the register with 10,000 fields, their strips and ponds in view, in a browser without a graphics card, beside the bare map library. */
export async function mapRows(): Promise<BenchRow[]> {
	const outDir = mkdtempSync(join(tmpdir(), 'fillmark-map-bench-'));
	const root = join(import.meta.dirname, 'map-page');
	await build({ root, configFile: false, base: './', logLevel: 'error', plugins: [react()], build: { outDir } });
	const server = await preview({
		root,
		configFile: false,
		logLevel: 'error',
		build: { outDir },
		preview: { host: '127.0.0.1', port: 0 },
	});
	const executablePath = findBrowser();
	const browser = await chromium.launch({
		args: [...sandboxFlags(), '--disable-gpu'],
		...(executablePath ? { executablePath } : {}),
	});
	try {
		const page = await browser.newPage({ viewport: { width: 900, height: 600 } });
		await page.goto(server.resolvedUrls?.local[0] ?? '');
		await page.waitForFunction('window.times !== undefined');
		const crop = await timesOf(page, 'by crop');
		const bare = await timesOf(page, 'bare');
		const difference = await timesOf(page, 'by difference');
		const row = (name: string, ours: number, reference: number, note: string): BenchRow => {
			return { name, ours, reference, ratio: ours / reference, note };
		};
		const moved = `median of ${STEPS} moves of 45 px, ${FIELDS} fields with ${(FIELDS * 3) / 4} strips and ponds in 900 × 600 px, painted; reference: the bare map library, one plain polygon a field`;
		const anew = 'the same, everything drawn anew at another zoom';
		return [
			row('map panned, coloured by crop', crop.pan, bare.pan, moved),
			row('map panned, coloured by difference', difference.pan, bare.pan, moved),
			row('map zoomed, coloured by crop', crop.whole, bare.whole, anew),
			row('map zoomed, coloured by difference', difference.whole, bare.whole, anew),
		];
	} finally {
		await browser.close();
		await server.close();
		rmSync(outDir, { recursive: true, force: true });
	}
}

function timesOf(page: Page, way: Way): Promise<MapTimes> {
	return page.evaluate<MapTimes>(`window.times(${JSON.stringify(way)}, ${STEPS})`);
}
