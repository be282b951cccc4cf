import { readFileSync } from 'node:fs';

/** One thing a process did to its disk, as disk.c remembered it. */
export type DiskEvent =
	| { readonly what: 'write'; readonly file: WatchedFile; readonly offset: number; readonly bytes: Buffer }
	| { readonly what: 'cut'; readonly file: WatchedFile; readonly size: number }
	| { readonly what: 'sync'; readonly file: WatchedFile }
	| { readonly what: 'acknowledged'; readonly keys: readonly string[] };
export type WatchedFile = 'database' | 'log';
export type Disk = { readonly database: Buffer; readonly log: Buffer };

const HEAD_BYTES = 14;
/** A disk writes a sector whole or not at all; nothing larger is certain (sqlite.org/atomiccommit.html §2). */
const SECTOR_BYTES = 512;

export function readRecord(path: string): DiskEvent[] {
	const all = readFileSync(path);
	const events: DiskEvent[] = [];
	for (let at = 0; at < all.length; ) {
		const what = String.fromCharCode(all[at] ?? 0);
		const file = all[at + 1] === 1 ? 'database' : 'log';
		const offset = Number(all.readBigInt64LE(at + 2));
		const length = all.readUInt32LE(at + 10);
		at += HEAD_BYTES;
		const bytes = all.subarray(at, at + length);
		at += length;
		if (what === 'W') events.push({ what: 'write', file, offset, bytes });
		else if (what === 'T') events.push({ what: 'cut', file, size: offset });
		else if (what === 'S') events.push({ what: 'sync', file });
		else events.push({ what: 'acknowledged', keys: bytes.toString().split('\n').slice(0, -1) });
	}
	return events;
}

export type Replay = {
	/** Goes on to just before this event. */
	advance(to: number): void;
	/** What the disk may hold if the power fails now: all that was synced, and of the rest what chance left. */
	cut(random: () => number): Disk;
	readonly acknowledged: ReadonlySet<string>;
};

/** Plays what a process did on a disk that keeps only what was synced. `deaf`: a disk that never syncs. */
export function replay(start: Disk, events: readonly DiskEvent[], { deaf = false } = {}): Replay {
	const synced: Record<WatchedFile, Buffer> = { database: Buffer.from(start.database), log: Buffer.from(start.log) };
	const waiting: Record<WatchedFile, DiskEvent[]> = { database: [], log: [] };
	const acknowledged = new Set<string>();
	let at = 0;
	return {
		acknowledged,
		advance(to) {
			for (; at < to; at++) {
				const event = events[at];
				if (event?.what === 'acknowledged') for (const key of event.keys) acknowledged.add(key);
				else if (event?.what === 'sync' && !deaf) {
					for (const done of waiting[event.file]) synced[event.file] = applied(synced[event.file], done, () => true);
					waiting[event.file] = [];
				} else if (event && event.what !== 'sync') waiting[event.file].push(event);
			}
		},
		cut(random) {
			const left = (file: WatchedFile) => {
				let bytes: Buffer = Buffer.from(synced[file]);
				const nothing = random() < 1 / 3;
				for (const event of nothing ? [] : waiting[file]) {
					const luck = random();
					if (luck < 0.4) bytes = applied(bytes, event, () => true);
					else if (luck < 0.7) bytes = applied(bytes, event, () => random() < 0.5);
				}
				return bytes;
			};
			return { database: left('database'), log: left('log') };
		},
	};
}

/** The bytes after an event, changed in place unless they grow or shrink. */
function applied(bytes: Buffer, event: DiskEvent, sectorArrives: () => boolean): Buffer {
	if (event.what === 'cut') return resized(bytes, event.size);
	if (event.what !== 'write') return bytes;
	const end = event.offset + event.bytes.length;
	const grown = bytes.length < end ? resized(bytes, end) : bytes;
	for (let from = 0; from < event.bytes.length; from += SECTOR_BYTES) {
		if (sectorArrives()) event.bytes.copy(grown, event.offset + from, from, from + SECTOR_BYTES);
	}
	return grown;
}

function resized(bytes: Buffer, size: number): Buffer {
	const other = Buffer.alloc(size);
	bytes.copy(other, 0, 0, Math.min(bytes.length, size));
	return other;
}
