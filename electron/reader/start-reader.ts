/** Reads a file in a process of its own: watched from outside, ended when it takes too long or too much memory. */
import { basename, join } from 'node:path';
import type { MultiPolygon, Polygon, Position } from 'geojson';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { BoundaryFile, BoundaryRecord } from '../files/boundary-file.ts';
import type { AttributeValue } from '../files/layer.ts';
import { importLimits } from '../files/limits.ts';
import { NEXT, type PackedRecord, type ReaderMessage, type ReadingJob } from './messages.ts';
import { residentBytes } from './process-memory.ts';
import type { StartProcess } from './reader-process.ts';

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
	watchEveryMs: 50,
	entry: join(import.meta.dirname, 'main.ts'),
};

/** Runs one job. Refuses `file.tooSlow` and `file.tooBig` when the reader had to be ended, `file.damaged` when it broke down. */
export function startReader(
	job: ReadingJob,
	startProcess: StartProcess,
	limits: ReaderLimits,
): Promise<Result<BoundaryFile>> {
	const file = basename(job.path);
	return new Promise((resolve) => {
		const reader = startProcess(limits.entry);
		const packed: PackedRecord[] = [];
		const finish = (result: Result<BoundaryFile>) => {
			clearTimeout(clock);
			clearInterval(watch);
			reader.kill();
			resolve(result);
		};
		const clock = setTimeout(
			() => finish(refuse('file.tooSlow', { file, seconds: limits.seconds })),
			limits.seconds * 1000,
		);
		const watch = setInterval(async () => {
			const bytes = reader.pid === undefined ? null : await residentBytes(reader.pid);
			if (bytes === null) return;
			limits.onMemory?.(bytes);
			if (bytes > limits.memoryBytes) finish(tooMuchMemory(file, limits));
		}, limits.watchEveryMs);
		reader.listen(
			async (message) => {
				const said = message as ReaderMessage;
				if (said.kind === 'records') {
					packed.push(...said.records);
					reader.send(NEXT);
				} else if (said.kind === 'refused') finish({ ok: false, problem: said.problem });
				else
					finish(
						ok({
							...said.head,
							records: await unpackAll(
								packed,
								said.head.attributes.map(({ name }) => name),
							),
						}),
					);
			},
			// 134: the reader's own heap limit; anything else is a file that broke it.
			(code) =>
				finish(
					code === 134 || code === null
						? tooMuchMemory(file, limits)
						: refuse('file.damaged', { file, why: 'reading it failed' }),
				),
		);
		reader.send(job);
	});
}

function tooMuchMemory(file: string, limits: ReaderLimits): ReturnType<typeof refuse> {
	return refuse('file.tooBig', {
		file,
		why: `reading it takes more than ${Math.round(limits.memoryBytes / 1024 / 1024)} MB of memory`,
	});
}

const BATCH = 500;

async function unpackAll(packed: readonly PackedRecord[], names: readonly string[]): Promise<BoundaryRecord[]> {
	const records: BoundaryRecord[] = [];
	for (const [index, record] of packed.entries()) {
		records.push(unpack(record, names));
		if (index % BATCH === BATCH - 1) await new Promise((resolve) => setImmediate(resolve));
	}
	return records;
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
