/** Records of one file that cover the same ground: the same ground counted twice doubles an area. */
import { Worker } from 'node:worker_threads';
import type { FindingKind } from '../../shared/core/geometry/boundary-finding.ts';
import { type Overlap, type OverlapField, watchOverlaps } from '../../shared/core/geometry/overlap.ts';
import type { SquareMetres } from '../../shared/units/quantity.ts';
import type { PackedRecord } from '../reader/messages.ts';
import type { PackedRings } from './boundary-text.ts';
import { geometryOf, polygonsOf } from './geometry-of.ts';
import type { FileWarning } from './layer.ts';

/** Two records, by number, that share ground. */
export type SharedGround = {
	readonly one: number;
	readonly other: number;
	readonly m2: SquareMetres;
	/** They are one boundary twice. */
	readonly same: boolean;
};

export type GroundWatch = {
	readonly take: (record: PackedRecord) => void;
	readonly compare: () => Promise<{
		readonly overlaps: readonly SharedGround[];
		readonly warnings: readonly FileWarning[];
	}>;
};

/** What of a record is compared; `simple` where no ring is known to cross or touch another or itself. */
export type GroundRecord = PackedRings & { readonly record: number; readonly simple: boolean };
/** To the thread: records to take, or the question what was found. Back from it: that. */
export type GroundTask = { readonly take: readonly GroundRecord[] } | 'found';

const meetingKinds: ReadonlySet<FindingKind> = new Set(['self-crossing', 'self-touching', 'rings overlap']);

/** Above this many the reader would hold too much, and where all lie over each other it would run out of time. */
const MOST_COMPARED = 20_000;
/** From so many on a thread of its own compares them, while the file is read on. */
const MANY = 500;
/** Exit code of a process that ran into its heap limit: the thread stands for it. */
const ABORTED = 134;

/** Collects records as they are read, then finds equal boundaries and shared ground. */
export function watchGround(): GroundWatch {
	let waiting: GroundRecord[] = [];
	let thread: Worker | null = null;
	let seen = 0;
	return {
		take: ({ record, rings, points, findings, refused }) => {
			if (refused !== null) return;
			seen++;
			if (seen > MOST_COMPARED) {
				void thread?.terminate();
				[thread, waiting] = [null, []];
				return;
			}
			waiting.push({ record, rings, points, simple: !findings.some(({ kind }) => meetingKinds.has(kind)) });
			if (waiting.length < MANY) return;
			thread ??= startThread();
			thread.postMessage({ take: waiting } satisfies GroundTask);
			waiting = [];
		},
		compare: async () => {
			if (seen <= MOST_COMPARED)
				return { overlaps: await (thread ? askThread(thread, waiting) : found(waiting)), warnings: [] };
			const message = `The file has ${seen} boundaries; above ${MOST_COMPARED} they are not compared for shared ground.`;
			return { overlaps: [], warnings: [{ code: 'records.notCompared', message }] };
		},
	};
}

/** Pairs of the records taken so far. */
export function groundFinder(): {
	readonly take: (records: readonly GroundRecord[]) => void;
	readonly found: () => SharedGround[];
} {
	const watch = watchOverlaps();
	return {
		take: (records) => {
			for (const record of records) watch.take(fieldOf(record));
		},
		found: () => watch.found().map(byNumber),
	};
}

function found(records: readonly GroundRecord[]): SharedGround[] {
	const finder = groundFinder();
	finder.take(records);
	return finder.found();
}

function startThread(): Worker {
	const entry = import.meta.url.endsWith('.ts') ? './ground-thread.ts' : './ground-thread.js';
	const thread = new Worker(new URL(entry, import.meta.url));
	thread.on('error', (error) =>
		process.exit('code' in error && error.code === 'ERR_WORKER_OUT_OF_MEMORY' ? ABORTED : 1),
	);
	return thread;
}

async function askThread(thread: Worker, rest: readonly GroundRecord[]): Promise<SharedGround[]> {
	const answer = new Promise<SharedGround[]>((done) => thread.once('message', done));
	thread.postMessage({ take: rest } satisfies GroundTask);
	thread.postMessage('found' satisfies GroundTask);
	const pairs = await answer;
	void thread.terminate();
	return pairs;
}

/** Its geometry is made of the packed rings each time it is looked at: kept, it would be half a million small lists. */
function fieldOf({ record, simple, ...packed }: GroundRecord): OverlapField {
	return {
		id: String(record),
		simple,
		get geometry() {
			return geometryOf(polygonsOf(packed));
		},
	};
}

function byNumber({ one, other, m2, same }: Overlap): SharedGround {
	return { one: Number(one), other: Number(other), m2, same };
}
