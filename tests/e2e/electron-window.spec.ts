import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { _electron } from 'playwright';
import { expect, test } from 'playwright/test';
import { sandboxFlags } from '../../electron/host/browser.ts';
import { buildIfStale, desktop } from '../../electron/host/build.ts';
import { electronBinary } from '../../electron/host/electron-binary.ts';
import { hasDisplay } from '../../electron/host/open-browser.ts';

const binary = electronBinary(join(import.meta.dirname, '..', '..'));

test('the desktop window shows the books over a port and knows nothing of Node', async () => {
	test.skip(binary === null, 'Electron’s program has not been fetched on this computer (`npx install-electron`)');
	test.skip(!hasDisplay(process.platform, process.env), 'there is no display to open a window on');
	const main = join(await buildIfStale(desktop), 'app', 'main.js');
	const folder = mkdtempSync(join(tmpdir(), 'fillmark-e2e-'));
	const app = await _electron.launch({
		executablePath: binary ?? '',
		args: [...sandboxFlags(), main, '--data', folder],
	});
	try {
		const window = await app.firstWindow();
		await expect(window.locator('#root')).not.toBeEmpty();
		expect(window.url()).toMatch(/^app:\/\/fillmark\//);
		const seen = await window.evaluate(() => ({
			node: [typeof Reflect.get(globalThis, 'process'), typeof Reflect.get(globalThis, 'require')],
			bridge: Object.keys(Reflect.get(globalThis, 'fillmark')).sort(),
		}));
		expect(seen).toEqual({ node: ['undefined', 'undefined'], bridge: ['openBook', 'pickFile', 'pickTarget'] });
	} finally {
		await app.close();
		rmSync(folder, { recursive: true, force: true });
	}
});
