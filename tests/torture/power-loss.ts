import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { DATABASE_NAME, openBook } from '../../db/open-book.ts';
import { apiOf, layOut, opened } from './children/farm.ts';
import { type Children, waitFor } from './children.ts';
import { type Disk, readRecord, replay } from './disk-record.ts';
import { inspectBook, isWhole } from './inspect.ts';

export type PowerCount = {
	readonly acknowledged: number;
	readonly syncs: number;
	readonly images: number;
	/** Images that lack something acknowledged, and the most one lacked. */
	readonly losing: number;
	readonly mostLost: number;
	/** Images that could not be opened, or hold something half. */
	readonly bad: readonly string[];
};

type PowerCut = {
	readonly children: Children;
	readonly disk: string;
	readonly folder: string;
	readonly loads: number;
	readonly images: number;
	readonly random: () => number;
	/** The controls: the driver's own setting, or a disk that never syncs. */
	readonly sabotage?: 'NORMAL' | 'deaf';
};

/** Logs loads on a disk that remembers, then cuts the power at some moments and opens what may be left. */
export async function cutPower(cut: PowerCut): Promise<PowerCount> {
	const { children, disk, folder, loads, images, random, sabotage } = cut;
	const [books, said, record] = [join(folder, 'books'), join(folder, 'said'), join(folder, 'record')];
	const book = opened(books);
	await layOut(apiOf(book), book);
	book.close();
	const file = join(books, DATABASE_NAME);
	const start: Disk = { database: readFileSync(file), log: Buffer.alloc(0) };
	const options = { folder: books, round: 'power', loads, sayIn: said, pagesInLog: 120 };
	const child = children.start(
		'post-loads',
		[JSON.stringify({ ...options, ...(sabotage === 'NORMAL' ? { synchronous: 'NORMAL' } : {}) })],
		{ env: { LD_PRELOAD: disk, DISK_FILE: file, DISK_SAID: said, DISK_RECORD: record } },
	);
	const { killed, trouble } = await waitFor(child);
	if (!killed) throw new Error(`the process ended by itself: ${trouble}`);
	const events = readRecord(record);
	const playing = replay(start, events, { deaf: sabotage === 'deaf' });
	const count = { images, losing: 0, mostLost: 0, bad: [] as string[] };
	const moments = Array.from({ length: images }, () => Math.floor(random() * (events.length + 1))).sort(
		(a, b) => a - b,
	);
	for (const moment of moments) {
		playing.advance(moment);
		const { lost, trouble: why } = await openImage(join(folder, 'image'), playing.cut(random), playing.acknowledged);
		if (lost > 0) count.losing += 1;
		count.mostLost = Math.max(count.mostLost, lost);
		if (why) count.bad.push(`at ${moment} of ${events.length}: ${why}`);
	}
	playing.advance(events.length);
	const syncs = events.filter(({ what }) => what === 'sync').length;
	return { acknowledged: playing.acknowledged.size, syncs, ...count };
}

async function openImage(
	folder: string,
	{ database, log }: Disk,
	acknowledged: ReadonlySet<string>,
): Promise<{ lost: number; trouble: string | null }> {
	if (existsSync(folder)) rmSync(folder, { recursive: true });
	mkdirSync(folder, { recursive: true });
	writeFileSync(join(folder, DATABASE_NAME), database);
	writeFileSync(join(folder, `${DATABASE_NAME}-wal`), log);
	const found = openBook({ folder });
	if (!found.ok) return { lost: acknowledged.size, trouble: found.problem.code };
	try {
		const seen = await inspectBook(found.value, acknowledged);
		return { lost: seen.lost.length, trouble: isWhole({ ...seen, lost: [] }) ? null : JSON.stringify(seen) };
	} finally {
		found.value.close();
	}
}
