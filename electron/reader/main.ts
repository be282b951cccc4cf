/** The reader: a process that reads one file, says what is in it, and ends. */
import { readLayer } from '../files/read-layer.ts';
import { readTable } from '../files/read-table.ts';
import { NEXT, type ReaderMessage, type ReadingJob, type TableJob } from './messages.ts';

type Port = {
	readonly postMessage: (message: unknown) => void;
	readonly on: (event: 'message', listener: (message: unknown) => void) => void;
};

/** Electron gives its utility processes a port; a forked Node talks over its own channel. */
const parentPort = (
	process as {
		parentPort?: {
			postMessage: Port['postMessage'];
			on: (event: 'message', listener: (event: { data: unknown }) => void) => void;
		};
	}
).parentPort;

const port: Port = parentPort
	? {
			postMessage: (message) => parentPort.postMessage(message),
			on: (event, listener) => parentPort.on(event, ({ data }) => listener(data)),
		}
	: { postMessage: (message) => process.send?.(message), on: (event, listener) => void process.on(event, listener) };

let proceed: (() => void) | null = null;

function say(message: ReaderMessage): Promise<void> {
	port.postMessage(message);
	return new Promise((resolve) => {
		proceed = resolve;
	});
}

function isTable(message: unknown): message is TableJob {
	return typeof message === 'object' && message !== null && 'tablePath' in message;
}

function tableOf({ tablePath }: TableJob): ReaderMessage {
	const rows = readTable(tablePath);
	return rows.ok ? { kind: 'table', rows: rows.value } : { kind: 'refused', problem: rows.problem };
}

port.on('message', (message) => {
	if (message === NEXT) proceed?.();
	else if (isTable(message)) void say(tableOf(message));
	else void readLayer(message as ReadingJob, say);
});
process.on('disconnect', () => process.exit(0));
