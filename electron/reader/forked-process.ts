/** The reader as a child of Node, without the right to write files, start programs or see the environment. */
import { fork } from 'node:child_process';
import { importLimits } from '../files/limits.ts';
import type { ReaderProcess } from './reader-process.ts';

const heapMegabytes = Math.floor(importLimits.memoryBytes / 1024 / 1024) - 128;

/** SQLite is an addon; a thread of its own compares the ground, and is held to the same. */
const allowed = ['--allow-addons', '--allow-worker'];

/** Forks the running Node. */
export function startForked(entry: string): ReaderProcess {
	const child = fork(entry, [], {
		execArgv: [`--max-old-space-size=${heapMegabytes}`, '--permission', '--allow-fs-read=*', ...allowed],
		serialization: 'advanced',
		stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
		env: {},
	});
	return {
		pid: child.pid,
		send: (message) => child.connected && child.send(message as object),
		listen: (onMessage, onExit) => {
			child.on('message', onMessage);
			child.on('exit', (code) => onExit(code));
			child.on('error', () => onExit(1));
		},
		kill: () => child.kill('SIGKILL'),
	};
}
