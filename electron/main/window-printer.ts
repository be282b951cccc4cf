import { randomBytes } from 'node:crypto';
import { BrowserWindow } from 'electron';
import { ok } from '../../shared/basics/result.ts';
import type { Printer } from '../procedures/handler.ts';
import { APP_SCHEME, PRINT_HOST, printWindowOptions } from './policy.ts';

/** Pages on their way to paper, by a name nobody can guess. */
export type PrintPages = Map<string, string>;

/** Prints from a window that is never shown. Paper size and margins are those of the page's own `@page` rule. */
export function createWindowPrinter(pages: PrintPages): Printer {
	return {
		async pdf(html) {
			const name = randomBytes(16).toString('hex');
			pages.set(name, html);
			const window = new BrowserWindow(printWindowOptions());
			try {
				await window.loadURL(`${APP_SCHEME}://${PRINT_HOST}/${name}`);
				const options = { printBackground: true, preferCSSPageSize: true, generateTaggedPDF: true };
				return ok(new Uint8Array(await window.webContents.printToPDF(options)));
			} finally {
				pages.delete(name);
				window.destroy();
			}
		},
	};
}
