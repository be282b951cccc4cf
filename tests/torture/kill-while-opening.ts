import { existsSync, mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { openDb } from '../../db/connection.ts';
import { migrate, readMigrations } from '../../db/migrate.ts';
import { DATABASE_NAME, openBook } from '../../db/open-book.ts';
import { allRows, fillEveryTable } from '../unit/db/sample-rows.ts';
import { type Children, killAfterFirstLine } from './children.ts';
import type { Laying } from './disk-faults.ts';

export type OpeningCount = {
	readonly kills: number;
	/** Killed before the books were open. */
	readonly halfWay: number;
	/** The next start could not open them, or rows were gone, or a backup was not whole. */
	readonly bad: readonly string[];
};

type Killing = {
	readonly children: Children;
	readonly folder: string;
	readonly kills: number;
	readonly random: () => number;
};

/** Kills the program while it makes its first books: there is a whole database or none, and the next start goes on. */
export async function killInFirstStart({ children, folder, kills, random }: Killing): Promise<OpeningCount> {
	const bad: string[] = [];
	let halfWay = 0;
	for (let kill = 0; kill < kills; kill++) {
		rmSync(folder, { recursive: true, force: true });
		mkdirSync(folder, { recursive: true });
		const { lines } = await killAfterFirstLine(children.start('open-books', [folder]), random() * 60);
		if (!lines.includes('open')) halfWay += 1;
		for (let start = 0; start < 2; start++) {
			const opened = openBook({ folder });
			if (!opened.ok) bad.push(`start ${kill}: ${opened.problem.code}`);
			else opened.value.close();
		}
	}
	return { kills, halfWay, bad };
}

/** Kills the program while it brings books of the first version up to date: they are old or new, and no row is gone. */
export async function killInUpdate({ children, folder, kills, random }: Killing): Promise<OpeningCount> {
	const bad: string[] = [];
	let halfWay = 0;
	for (let kill = 0; kill < kills; kill++) {
		rmSync(folder, { recursive: true, force: true });
		mkdirSync(folder, { recursive: true });
		const wrong = booksOfFirstVersion(folder);
		const { lines } = await killAfterFirstLine(children.start('open-books', [folder]), random() * 60);
		if (!lines.includes('open')) halfWay += 1;
		bad.push(...(await wrong()).map((why) => `update ${kill}: ${why}`));
	}
	return { kills, halfWay, bad };
}

const ROWS = 2_000;

/** Books as the first version kept them. Later every row must still be there, and every named backup whole. */
export const booksOfFirstVersion: Laying = (folder) => {
	const sqlite = openDb(join(folder, DATABASE_NAME));
	migrate(sqlite, readMigrations().slice(0, 1));
	fillEveryTable(sqlite);
	sqlite.exec("UPDATE farm SET zone = 'UTC'");
	const columns = (sqlite.pragma('table_info(movement)') as { name: string }[]).map(({ name }) => name);
	const own: Readonly<Record<string, string>> = { id: "'row ' || n", seq: 'n + 1', reverses: 'NULL' };
	sqlite.exec(
		`WITH RECURSIVE count (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM count WHERE n < ${ROWS})
		 INSERT INTO movement (${columns.join()})
		 SELECT ${columns.map((name) => own[name] ?? name).join()} FROM movement, count WHERE seq = 1`,
	);
	const before = allRows(sqlite);
	sqlite.close();
	return async () => {
		const opened = openBook({ folder });
		if (!opened.ok) return [opened.problem.code];
		const after = allRows(opened.value.reader);
		opened.value.close();
		const lacking = Object.entries(before).filter(([table, rows]) => {
			const kept = new Set(after[table]?.map(({ id }) => id));
			return rows.some(({ id }) => id !== undefined && !kept.has(id));
		});
		return [
			...lacking.map(([table]) => `rows of ${table} are gone`),
			...badBackups(join(folder, 'backups'), before['movement']?.length ?? 0),
		];
	};
};

/** A backup that has its name is whole. */
function badBackups(folder: string, movements: number): string[] {
	if (!existsSync(folder)) return [];
	const named = readdirSync(folder).filter((name) => name.endsWith('.sqlite'));
	return named.filter((name) => {
		const copy = openDb(join(folder, name), { readonly: true });
		try {
			const whole = copy.pragma('integrity_check(1)', { simple: true }) === 'ok';
			return !whole || copy.prepare('SELECT count(*) FROM movement').pluck().get() !== movements;
		} catch {
			return true;
		} finally {
			copy.close();
		}
	});
}
