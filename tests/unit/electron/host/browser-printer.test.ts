import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { findBrowser } from '../../../../electron/host/browser.ts';
import { createBrowserPrinter } from '../../../../electron/host/browser-printer.ts';
import { scratchFolder } from '../scratch.ts';

const canRead = !spawnSync('pdftotext', ['-v']).error;

test('without a browser the refusal says so', async () => {
	expect(await createBrowserPrinter(() => null).pdf('<p>card</p>')).toEqual({
		ok: false,
		problem: { code: 'pdf.noBrowser', details: {} },
	});
});

test('a browser that prints nothing is a fault, not an empty page', async () => {
	await expect(createBrowserPrinter(() => '/bin/true').pdf('<p>card</p>')).rejects.toThrow('without writing the PDF');
});

test.skipIf(process.platform !== 'linux')(
	'a browser that hangs does not outlive the program (Linux: seen in /proc)',
	async () => {
		const folder = scratchFolder();
		const noted = join(folder, 'pid');
		const hanging = join(folder, 'browser');
		writeFileSync(hanging, `#!/bin/sh\necho $$ > "${noted}"\nexec sleep 100\n`, { mode: 0o755 });
		spawnSync(process.execPath, [join(import.meta.dirname, 'print-and-end.ts'), hanging]);
		const pid = Number(readFileSync(noted, 'utf8'));
		await expect.poll(() => isRunning(pid), { timeout: 5_000 }).toBe(false);
	},
);

test.skipIf(findBrowser() === null || !canRead)(
	'every sign arrives on paper (needs a browser and pdftotext)',
	async () => {
		const signs = 'Fill to ≤ 12 L · Łódź · → stop · ½ · µL · “quoted” · Schläge';
		const html = `<!doctype html><meta charset="utf-8"><style>@page{size:A4}</style><p>${signs}</p><script>document.body.textContent = 'run'</script>`;
		const printed = await createBrowserPrinter().pdf(html);
		if (!printed.ok) throw new Error(printed.problem.code);
		const file = join(scratchFolder(), 'card.pdf');
		writeFileSync(file, printed.value);
		const text = spawnSync('pdftotext', ['-enc', 'UTF-8', file, '-'], { encoding: 'utf8' }).stdout;
		const size = /Page size:\s+(.*)/.exec(spawnSync('pdfinfo', [file], { encoding: 'utf8' }).stdout)?.[1];
		expect([text.trim().normalize('NFKC'), size]).toEqual([signs.normalize('NFKC'), expect.stringContaining('A4')]);
	},
);

/** A killed process that nobody has waited for yet (state Z) no longer runs. */
function isRunning(pid: number): boolean {
	const file = `/proc/${pid}/stat`;
	return existsSync(file) && !/\) Z /.test(readFileSync(file, 'utf8'));
}
