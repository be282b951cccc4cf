/** Reads a file in a process of its own: watched from outside, ended when it takes too long or too much memory. */
import { basename, join } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { BoundaryFile, BoundaryRecord } from '../files/boundary-file.ts';
import { boundaryText } from '../files/boundary-text.ts';
import type { AttributeValue } from '../files/layer.ts';
import { importLimits } from '../files/limits.ts';
import { NEXT, type PackedRecord, type ReaderMessage, type ReadingJob, type TableJob } from './messages.ts';
import { residentBytes } from './process-memory.ts';
import type { ReaderProcess, StartProcess } from './reader-process.ts';

export type ReaderLimits = {
	readonly seconds: number;
	readonly memoryBytes: number;
	/** How often the memory is looked at. */
	readonly watchEveryMs: number;
	/** The program that reads; another one only to test the watch. */
	readonly entry: string;
	/** Told of every look at the memory. */
	readonly onMemory?: (bytes: number) => void;
};

let program = join(import.meta.dirname, import.meta.url.endsWith('.ts') ? 'main.ts' : 'reader.js');

/** Reads with what was built of the reader, where the program itself runs from its sources. */
export function readWith(built: string): void {
	program = built;
}

export const readerLimits: ReaderLimits = {
	seconds: importLimits.seconds,
	memoryBytes: importLimits.memoryBytes,
	// Only Linux tells the memory of another process without starting a third.
	watchEveryMs: process.platform === 'linux' ? 50 : 500,
	get entry() {
		return program;
	},
};

/** Exit code of a process that ran into its own heap limit; ended by a signal it has none. */
const ABORTED = 134;

/** Reads a boundary file. Refuses `file.tooSlow` and `file.tooBig` when the reader had to be ended, `file.damaged` when it broke down. */
export function startReader(
	job: ReadingJob,
	startProcess: StartProcess,
	limits: ReaderLimits,
): Promise<Result<BoundaryFile>> {
	const records: Unnamed[] = [];
	return inReader<BoundaryFile>(basename(job.path), job, { startProcess, limits }, (message, next) => {
		if (message.kind === 'records') {
			next();
			for (const record of message.records) records.push(unpack(record));
		}
		if (message.kind !== 'done') return null;
		const names = message.head.attributes.map(({ name }) => name);
		return ok({ ...message.head, records: records.map((record) => named(record, names)) });
	});
}

/** Reads a table, with the same bounds and refusals. */
export function startTableReader(
	path: string,
	startProcess: StartProcess,
	limits: ReaderLimits,
): Promise<Result<readonly (readonly string[])[]>> {
	return inReader<readonly (readonly string[])[]>(
		basename(path),
		{ tablePath: path },
		{ startProcess, limits },
		(message) => (message.kind === 'table' ? ok(message.rows) : null),
	);
}

type Running = { readonly startProcess: StartProcess; readonly limits: ReaderLimits };
/** Gives the answer once the last message is in, else null; `next` asks the reader for more. */
type Hearing<Answer> = (message: ReaderMessage, next: () => void) => Result<Answer> | null;

function inReader<Answer>(
	file: string,
	job: ReadingJob | TableJob,
	{ startProcess, limits }: Running,
	hear: Hearing<Answer>,
): Promise<Result<Answer>> {
	return new Promise((resolve) => {
		const reader = startProcess(limits.entry);
		const end = (result: Result<Answer>) => {
			clearTimeout(clock);
			stopWatching();
			reader.kill();
			resolve(result);
		};
		const slow = refuse('file.tooSlow', { file, seconds: limits.seconds });
		const clock = setTimeout(() => end(slow), limits.seconds * 1000);
		const stopWatching = watchMemory(reader, limits, () => end(tooMuchMemory(file, limits)));
		const onMessage = (message: ReaderMessage) => {
			if (message.kind === 'refused') return end({ ok: false, problem: message.problem });
			const answer = hear(message, () => reader.send(NEXT));
			if (answer) end(answer);
		};
		const broken = refuse('file.damaged', { file, why: 'reading it failed' });
		reader.listen(
			(message) => onMessage(message as ReaderMessage),
			(code) => end(code === ABORTED || code === null ? tooMuchMemory(file, limits) : broken),
		);
		reader.send(job);
	});
}

/** Looks at the reader's memory again and again, one look at a time. */
function watchMemory(reader: ReaderProcess, limits: ReaderLimits, onTooMuch: () => void): () => void {
	let looking = false;
	const watch = setInterval(async () => {
		if (looking || reader.pid === undefined) return;
		looking = true;
		const bytes = (await residentBytes(reader.pid)) ?? 0;
		looking = false;
		limits.onMemory?.(bytes);
		if (bytes > limits.memoryBytes) onTooMuch();
	}, limits.watchEveryMs);
	return () => clearInterval(watch);
}

function tooMuchMemory(file: string, limits: ReaderLimits): ReturnType<typeof refuse> {
	return refuse('file.tooBig', {
		file,
		why: `reading it takes more than ${Math.round(limits.memoryBytes / 1024 / 1024)} MB of memory`,
	});
}

/** A record but for the names of its attributes, which come last. */
type Unnamed = Omit<BoundaryRecord, 'properties'> & { readonly values: readonly AttributeValue[] };

/** Worked on while the reader reads on. */
function unpack({ rings, points, planarAreaM2, measured, refused, ...rest }: PackedRecord): Unnamed {
	return {
		...rest,
		boundary: refused === null ? boundaryText({ rings, points }) : null,
		...(measured === null ? {} : { measured }),
		...(planarAreaM2 === null ? {} : { planarAreaM2 }),
		...(refused === null ? {} : { refused }),
	};
}

function named({ values, ...record }: Unnamed, names: readonly string[]): BoundaryRecord {
	const properties: Record<string, AttributeValue> = Object.create(null);
	for (const [index, name] of names.entries()) properties[name] = values[index] ?? null;
	return { ...record, properties };
}
