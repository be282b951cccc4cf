/** The desktop window. Only wires: what may be done is in policy.ts, what is done in the files it names. */
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { app, BrowserWindow, dialog, Menu, protocol, session } from 'electron';
import { type Problem, sentenceOf } from '../../shared/basics/problem.ts';
import { backgroundServer } from '../host/background-server.ts';
import { dataFolderHere, prepareDataFolder } from '../host/data-folder.ts';
import { forgetIncomingFiles } from '../host/incoming-file.ts';
import { loadProgram } from '../host/load-program.ts';
import { showOwner } from '../host/local-line.ts';
import { openLog } from '../host/log.ts';
import { becomeOwner } from '../host/owner.ts';
import { readOwnerNote } from '../host/owner-note.ts';
import { readSite } from '../host/page.ts';
import { handOverPort } from './book-port.ts';
import { guardAllPages, guardSession } from './guard.ts';
import { handle, listen } from './messages.ts';
import { createPages } from './pages.ts';
import { APP_SCHEME, APP_URL, windowOptions } from './policy.ts';
import { createWindowPrinter, type PrintPages } from './window-printer.ts';

const PAGE_FOLDER = join(import.meta.dirname, '..', '..', 'renderer');
const PRELOAD = join(import.meta.dirname, 'preload.cjs');

app.enableSandbox();
protocol.registerSchemesAsPrivileged([
	{ scheme: APP_SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
]);
guardAllPages(app);

function stopFor(problem: Problem): void {
	dialog.showErrorBox('Fillmark', sentenceOf(problem));
	app.exit(1);
}

function openWindow(): BrowserWindow {
	const window = new BrowserWindow(windowOptions(PRELOAD, app.isPackaged));
	window.once('ready-to-show', () => window.show());
	window.webContents.on('render-process-gone', () => window.reload());
	void window.loadURL(APP_URL);
	return window;
}

async function start(): Promise<void> {
	const { values } = parseArgs({ args: process.argv.slice(1), options: { data: { type: 'string' } }, strict: false });
	const prepared = prepareDataFolder(typeof values.data === 'string' ? values.data : dataFolderHere());
	if (!prepared.ok) return stopFor(prepared.problem);
	const folder = prepared.value;
	app.setPath('userData', join(folder, 'desktop'));
	await app.whenReady();

	const printing: PrintPages = new Map();
	const program = await loadProgram(createWindowPrinter(printing), openLog(folder));
	let window: BrowserWindow | null = null;
	const show = async () => {
		if (window?.isMinimized()) window.restore();
		window?.show();
		window?.focus();
		return null;
	};
	const owner = await becomeOwner({ folder, door: 'window', program, show });
	if (owner === null) {
		const note = readOwnerNote(folder);
		if (note?.address) await showOwner(note);
		return note?.address
			? app.exit(0)
			: stopFor({ code: 'data.inUse', details: { folder, holder: `process ${note?.pid ?? '?'}` } });
	}
	if (!owner.ok) return stopFor(owner.problem);
	forgetIncomingFiles(folder);
	closeWithLastWindow(() => owner.value.close());
	guardSession(session.defaultSession, () => backgroundServer(owner.value));
	protocol.handle(APP_SCHEME, createPages(readSite(PAGE_FOLDER), owner.value, printing));
	Menu.setApplicationMenu(Menu.buildFromTemplate(menu()));
	listen('open-book', (event, book) => handOverPort(event.sender, book, owner.value, program));
	handle('pick-file', async (_, kinds) => {
		const filters = kinds.map(({ name, extensions }) => ({ name, extensions: [...extensions] }));
		const { filePaths } = await dialog.showOpenDialog({ properties: ['openFile'], filters });
		const [path] = filePaths;
		return path === undefined ? null : { path, name: basename(path) };
	});
	handle('pick-target', async (_, name) => {
		const { filePath } = await dialog.showSaveDialog({ defaultPath: name });
		return filePath ? filePath : null;
	});
	window = openWindow();
}

/** Closes the books before the program ends, whichever way it is told to. */
function closeWithLastWindow(close: () => Promise<void>): void {
	let closed = false;
	app.on('window-all-closed', () => app.quit());
	app.on('before-quit', (event) => {
		if (closed) return;
		event.preventDefault();
		closed = true;
		void close().finally(() => app.quit());
	});
	for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => app.quit());
}

function menu(): Electron.MenuItemConstructorOptions[] {
	const own: Electron.MenuItemConstructorOptions[] = process.platform === 'darwin' ? [{ role: 'appMenu' }] : [];
	const zoom = (['resetZoom', 'zoomIn', 'zoomOut', 'togglefullscreen'] as const).map((role) => ({ role }));
	return [...own, { role: 'editMenu' }, { label: 'View', submenu: zoom }, { role: 'windowMenu' }];
}

start().catch((error: unknown) => {
	dialog.showErrorBox('Fillmark', error instanceof Error ? (error.stack ?? error.message) : String(error));
	app.exit(1);
});
