/** The reader: a process that reads one file, says what is in it, and ends. */
import { readLayer } from '../files/read-layer.ts';
import { NEXT, type ReaderMessage, type ReadingJob } from './messages.ts';

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

port.on('message', (message) => {
	if (message === NEXT) proceed?.();
	else void readLayer(message as ReadingJob, say);
});
process.on('disconnect', () => process.exit(0));
