/**
 * Checks the three chains of a database file. It shares nothing with the program but this description, so that one
 * mistake cannot hide in both:
 *
 *   hash of an entry = SHA-256( byte 0 · hash before · text )
 *   text             = [["column","value"],…] as JSON: the columns that are not empty, without `hash`,
 *                      their names in camel case and in the order of their code units
 *   hash before the first = 32 zero bytes; entries are numbered 1, 2, 3, … in `seq`;
 *   the table `chain` holds number and hash of the newest entry of each
 *
 * By hand: node tests/unit/db/independent-checker.ts FILE [HEAD PRINTED EARLIER]
 */
import { createHash } from 'node:crypto';
import Database from 'better-sqlite3';

export type Verdict = {
	readonly chain: string;
	readonly entries: number;
	readonly head: string;
	/** Number of the first entry that does not fit; one more than there are where the end is cut off. */
	readonly firstBad: number | null;
	readonly holdsPrinted: boolean;
};

const tableOf = { records: 'spray_record', ledger: 'movement', audit: 'audit' } as const;
const ZERO = Buffer.alloc(32);

export function checkIndependently(sqlite: Database.Database, printed = ''): Verdict[] {
	return Object.entries(tableOf).map(([chain, table]) => {
		const rows = sqlite.prepare(`SELECT * FROM ${table}`).all() as Record<string, unknown>[];
		const bySeq = new Map(rows.map((row) => [row['seq'], row]));
		let hash: Buffer = ZERO;
		let holdsPrinted = printed.length >= 16 && hash.toString('hex').startsWith(printed);
		let seq = 1;
		for (; bySeq.has(seq); seq++) {
			const row = bySeq.get(seq) ?? {};
			const next = hashOf(hash, row);
			if (row['hash'] !== next.toString('hex')) break;
			hash = next;
			holdsPrinted ||= printed.length >= 16 && hash.toString('hex').startsWith(printed);
		}
		const entries = seq - 1;
		const newest = sqlite.prepare('SELECT seq, hash FROM chain WHERE name = ?').get(chain) as Record<string, unknown>;
		const head = hash.toString('hex');
		const whole = entries === rows.length && newest['seq'] === entries && newest['hash'] === head;
		return { chain, entries, head, firstBad: whole ? null : seq, holdsPrinted };
	});
}

function hashOf(before: Buffer, row: Readonly<Record<string, unknown>>): Buffer {
	const columns = Object.keys(row).filter((column) => column !== 'hash' && row[column] !== null);
	const named = columns.map((column): [string, unknown] => [camelCase(column), row[column]]);
	named.sort((a, b) => Buffer.compare(Buffer.from(a[0], 'utf16le').swap16(), Buffer.from(b[0], 'utf16le').swap16()));
	const text = `[${named.map(([name, value]) => `${JSON.stringify([name, value])}`).join(',')}]`;
	return createHash('sha256')
		.update(Buffer.concat([Buffer.of(0), before, Buffer.from(text)]))
		.digest();
}

function camelCase(column: string): string {
	return column.replace(/_(.)/g, (_, letter: string) => letter.toUpperCase());
}

if (import.meta.main) {
	const [file = '', printed = ''] = process.argv.slice(2);
	const sqlite = new Database(file, { readonly: true, fileMustExist: true });
	const verdicts = checkIndependently(sqlite, printed.toLowerCase());
	console.log(JSON.stringify(verdicts, null, '\t'));
	const found = printed === '' || verdicts.some(({ holdsPrinted }) => holdsPrinted);
	process.exitCode = found && verdicts.every(({ firstBad }) => firstBad === null) ? 0 : 1;
}
