import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkChain } from '../../db/modules/records.ts';
import { DATABASE_NAME, openBook } from '../../db/open-book.ts';

export type TornCount = {
	readonly copies: number;
	readonly refused: number;
	/** Opened, and every chain whole: the damage lay in free space or in what was not written yet. */
	readonly sound: number;
	/** Opened, and the chains show the damage. */
	readonly found: number;
	/** Opened as if nothing were wrong although rows are missing or changed. */
	readonly silent: readonly string[];
};

/** Damages copies of a database (bytes flipped, ends cut off) and opens each: refused, found by the chains, or really sound. */
export async function tearFiles(source: string, copies: number, random: () => number): Promise<TornCount> {
	const whole = readFileSync(join(source, DATABASE_NAME));
	const rows = await rowsOf(source);
	const folder = join(source, 'torn');
	const count = { copies, refused: 0, sound: 0, found: 0, silent: [] as string[] };
	for (let copy = 0; copy < copies; copy++) {
		rmSync(folder, { recursive: true, force: true });
		mkdirSync(folder);
		const damaged = Buffer.from(whole);
		const cut = random() < 0.3;
		const at = Math.floor(random() * (damaged.length - 512));
		if (!cut)
			for (let flip = 0; flip < 1 + random() * 64; flip++) damaged[at + flip] = (damaged[at + flip] ?? 0) ^ 0xff;
		writeFileSync(join(folder, DATABASE_NAME), cut ? damaged.subarray(0, Math.max(1, at)) : damaged);
		const verdict = await openTorn(folder, rows);
		if (verdict === 'silent') count.silent.push(`${cut ? 'cut' : 'flipped'} at ${at}`);
		else count[verdict] += 1;
	}
	return count;
}

async function openTorn(folder: string, rows: string): Promise<'refused' | 'sound' | 'found' | 'silent'> {
	let opened: ReturnType<typeof openBook>;
	try {
		opened = openBook({ folder });
	} catch {
		return 'refused';
	}
	if (!opened.ok) return 'refused';
	const book = opened.value;
	try {
		for (const chain of ['audit', 'ledger', 'records'] as const) {
			if ((await checkChain(book.read, chain)).firstBad) return 'found';
		}
	} catch {
		return 'found';
	} finally {
		book.close();
	}
	return (await rowsOf(folder)) === rows ? 'sound' : 'silent';
}

/** Every ledger line, record and audit line as one text. */
async function rowsOf(folder: string): Promise<string> {
	const opened = openBook({ folder });
	if (!opened.ok) return opened.problem.code;
	const { reader } = opened.value;
	try {
		const tables = ['movement', 'spray_record', 'audit'];
		return JSON.stringify(tables.map((table) => reader.prepare(`SELECT * FROM ${table} ORDER BY seq`).all()));
	} finally {
		opened.value.close();
	}
}
