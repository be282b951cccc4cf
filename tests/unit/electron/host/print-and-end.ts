/** Begins to print with the browser named and ends at once, as a program does that is told to. */
import { createBrowserPrinter } from '../../../../electron/host/browser-printer.ts';

const [browser = ''] = process.argv.slice(2);
void createBrowserPrinter(() => browser).pdf('<p>card</p>');
setTimeout(() => process.exit(0), 500);
