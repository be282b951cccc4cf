import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkCopy } from '../../db/backup.ts';
import { apiOf, layOut, logLoadWithSheet, opened } from './children/farm.ts';
import { sheetOf } from './sheet.ts';

export type TornBackups = {
	readonly copies: number;
	/** Refused with the name of the document that is no longer what was taken in. */
	readonly named: number;
	/** Refused because its pages do not add up. */
	readonly refused: number;
	/** Taken for whole, or one byte altered and another reason given. */
	readonly silent: readonly string[];
};

type Tearing = {
	readonly folder: string;
	readonly copies: number;
	readonly random: () => number;
	/** The control: damage that changes nothing. */
	readonly untouched?: boolean;
};

const SHEETS = 12;
const SECTOR_BYTES = 512;
const PIECE_BYTES = 16;
const ways = ['a byte altered', 'a sector emptied', 'cut'] as const;

/** Alters a byte of a document in a backup, empties a sector of it or cuts the file there; checks it without its manifest. */
export async function tearBackups({ folder, copies, random, untouched }: Tearing): Promise<TornBackups> {
	const [whole, torn] = [join(folder, 'whole.backup'), join(folder, 'torn.backup')];
	const book = opened(join(folder, 'books'));
	const api = apiOf(book);
	const farm = await layOut(api, book);
	for (let sheet = 0; sheet < SHEETS; sheet++) await logLoadWithSheet(api, farm, `sheet ${sheet}`);
	await api.upkeep.backup({ path: whole });
	book.close();
	const bytes = readFileSync(whole);
	const count = { copies, named: 0, refused: 0, silent: [] as string[] };
	for (let copy = 0; copy < copies; copy++) {
		const way = ways[copy % ways.length] ?? 'cut';
		const key = `sheet ${Math.floor(random() * SHEETS)}`;
		const at = placeIn(bytes, sheetOf(key), random);
		writeFileSync(torn, untouched ? bytes : damaged(bytes, at, way));
		const checked = checkCopy(torn);
		const why = checked.ok ? null : String(checked.problem.details['why']);
		const named = why?.includes(`${key}.pdf `) ?? false;
		if (named) count.named += 1;
		else if (why === null || way === 'a byte altered') count.silent.push(`${way} at ${at}, in ${key}: ${why}`);
		else count.refused += 1;
	}
	return count;
}

/**
 * Where some piece of a sheet begins in the backup. Passed over: a piece that two pages share, and one that is there
 * twice, since rows that move to another page leave their bytes behind in its free space.
 */
function placeIn(bytes: Buffer, sheet: Buffer, random: () => number): number {
	for (;;) {
		const from = Math.floor(random() * (sheet.length - PIECE_BYTES));
		const piece = sheet.subarray(from, from + PIECE_BYTES);
		const at = bytes.indexOf(piece);
		if (at >= 0 && bytes.indexOf(piece, at + 1) < 0) return at;
	}
}

function damaged(bytes: Buffer, at: number, way: (typeof ways)[number]): Buffer {
	if (way === 'cut') return bytes.subarray(0, at);
	const copy = Buffer.from(bytes);
	const sector = SECTOR_BYTES * Math.floor(at / SECTOR_BYTES);
	if (way === 'a sector emptied') copy.fill(0, sector, sector + SECTOR_BYTES);
	else copy[at] = (copy[at] ?? 0) ^ 1;
	return copy;
}
