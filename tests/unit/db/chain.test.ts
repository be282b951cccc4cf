import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { checkLinks, linkHash } from '../../../db/chain.ts';
import { openDb, type Sqlite } from '../../../db/connection.ts';
import { migrate, readMigrations } from '../../../db/migrate.ts';
import { checkChain } from '../../../db/modules/records.ts';
import { readHandle } from '../../../db/transaction.ts';
import { verifyChains } from '../../../electron/procedures/verify-chains.ts';
import { type Api, smallFarm, testBooks } from '../electron/procedures/test-books.ts';
import { seededRandom } from '../seeded-random.ts';
import { chains, relink, rowsOfChain, tableOf, triggers } from './chain-rows.ts';
import { checkIndependently } from './independent-checker.ts';
import { type Cell, columnsOf, insertRow, type Row, sampleRow, tablesOf } from './sample-rows.ts';

/** A season in small: deliveries, loads, one of them taken back, a count. */
async function season(api: Api): Promise<void> {
	const { fieldId, sprayerId, suspensionId, granuleId } = await smallFarm(api);
	for (let day = 1; day <= 6; day++) {
		const { id: jobId } = await api.jobs.add({
			key: `job ${day}`,
			sprayerId,
			sprayVolumeLPerHa: 100,
			fields: [{ fieldId, areaHa: 5 }],
			products: [
				{ productId: suspensionId, dosePerHa: 1.25 },
				{ productId: granuleId, dosePerHa: 0.3 },
			],
			date: `2026-05-0${day}`,
		});
		const at = { startedAt: `2026-05-0${day}T07:00:00Z`, finishedAt: `2026-05-0${day}T08:00:00Z` };
		await api.jobs.logLoad({ key: `log ${day}`, jobId, load: 1, operator: 'A. Marsh', ...at });
		if (day === 3) await api.jobs.reverseLoad({ key: 'back', jobId, load: 1, why: 'wrong field', by: 'J. Wren' });
	}
	await api.store.count({ key: 'count', productId: granuleId, counted: 20, why: 'stock take', by: 'J. Wren' });
}

type Verdict = { readonly chain: string; readonly seq: number } | null;
type Attempt = { readonly found: Verdict; readonly independently: Verdict };

/** Does something to the rows behind the triggers, asks both checkers, and takes it back. */
async function after(sqlite: Sqlite, tamper: () => void, head?: string): Promise<Attempt> {
	sqlite.exec('SAVEPOINT before_tampering');
	try {
		for (const trigger of triggers(sqlite)) sqlite.exec(`DROP TRIGGER ${trigger}`);
		tamper();
		const db = readHandle(sqlite);
		const checked = await verifyChains({ db } as Parameters<typeof verifyChains>[0], { head });
		const said = checked.ok ? checked.value : null;
		const first = said?.firstBad;
		const verdicts = checkIndependently(sqlite, head);
		const bad = verdicts.find(({ firstBad }) => firstBad !== null);
		const lost = head !== undefined && !verdicts.some(({ holdsPrinted }) => holdsPrinted);
		const [records] = verdicts;
		return {
			found: first ? { chain: first.chain, seq: first.seq } : null,
			independently: bad
				? { chain: bad.chain, seq: bad.firstBad ?? 0 }
				: lost
					? { chain: 'records', seq: records?.entries ?? 0 }
					: null,
		};
	} finally {
		sqlite.exec('ROLLBACK TO before_tampering; RELEASE before_tampering');
	}
}

/** A value the column can hold that says something else. */
function forged(value: Cell | undefined, type: string): Cell {
	if (value === null || value === undefined) return type === 'TEXT' ? 'forged' : 7;
	return typeof value === 'number' ? value + 1 : `${value} `;
}

