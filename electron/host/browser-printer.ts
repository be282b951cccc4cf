import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { invariant, ok, refuse } from '../../shared/basics/result.ts';
import type { Printer } from '../procedures/handler.ts';
import { findBrowser, sandboxFlags } from './browser.ts';
import { privateTempFolder } from './owner-note.ts';

const LONGEST_PRINT_MS = 60_000;

/** Prints with the browser found on this computer, without a window, from a profile of its own that is thrown away. */
export function createBrowserPrinter(find: () => string | null = findBrowser): Printer {
	return {
		async pdf(html) {
			const browser = find();
			if (browser === null) return refuse('pdf.noBrowser');
			const folder = await mkdtemp(join(privateTempFolder(), 'print-'));
			try {
				const page = join(folder, 'page.html');
				const paper = join(folder, 'page.pdf');
				await writeFile(page, sealed(html), { mode: 0o600 });
				await runBrowser(browser, [
					'--headless',
					'--disable-gpu',
					'--no-first-run',
					'--no-default-browser-check',
					'--disable-sync',
					'--disable-background-networking',
					'--disable-component-update',
					'--disable-extensions',
					`--user-data-dir=${join(folder, 'profile')}`,
					'--no-pdf-header-footer',
					`--print-to-pdf=${paper}`,
					...sandboxFlags(),
					pathToFileURL(page).href,
				]);
				const bytes = await readFile(paper).catch(() => null);
				invariant(bytes?.subarray(0, 5).toString('latin1') === '%PDF-', 'the browser ended without writing the PDF');
				return ok(new Uint8Array(bytes));
			} finally {
				await rm(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
			}
		},
	};
}

/** The page with a policy of its own: it runs no script and loads nothing, whatever a name on it may say. */
function sealed(html: string): string {
	const policy = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:";
	const start = /<head\b[^>]*>/i.test(html) ? /<head\b[^>]*>/i : /^(\s*<!doctype[^>]*>)?/i;
	return html.replace(start, (found) => `${found}<meta http-equiv="Content-Security-Policy" content="${policy}">`);
}

/** Runs it to its end; one that hangs is ended, and none outlives this process. */
function runBrowser(browser: string, args: readonly string[]): Promise<void> {
	return new Promise((done, failed) => {
		const child = spawn(browser, args, { stdio: 'ignore' });
		const kill = () => child.kill('SIGKILL');
		const late = setTimeout(kill, LONGEST_PRINT_MS);
		process.once('exit', kill);
		const finish = (end: () => void) => {
			clearTimeout(late);
			process.off('exit', kill);
			end();
		};
		child.once('error', (error) => finish(() => failed(error)));
		child.once('exit', () => finish(done));
	});
}
