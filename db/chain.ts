import { createHash } from 'node:crypto';
import { eq } from 'drizzle-orm';
import { invariant } from '../shared/basics/result.ts';
import { chain } from './tables.ts';
import type { ReadDb, WriteDb } from './transaction.ts';

export type ChainName = 'audit' | 'ledger' | 'records';
export type Linked = { readonly seq: number; readonly hash: string };
type Cell = string | number | null;

/** The hash before the first link. */
export const CHAIN_START = '0'.repeat(64);

/**
 * One link: SHA-256 over 0x00, the hash before, and the row as JSON with sorted keys, without empty
 * cells and its own hash.
 * Any row altered, removed, inserted or moved breaks the chain after it; only a head kept elsewhere shows a cut tail.
 */
export function linkHash(previous: string, row: Readonly<Record<string, Cell>>): string {
	const sorted = Object.entries(row)
		.filter(([name, cell]) => name !== 'hash' && cell !== null)
		.sort(([a], [b]) => (a < b ? -1 : 1));
	return createHash('sha256')
		.update(Buffer.from([0]))
		.update(previous, 'hex')
		.update(JSON.stringify(sorted))
		.digest('hex');
}

/** The newest link of a chain. */
export async function chainHead(db: ReadDb, name: ChainName): Promise<Linked> {
	const [head] = await db.select({ seq: chain.seq, hash: chain.hash }).from(chain).where(eq(chain.name, name));
	invariant(head, `the ${name} chain has a head`);
	return head;
}

/** Numbers and links rows in order, and moves the head. Returns the rows ready to insert. */
export async function link<Row extends Readonly<Record<string, Cell>>>(
	tx: WriteDb,
	name: ChainName,
	rows: readonly Row[],
): Promise<(Row & Linked)[]> {
	const head = await chainHead(tx, name);
	let { seq, hash } = head;
	const linked = rows.map((row) => {
		seq += 1;
		hash = linkHash(hash, { ...row, seq });
		return { ...row, seq, hash };
	});
	const moved = await tx.update(chain).set({ seq, hash }).where(eq(chain.name, name));
	invariant(moved.changes === 1, `the ${name} chain head moved once`);
	return linked;
}

/** Reports print this much of a head: 64 bits, so two entries never share it by chance. */
const PRINTED_LENGTH = 16;

export type CheckedChain = {
	readonly entries: number;
	/** The last hash that could be followed. */
	readonly head: string;
	readonly firstBad: { readonly seq: number; readonly why: string } | null;
	/** The entry whose hash begins as a head printed earlier does; null where none, or the head is shorter than printed. */
	find(printed: string): number | null;
};

/** Walks rows in seq order and names the first that does not fit. `rows` must be every row of the chain. */
export function checkLinks(rows: Iterable<Readonly<Record<string, Cell>>>, head: Linked): CheckedChain {
	let hash = CHAIN_START;
	let entries = 0;
	const seen = [CHAIN_START];
	const result = (firstBad: CheckedChain['firstBad']): CheckedChain => ({
		entries,
		head: hash,
		firstBad,
		find: (printed) => {
			const at = printed.length < PRINTED_LENGTH ? -1 : seen.findIndex((each) => each.startsWith(printed));
			return at < 0 ? null : at;
		},
	});
	for (const row of rows) {
		const seq = Number(row['seq']);
		if (seq !== entries + 1) return result({ seq: entries + 1, why: `entry ${entries + 1} is missing` });
		const next = linkHash(hash, row);
		if (next !== row['hash']) return result({ seq, why: `entry ${seq} was altered, or one before it was replaced` });
		hash = next;
		entries += 1;
		seen.push(hash);
	}
	const whole = head.seq === entries && head.hash === hash;
	return result(whole ? null : { seq: entries + 1, why: 'entries at the end are missing' });
}