test.each(chains)('whatever is done to an entry of the %s, both checkers name it', async (chain) => {
	const { api, book } = testBooks();
	await season(api);
	const { sqlite } = book.writer;
	sqlite.pragma('foreign_keys = OFF');
	sqlite.pragma('ignore_check_constraints = ON');
	const table = tableOf[chain];
	const random = seededRandom(chain.length);
	const all = rowsOfChain(sqlite, chain);
	const some = () => 2 + Math.floor(random() * (all.length - 2));
	const run = (sql: string, ...values: Cell[]) => sqlite.prepare(sql).run(...values);
	const move = (from: number, to: number) => run(`UPDATE ${table} SET seq = ? WHERE seq = ?`, to, from);
	const shift = (from: number, by: number) => {
		run(`UPDATE ${table} SET seq = -seq WHERE seq >= ?`, from);
		run(`UPDATE ${table} SET seq = -seq + ? WHERE seq < 0`, by);
	};
	const renumbered = (row: Row | undefined, seq: number): Row => ({
		...row,
		id: 'inserted',
		seq,
		...(chain === 'records' ? { version: 9 } : {}),
		...(chain === 'audit' ? { command_key: 'inserted' } : {}),
		...(chain === 'ledger' ? { reverses: null } : {}),
	});
	expect(all.length).toBeGreaterThan(9);
	expect(await after(sqlite, () => {})).toEqual({ found: null, independently: null });
	const tampers: { readonly at: number; readonly what: string; do(): unknown }[] = [];
	for (const { name, type } of columnsOf(sqlite, table)) {
		if (name === 'seq') continue;
		const at = some();
		const value = forged(all[at - 1]?.[name], type);
		tampers.push({
			at,
			what: `${name} altered`,
			do: () => run(`UPDATE ${table} SET ${name} = ? WHERE seq = ?`, value, at),
		});
	}
	for (let round = 0; round < 5; round++) {
		const at = some();
		const delivered = all[at - 1];
		tampers.push(
			{ at, what: 'deleted', do: () => run(`DELETE FROM ${table} WHERE seq = ?`, at) },
			{
				at,
				what: 'deleted and the gap closed',
				do: () => {
					run(`DELETE FROM ${table} WHERE seq = ?`, at);
					if (at < all.length) shift(at + 1, -1);
				},
			},
			{
				at,
				what: 'inserted',
				do: () => {
					shift(at, 1);
					insertRow(sqlite, table, renumbered(delivered, at));
				},
			},
			{
				at: at - 1,
				what: 'swapped with the one before',
				do: () => {
					move(at, 0);
					move(at - 1, at);
					move(0, at - 1);
				},
			},
			{
				at,
				what: 'moved to the end',
				do: () => {
					move(at, 1_000_000);
					if (at < all.length) shift(at + 1, -1);
					move(999_999, all.length);
					move(1_000_000, all.length);
				},
			},
			{ at, what: 'tail cut off', do: () => run(`DELETE FROM ${table} WHERE seq >= ?`, at) },
			{
				at: all.length + 1,
				what: 'appended',
				do: () => insertRow(sqlite, table, renumbered(delivered, all.length + 1)),
			},
		);
	}
	for (const { at, what, do: tamper } of tampers) {
		// Moving the last entry to the end moves nothing.
		if (what === 'moved to the end' && at === all.length) continue;
		const expected = { chain, seq: at };
		expect([what, await after(sqlite, tamper)]).toEqual([what, { found: expected, independently: expected }]);
	}
});

test.each(chains)(
	'a cut tail and a rewritten chain of the %s show only beside a head printed earlier',
	async (chain) => {
		const { api, book } = testBooks();
		await season(api);
		const { sqlite } = book.writer;
		const table = tableOf[chain];
		const [first, ...others] = rowsOfChain(sqlite, chain);
		const last = others.at(-1);
		const printed = String(last?.['hash']).slice(0, 16);
		const entries = others.length + 1;
		const tampers = {
			'cut and the head moved back': () => {
				sqlite.exec(`DELETE FROM ${table} WHERE seq = ${entries}`);
				relink(sqlite, chain);
			},
			'one word altered and every link computed anew': () => {
				sqlite.exec(`UPDATE ${table} SET who = 'somebody else' WHERE seq = 2`);
				relink(sqlite, chain);
			},
		};
		for (const [what, tamper] of Object.entries(tampers)) {
			const alone = await after(sqlite, tamper);
			const beside = await after(sqlite, tamper, printed);
			expect([what, alone]).toEqual([what, { found: null, independently: null }]);
			expect([what, beside.found, beside.independently]).toEqual([
				what,
				{ chain: 'records', seq: expect.any(Number) },
				{ chain: 'records', seq: expect.any(Number) },
			]);
		}
		// A head printed before the altered entry still stands: what was signed then is unchanged.
		const early = String(first?.['hash']).slice(0, 16);
		expect(await after(sqlite, tampers['cut and the head moved back'], early)).toMatchObject({ found: null });
		expect(await after(sqlite, () => {}, printed)).toEqual({ found: null, independently: null });
	},
);

