import Database from 'better-sqlite3';
import { drizzle } from 'drizzle-orm/better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { farm } from '../../../db/tables.ts';
import { inTransaction, type WriteDb } from '../../../db/transaction.ts';
import { InvariantError } from '../../../shared/basics/result.ts';
import { testBooks } from '../electron/procedures/test-books.ts';

type Figures = { readonly operator: string | null; readonly name: string | null };

function setUp() {
	const { book } = testBooks();
	const command = <Outcome>(body: (tx: WriteDb) => Promise<Outcome>, keep = (_: Outcome) => true) =>
		inTransaction(book.writer, body, keep);
	const seen = async (): Promise<Figures> => {
		const [row] = await book.read.select({ name: farm.name, operator: farm.operator }).from(farm);
		return row ?? { name: null, operator: null };
	};
	return { book, command, seen };
}

const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));

test('a promise left over when the transaction ended writes nothing', async () => {
	const { command, seen } = setUp();
	const stray: Promise<unknown>[] = [];
	await command(async (tx) => {
		stray.push(pause(5).then(() => tx.update(farm).set({ name: 'written late' })));
		await tx.update(farm).set({ name: 'in time' });
	});
	await expect(Promise.all(stray)).rejects.toThrow(InvariantError);
	expect(await seen()).toMatchObject({ name: 'in time' });
});

test('a statement prepared inside does not work after the end either', async () => {
	const { command, seen } = setUp();
	const kept = await command(async (tx) => ({ write: tx.update(farm).set({ name: 'written late' }) }));
	await expect(kept.write).rejects.toThrow('after its transaction had ended');
	expect(await seen()).toMatchObject({ name: null });
});

test('the transaction of the database library leaves half of an async body behind: why it is not used', async () => {
	const { book, seen } = setUp();
	const db = drizzle({ client: book.writer.sqlite });
	const left: Promise<unknown>[] = [];
	const body = async (tx: WriteDb) => {
		await tx.update(farm).set({ name: 'first half' });
		await tx.update(farm).set({ operator: 'second half' });
	};
	expect(() => db.transaction((tx) => void left.push(body(tx as unknown as WriteDb)))).not.toThrow();
	await Promise.all(left);
	expect(await seen()).toEqual({ name: 'first half', operator: 'second half' });
	expect(() => db.transaction((tx) => body(tx as unknown as WriteDb) as unknown as undefined)).toThrow();
});

test('a refusal and a fault leave nothing behind', async () => {
	const { command, seen } = setUp();
	const refused = command(
		async (tx) => {
			await tx.update(farm).set({ name: 'refused' });
			return false;
		},
		(outcome) => outcome,
	);
	const faulty = command(async (tx) => {
		await tx.update(farm).set({ name: 'fault' });
		throw new Error('a fault of the body');
	});
	expect(await refused).toBe(false);
	await expect(faulty).rejects.toThrow('a fault of the body');
	expect(await seen()).toMatchObject({ name: null });
	await command(async (tx) => tx.update(farm).set({ name: 'kept' }));
	expect(await seen()).toMatchObject({ name: 'kept' });
});

test('commands take turns: a hundred that read, wait and write lose no step', async () => {
	const { command, seen } = setUp();
	const count = () =>
		command(async (tx) => {
			const [row] = await tx.select({ name: farm.name }).from(farm);
			await Promise.resolve();
			await tx.update(farm).set({ name: String(Number(row?.name ?? 0) + 1) });
		});
	await Promise.all(Array.from({ length: 100 }, count));
	expect(await seen()).toMatchObject({ name: '100' });
});

test('a reader sees the books before or after a command, never between', async () => {
	const { command, seen } = setUp();
	const during: Figures[] = [];
	const running = command(async (tx) => {
		await tx.update(farm).set({ name: 'both' });
		during.push(await seen());
		await tx.update(farm).set({ operator: 'both' });
		during.push(await seen());
	});
	await running;
	expect([...during, await seen()]).toEqual([
		{ name: null, operator: null },
		{ name: null, operator: null },
		{ name: 'both', operator: 'both' },
	]);
});

test('a command holds the books from its first moment, before it has written', async () => {
	const { book, command } = setUp();
	const other = new Database(book.file, { timeout: 0 });
	onTestFinished(() => void other.close());
	const attempt = () => {
		other.exec('BEGIN IMMEDIATE');
		other.exec('ROLLBACK');
	};
	await command(async () => expect(attempt).toThrow(/database is locked/));
	expect(attempt).not.toThrow();
	// BEGIN alone holds nothing until the first statement.
	book.writer.sqlite.exec('BEGIN');
	expect(attempt).not.toThrow();
	book.writer.sqlite.exec('ROLLBACK');
});
