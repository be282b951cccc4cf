import { mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { checkCopy } from '../../db/backup.ts';
import { openBook } from '../../db/open-book.ts';
import { apiOf, layOut, logLoadWithSheet, opened } from './children/farm.ts';
import { type Children, killAfterFirstLine } from './children.ts';
import { keptSheets } from './inspect.ts';

export type UpkeepCount = {
	readonly kills: number;
	/** Backups or restores that were finished. */
	readonly done: number;
	readonly bad: readonly string[];
};

type Killing = {
	readonly children: Children;
	readonly folder: string;
	readonly kills: number;
	readonly random: () => number;
	/** The control does it the short way. */
	readonly sabotaged?: boolean;
};

/** Kills the program while it writes backups: a file that has its name is a whole backup. */
export async function killInBackup({ children, folder, kills, random, sabotaged }: Killing): Promise<UpkeepCount> {
	const [books, target] = [join(folder, 'books'), join(folder, 'backups')];
	mkdirSync(target, { recursive: true });
	await farmWith(books, 40);
	const bad: string[] = [];
	let done = 0;
	for (let kill = 0; kill < kills; kill++) {
		const args = [books, target, String(kill), sabotaged ? 'straight' : ''];
		const { lines, killed, trouble } = await killAfterFirstLine(children.start('write-backups', args), random() * 400);
		if (!killed) throw new Error(`the process ended by itself: ${trouble}`);
		done += lines.length - 1;
		for (const name of readdirSync(target).filter((each) => each.endsWith('.backup'))) {
			if (!checkCopy(join(target, name)).ok) bad.push(name);
		}
		rmSync(target, { recursive: true });
		mkdirSync(target);
	}
	return { kills, done, bad };
}

/** Kills the program while it restores one of two backups: the books are the one or the other, never empty or mixed. */
export async function killInRestore({ children, folder, kills, random, sabotaged }: Killing): Promise<UpkeepCount> {
	const books = join(folder, 'books');
	const [few, many] = [join(folder, 'few.backup'), join(folder, 'many.backup')];
	await farmWith(books, 3, few);
	await farmWith(books, 40, many);
	const allowed = [3, 40];
	const bad: string[] = [];
	let done = 0;
	for (let kill = 0; kill < kills; kill++) {
		const args = [books, few, many, sabotaged ? 'byHand' : ''];
		const { lines, killed, trouble } = await killAfterFirstLine(
			children.start('restore-backups', args),
			random() * 400,
		);
		if (!killed && !sabotaged) throw new Error(`the process ended by itself: ${trouble}`);
		done += lines.length - 1;
		bad.push(...(await troubleOf(books, allowed)).map((why) => `restore ${kill}: ${why}`));
		for (const name of readdirSync(books).filter((each) => each.startsWith('before-'))) {
			if (!sabotaged) bad.push(...(await troubleOf(join(books, name), allowed)).map((why) => `${name}: ${why}`));
			rmSync(join(books, name), { recursive: true });
		}
		// The control leaves no books to go on with.
		if (sabotaged && bad.length > 0) break;
	}
	return { kills, done, bad };
}

async function farmWith(folder: string, loads: number, backup?: string): Promise<void> {
	const book = opened(folder);
	const api = apiOf(book);
	const farm = await layOut(api, book);
	for (let load = 0; load < loads; load++) await logLoadWithSheet(api, farm, `load ${load}`);
	if (backup) await api.upkeep.backup({ path: backup });
	book.close();
}

/** Why books are not those of one of the backups. */
async function troubleOf(folder: string, loads: readonly number[]): Promise<string[]> {
	const found = openBook({ folder });
	if (!found.ok) return [found.problem.code];
	try {
		const stored = Number(found.value.reader.prepare('SELECT count(*) FROM load_log').pluck().get());
		if (!loads.includes(stored)) return [`${stored} loads`];
		const { keys, half } = keptSheets(found.value);
		if (keys.length !== stored || half.length > 0) return [`${keys.length} sheets for ${stored} loads`, ...half];
		const { ok, firstBad } = await apiOf(found.value).records.verify({});
		return ok ? [] : [`${firstBad?.chain} is broken`];
	} finally {
		found.value.close();
	}
}