/** Rows of any content, linked by the program. */
function randomLedger(random: () => number): Sqlite {
	const sqlite = openDb(':memory:');
	migrate(sqlite, readMigrations());
	sqlite.pragma('foreign_keys = OFF');
	sqlite.pragma('ignore_check_constraints = ON');
	const texts = ['', 'Köln', '"quoted"', 'line\nbreak', '\u2028', '🚜', '0', 'null', 'é', 'e\u0301'];
	for (const chain of chains) {
		const table = tableOf[chain];
		const count = Math.floor(random() * 12);
		for (let seq = 1; seq <= count; seq++) {
			const row = Object.fromEntries(
				Object.entries(sampleRow(sqlite, table)).map(([name, value]): [string, Cell] => {
					if (typeof value === 'number') return [name, Math.floor((random() - 0.5) * 2 ** 53)];
					return [name, `${texts[Math.floor(random() * texts.length)]}${name}${seq}`];
				}),
			);
			const nullable = columnsOf(sqlite, table).filter(({ notnull }) => notnull === 0 && random() < 0.5);
			const empty = Object.fromEntries(nullable.map(({ name }): [string, Cell] => [name, null]));
			const reals = columnsOf(sqlite, table).filter(({ type }) => type === 'REAL');
			const parts = Object.fromEntries(reals.map(({ name }): [string, Cell] => [name, random() * 1e6]));
			insertRow(sqlite, table, { ...row, ...parts, ...empty, seq });
		}
	}
	for (const trigger of triggers(sqlite)) sqlite.exec(`DROP TRIGGER ${trigger}`);
	for (const chain of chains) relink(sqlite, chain);
	return sqlite;
}

test('both checkers agree on two hundred ledgers of any content, half of them tampered with', {
	timeout: 180_000,
}, async () => {
	const random = seededRandom(68);
	let broken = 0;
	for (let ledger = 0; ledger < 200; ledger++) {
		const sqlite = randomLedger(random);
		const table = Object.values(tableOf)[Math.floor(random() * 3)] ?? 'audit';
		if (ledger % 2 === 1) {
			const columns = columnsOf(sqlite, table).filter(({ name }) => name !== 'seq');
			const column = columns[Math.floor(random() * columns.length)];
			const value = column?.type === 'TEXT' ? "'forged'" : '42';
			sqlite.exec(`UPDATE ${table} SET ${column?.name} = ${value} WHERE seq = ${1 + Math.floor(random() * 12)}`);
		}
		const ours = [];
		for (const chain of chains) {
			const { entries, head, firstBad } = await checkChain(readHandle(sqlite), chain);
			ours.push({ chain, entries, head, firstBad: firstBad?.seq ?? null });
		}
		const theirs = checkIndependently(sqlite).map(({ holdsPrinted: _, ...verdict }) => verdict);
		expect(theirs).toEqual(ours);
		if (ours.some(({ firstBad }) => firstBad !== null)) broken += 1;
		sqlite.close();
	}
	expect(broken).toBeGreaterThan(30);
	expect(broken).toBeLessThan(120);
});

test('the independent checker runs by itself', async () => {
	const { api, book } = testBooks();
	await season(api);
	const { head } = await api.records.verify({});
	book.close();
	const run = (...args: string[]) => {
		const script = join(import.meta.dirname, 'independent-checker.ts');
		return spawnSync(process.execPath, [script, ...args], { encoding: 'utf8' });
	};
	const sound = run(book.file, head);
	expect([sound.status, sound.stderr]).toEqual([0, '']);
	expect(JSON.parse(sound.stdout)[0]).toMatchObject({ chain: 'records', head, firstBad: null, holdsPrinted: true });
	expect(run(book.file, 'f'.repeat(16)).status).toBe(1);
});

test('a link changes with every part of its row, and empty cells do not count', () => {
	const before = '0'.repeat(64);
	const hash = linkHash(before, { a: 1, b: 'x' });
	expect(linkHash(before, { b: 'x', a: 1 })).toBe(hash);
	expect(linkHash(before, { a: 1, b: 'x', c: null })).toBe(hash);
	const others = [
		linkHash(before, { a: 1, b: 'y' }),
		linkHash(before, { a: '1', b: 'x' }),
		linkHash(before, { a: 1, c: 'x' }),
		linkHash('1'.repeat(64), { a: 1, b: 'x' }),
	];
	expect(new Set([hash, ...others]).size).toBe(5);
	expect(checkLinks([], { seq: 0, hash: before })).toMatchObject({ entries: 0, head: before, firstBad: null });
});

test('every table with a hash is one of the chains', () => {
	const sqlite = openDb(':memory:');
	onTestFinished(() => void sqlite.close());
	migrate(sqlite, readMigrations());
	const hashed = tablesOf(sqlite).filter((table) => columnsOf(sqlite, table).some(({ name }) => name === 'hash'));
	expect(hashed.sort()).toEqual(['audit', 'chain', 'movement', 'spray_record']);
});
