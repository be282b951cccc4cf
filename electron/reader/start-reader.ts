/** Reads a file in a process of its own: watched from outside, ended when it takes too long or too much memory. */
import { basename, join } from 'node:path';
import type { MultiPolygon, Polygon, Position } from 'geojson';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { BoundaryFile, BoundaryRecord } from '../files/boundary-file.ts';
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

export const readerLimits: ReaderLimits = {
	seconds: importLimits.seconds,
	memoryBytes: importLimits.memoryBytes,
	// Only Linux tells the memory of another process without starting a third.
	watchEveryMs: process.platform === 'linux' ? 50 : 500,
	entry: join(import.meta.dirname, 'main.ts'),
};

/** Exit code of a process that ran into its own heap limit; ended by a signal it has none. */
const ABORTED = 134;

/** Reads a boundary file. Refuses `file.tooSlow` and `file.tooBig` when the reader had to be ended, `file.damaged` when it broke down. */
export function startReader(
	job: ReadingJob,
	startProcess: StartProcess,
	limits: ReaderLimits,
): Promise<Result<BoundaryFile>> {
	const packed: PackedRecord[] = [];
	return inReader<BoundaryFile>(basename(job.path), job, { startProcess, limits }, (message, next) => {
		if (message.kind === 'records') {
			packed.push(...message.records);
			next();
		}
		return message.kind === 'done' ? unpackFile(message.head, packed) : null;
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
type Hearing<Answer> = (message: ReaderMessage, next: () => void) => Result<Answer> | Promise<Result<Answer>> | null;

function inReader<Answer>(
	file: string,
	job: ReadingJob | TableJob,
	{ startProcess, limits }: Running,
	hear: Hearing<Answer>,
): Promise<Result<Answer>> {
	return new Promise((resolve) => {
		const reader = startProcess(limits.entry);
		const end = (result: Result<Answer> | Promise<Result<Answer>>) => {
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

const BATCH = 500;

/** In batches, so that the program stays at hand meanwhile. */
async function unpackFile(
	head: Omit<BoundaryFile, 'records'>,
	packed: readonly PackedRecord[],
): Promise<Result<BoundaryFile>> {
	const names = head.attributes.map(({ name }) => name);
	const records: BoundaryRecord[] = [];
	for (const [index, record] of packed.entries()) {
		records.push(unpack(record, names));
		if (index % BATCH === BATCH - 1) await new Promise((resolve) => setImmediate(resolve));
	}
	return ok({ ...head, records });
}

function unpack(
	{ record, rings, points, values, planarAreaM2, measured, findings, refused }: PackedRecord,
	names: readonly string[],
): BoundaryRecord {
	const properties: Record<string, AttributeValue> = Object.create(null);
	for (const [index, name] of names.entries()) properties[name] = values[index] ?? null;
	const area = planarAreaM2 === null ? {} : { planarAreaM2 };
	const figures = measured === null ? {} : { measured };
	const reason = refused === null ? {} : { refused };
	return {
		record,
		geometry: refused === null ? unpackGeometry(rings, points) : null,
		properties,
		findings,
		...figures,
		...area,
		...reason,
	};
}

function unpackGeometry(rings: readonly (readonly number[])[], points: Float64Array): Polygon | MultiPolygon {
	let at = 0;
	const ring = (count: number): Position[] =>
		Array.from({ length: count }, () => [points[at++] ?? Number.NaN, points[at++] ?? Number.NaN]);
	const polygons = rings.map((polygon) => polygon.map(ring));
	const [only] = polygons;
	return polygons.length === 1 && only
		? { type: 'Polygon', coordinates: only }
		: { type: 'MultiPolygon', coordinates: polygons };
}
