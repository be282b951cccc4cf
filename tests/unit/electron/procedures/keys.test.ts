import { isContractProcedure } from '@orpc/contract';
import { expect, test } from 'vitest';
import type { Book } from '../../../../db/open-book.ts';
import { contract } from '../../../../shared/contract/contract.ts';
import type { ProcedureMeta } from '../../../../shared/contract/procedure.ts';
import { allRows, type Row } from '../../db/sample-rows.ts';
import { examples, workingFarm } from './command-examples.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

type Rows = Record<string, Row[]>;

/** It asks for other procedures, each with a line of its own, in a book that is nobody's records. */
const WITHOUT_LINE = ['upkeep.buildDemo'];

const commands = Object.entries(contract)
	.flatMap(([module, procedures]) => Object.entries(procedures).map(([name, declared]) => ({ module, name, declared })))
	.filter(({ declared }) => isContractProcedure(declared) && metaOf(declared).kind === 'command')
	.map(({ module, name }) => `${module}.${name}`);

function metaOf(declared: unknown): ProcedureMeta {
	return (declared as { '~orpc': { meta: ProcedureMeta } })['~orpc'].meta;
}

function callOf(api: Api, command: string): (input: object) => Promise<unknown> {
	const [module = '', name = ''] = command.split('.');
	const procedures = (api as unknown as Record<string, Record<string, (input: object) => Promise<unknown>>>)[module];
	const call = procedures?.[name];
	if (!call) throw new Error(`there is no ${command}`);
	return call;
}

/** Books with the example of a command laid out and ready to be sent. */
async function ready(command: string) {
	const { api, book } = testBooks();
	const example = await examples[command]?.(await workingFarm(api));
	if (!example) throw new Error(`${command} has no example`);
	return { book, call: callOf(api, command), example };
}

const withoutRestore = Object.keys(examples).filter((command) => command !== 'upkeep.restore');
const rowsNow = (book: Book): Rows => allRows(book.reader);
const auditOf = (rows: Rows): Row[] => rows['audit'] ?? [];

test('every command has its example, and no other procedure has one', () => {
	expect(Object.keys(examples).sort()).toEqual(commands.filter((name) => !WITHOUT_LINE.includes(name)).sort());
	expect(commands.length).toBeGreaterThan(40);
});

test.each(Object.keys(examples))(
	'%s sent twice with one key happens once and leaves one audit line',
	async (command) => {
		const { book, call, example } = await ready(command);
		const before = rowsNow(book);
		const input = { key: 'the key', ...example.input };
		const first = await call(input);
		const after = rowsNow(book);
		const lines = auditOf(after).filter(({ command_key }) => command_key === 'the key');
		expect(lines).toMatchObject([{ procedure: command }]);
		expect(JSON.parse(String(lines[0]?.['output']))).toEqual(first);
		const known = new Set(auditOf(before).map(({ id }) => id));
		expect(auditOf(after).filter(({ id }) => !known.has(id))).toEqual(lines);
		expect(lines[0]?.['who']).not.toBe('');
		expect(changedTables(before, after).length, 'it wrote something').toBeGreaterThan(0);

		expect(await call(input)).toEqual(first);
		expect(rowsNow(book)).toEqual(after);

		expect(await refusal(call({ ...input, ...example.other }))).toEqual({
			code: 'key.reused',
			details: { key: 'the key' },
		});
		expect(rowsNow(book)).toEqual(after);
	},
);

/** Tables, besides the trail itself, whose rows are not what they were. */
function changedTables(before: Rows, after: Rows): string[] {
	return Object.keys(after).filter(
		(table) => !['audit', 'chain'].includes(table) && JSON.stringify(after[table]) !== JSON.stringify(before[table]),
	);
}

/** Rows that were there before and are not the same now: what must stand in the audit line with its old value. */
function alteredRows(before: Rows, after: Rows): string[] {
	return Object.keys(after)
		.filter((table) => !['audit', 'chain'].includes(table))
		.flatMap((table) =>
			(before[table] ?? [])
				.filter((old) => old['id'] !== undefined)
				.filter((old) => {
					const now = after[table]?.find(({ id }) => id === old['id']);
					return JSON.stringify(now) !== JSON.stringify(old);
				})
				.map(({ id }) => `${table} ${id}`),
		);
}

// A restore replaces all rows: its line names the heads of the books before and after.
test.each(withoutRestore)('what %s alters stands in its audit line, before and after', async (command) => {
	const { book, call, example } = await ready(command);
	const before = rowsNow(book);
	await call({ key: 'the key', ...example.input });
	const after = rowsNow(book);
	const line = auditOf(after).at(-1);
	const noted = JSON.parse(String(line?.['changes'])) as {
		table: string;
		id: string;
		before: unknown;
		after: unknown;
	}[];
	const named = noted.map(({ table, id }) => `${table} ${id}`);
	expect(alteredRows(before, after).filter((row) => !named.includes(row))).toEqual([]);
	expect(noted.filter((change) => JSON.stringify(change.before) === JSON.stringify(change.after))).toEqual([]);
});

// A restore writes its line into the new books before they take their place.
test.each(withoutRestore)('%s leaves nothing behind where it breaks at its last step', async (command) => {
	const { book, call, example } = await ready(command);
	const before = rowsNow(book);
	const { sqlite } = book.writer;
	sqlite.exec("CREATE TEMP TRIGGER breaks BEFORE INSERT ON main.audit BEGIN SELECT RAISE(ABORT, 'broken here'); END");
	const broken = await silently(() => refusal(call({ key: 'the key', ...example.input })));
	sqlite.exec('DROP TRIGGER breaks');
	expect(broken.code).toBe('internal');
	expect(rowsNow(book)).toEqual(before);
	await call({ key: 'the key', ...example.input });
	expect(auditOf(rowsNow(book)).length).toBe(auditOf(before).length + 1);
});

/** A bug is logged on stderr; here it is made on purpose. */
async function silently<Value>(run: () => Promise<Value>): Promise<Value> {
	const { error } = console;
	console.error = () => {};
	try {
		return await run();
	} finally {
		console.error = error;
	}
}

test('a key serves one procedure: another may use it too', async () => {
	const { api } = testBooks();
	const { suspensionId: productId } = await workingFarm(api);
	await api.store.receive({ key: 'same', productId, packSize: 5, packs: 1 });
	await api.store.post({ key: 'same', productId, kind: 'disposal', amount: 1, why: 'w', by: 'J. Wren' });
	expect((await api.store.movements({ productId })).filter(({ kind }) => kind === 'disposal').length).toBe(1);
});

test('ten senders with one key at once: one effect, one answer', async () => {
	const { api, book } = testBooks();
	const { suspensionId: productId } = await workingFarm(api);
	const before = auditOf(rowsNow(book)).length;
	const send = () => api.store.receive({ key: 'same', productId, packSize: 5, packs: 1 });
	const answers = await Promise.all(Array.from({ length: 10 }, send));
	expect(new Set(answers.map((answer) => JSON.stringify(answer))).size).toBe(1);
	expect(auditOf(rowsNow(book)).length).toBe(before + 1);
});
