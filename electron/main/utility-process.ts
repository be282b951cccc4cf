import { join } from 'node:path';
import { utilityProcess } from 'electron';
import { importLimits } from '../files/limits.ts';
import type { ReaderProcess } from '../reader/reader-process.ts';

const heapMegabytes = Math.floor(importLimits.memoryBytes / 1024 / 1024) - 128;

/** Stands in for the forked Node in the desktop build: the reader as a utility process of Electron. */
export function startForked(): ReaderProcess {
	const child = utilityProcess.fork(join(import.meta.dirname, 'reader.js'), [], {
		execArgv: [`--max-old-space-size=${heapMegabytes}`],
		stdio: 'ignore',
		env: {},
		serviceName: 'Fillmark file reader',
	});
	return {
		get pid() {
			return child.pid;
		},
		send: (message) => child.postMessage(message),
		listen: (onMessage, onExit) => {
			child.on('message', onMessage);
			child.on('exit', onExit);
		},
		kill: () => child.kill(),
	};
}
