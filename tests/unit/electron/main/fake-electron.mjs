/**
 * As much of Electron as the program touches when it starts, for running the built program on plain Node. It opens no
 * window; it keeps what it was asked, for drive-built-program.mjs to look at.
 */
import { fork } from 'node:child_process';
import { EventEmitter } from 'node:events';
import { MessageChannel } from 'node:worker_threads';

export const seen = { order: [], paths: {}, windows: [], handlers: new Map(), pages: null, errors: [] };

export const app = Object.assign(new EventEmitter(), {
	isPackaged: false,
	enableSandbox: () => seen.order.push('sandbox'),
	setPath: (name, path) => Object.assign(seen.paths, { [name]: path }),
	whenReady: async () => seen.order.push('ready'),
	exit: (code) => process.exit(code),
	quit: () => {
		let prevented = false;
		app.emit('before-quit', { preventDefault: () => (prevented = true) });
		if (!prevented) process.exit(0);
	},
});
export const protocol = {
	registerSchemesAsPrivileged: (schemes) => seen.order.push(`scheme ${schemes[0].scheme}`),
	handle: (_, answer) => Object.assign(seen, { pages: answer }),
};
const nothing = () => {};
export const session = {
	defaultSession: {
		setPermissionRequestHandler: () => seen.order.push('permissions'),
		setPermissionCheckHandler: nothing,
		setDevicePermissionHandler: nothing,
		webRequest: { onBeforeRequest: nothing },
	},
};
export const dialog = { showErrorBox: (_, text) => seen.errors.push(text) };
export const Menu = { buildFromTemplate: (template) => template, setApplicationMenu: nothing };
export const MessageChannelMain = MessageChannel;
export const ipcMain = {
	on: (name, run) => seen.handlers.set(name, run),
	handle: (name, run) => seen.handlers.set(name, run),
};
export class BrowserWindow extends EventEmitter {
	webContents = new EventEmitter();
	constructor(options) {
		super();
		seen.windows.push({ options, url: null });
	}
	async loadURL(url) {
		seen.order.push('window');
		seen.windows.at(-1).url = url;
	}
}
export const utilityProcess = {
	fork(entry) {
		const child = fork(entry, { serialization: 'advanced', stdio: ['ignore', 'ignore', 'ignore', 'ipc'] });
		const on = (name, run) => child.on(name, run);
		return { pid: child.pid, postMessage: (message) => child.send(message), on, kill: () => child.kill('SIGKILL') };
	},
};
