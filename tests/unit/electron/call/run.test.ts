import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { type CallHost, runCall } from '../../../../electron/call/run.ts';
import { prepareDataFolder } from '../../../../electron/host/data-folder.ts';
import { becomeOwner } from '../../../../electron/host/owner.ts';
import { scratchFolder } from '../scratch.ts';
import { testProgram } from '../test-program.ts';

type Said = { status: number; out: string; err: string };

async function say(
	args: readonly string[],
	{ folder = scratchFolder(), stdin = '', patienceMs = 5_000 } = {},
): Promise<Said> {
	const out: string[] = [];
	const err: string[] = [];
	const host: CallHost = {
		folder,
		patienceMs,
		readStdin: () => stdin,
		prepareDataFolder: (asked) => prepareDataFolder(join(folder, asked ?? 'data')),
		loadProgram: async () => testProgram(),
		out: (text) => void out.push(text),
		err: (text) => void err.push(text),
	};
	const status = await runCall(args, host);
	return { status, out: out.join(''), err: err.join('') };
}

const lastError = ({ err }: Said) =>
	JSON.parse(err.trim().split('\n').at(-1) ?? '') as { error: { code: string; details: unknown } };

test('a computed answer is printed alone and opens nothing', async () => {
	const folder = scratchFolder();
	const said = await say(['fields.measure', '{"geometry":{"type":"Polygon"}}'], { folder });
	expect(said).toEqual({ status: 0, out: '{"opened":false,"input":{"geometry":{"type":"Polygon"}}}\n', err: '' });
	expect(readdirSync(folder)).toEqual([]);
});

test('a question about the books creates them', async () => {
	const folder = scratchFolder();
	const said = await say(['--data', 'books', 'fields.list'], { folder });
	expect(said).toEqual({ status: 0, out: `{"folder":"${join(folder, 'books')}","demo":false}\n`, err: '' });
	expect(readdirSync(join(folder, 'books')).sort()).toEqual(['fillmark.sqlite', 'owner.lock']);
});

test('--data= and --demo are understood anywhere', async () => {
	const folder = scratchFolder();
	const { out } = await say(['fields.list', '--demo', '--data=books'], { folder });
	expect(JSON.parse(out)).toEqual({ folder: join(folder, 'books', 'demo-farm'), demo: true });
});

test('input comes from a file or from stdin, with or without a byte order mark', async () => {
	const folder = scratchFolder();
	writeFileSync(join(folder, 'input.json'), '\uFEFF{"geometry":{"type":"Polygon"}}');
	const fromFile = await say(['fields.measure', '@input.json'], { folder });
	const fromStdin = await say(['fields.measure', '-'], { stdin: '{"geometry":{"type":"Polygon"}}' });
	expect([fromFile.out, fromStdin.out]).toEqual(
		Array(2).fill('{"opened":false,"input":{"geometry":{"type":"Polygon"}}}\n'),
	);
});

test('a file named in the input lies in the caller’s folder', async () => {
	const folder = scratchFolder();
	const { out } = await say(['fields.import', '{"path":"fields.zip"}'], { folder });
	expect(JSON.parse(out)).toEqual({ path: join(folder, 'fields.zip') });
});

test.each([
	['an unknown procedure', ['fields.plough'], 'procedure.unknown', { name: 'fields.plough' }],
	['a name of every object', ['constructor.name'], 'procedure.unknown', { name: 'constructor.name' }],
	['no procedure', [], 'input.invalid', expect.objectContaining({ path: 'procedure' })],
	['an unknown option', ['--verbose', 'fields.list'], 'input.invalid', expect.objectContaining({ path: '--verbose' })],
	[
		'--data without a folder',
		['fields.list', '--data'],
		'input.invalid',
		{ path: '--data', why: 'a folder must follow' },
	],
	['one argument too many', ['fields.list', '{}', '{}'], 'input.invalid', expect.objectContaining({ path: '{}' })],
	['text that is not JSON', ['fields.measure', '{'], 'input.invalid', expect.objectContaining({ path: 'input' })],
	['a missing input file', ['fields.measure', '@gone.json'], 'file.missing', expect.anything()],
	[
		'input of the wrong shape',
		['fields.measure', '{}'],
		'input.invalid',
		{ path: 'geometry', why: expect.any(String) },
	],
	[
		'an unknown key',
		['fields.measure', '{"geometry":{"type":"P"},"x":1}'],
		'input.invalid',
		expect.objectContaining({ path: 'input' }),
	],
	['a refusal', ['store.receive'], 'store.short', { have: 1, unit: 'L', product: 'Alder', need: 2 }],
	['a bug', ['store.onHand'], 'internal', {}],
] as const)('%s is one line of error, the last on stderr', async (_, args, code, details) => {
	const said = await say(args);
	expect(lastError(said).error).toEqual({ code, message: expect.any(String), details });
	expect([said.status, said.out, said.err.endsWith('}\n')]).toEqual([1, '', true]);
});

test('the inside of a bug is told above the error line, never in it', async () => {
	const said = await say(['store.onHand']);
	expect(said.err).toContain('a secret of the inside');
	expect(JSON.stringify(lastError(said))).not.toContain('secret');
});

test('of several mistakes the first is in the sentence and all are in the details', async () => {
	const said = await say(['fields.measure', '{"geometry":{"type":1},"areas":[1,"2"]}']);
	const { details } = lastError(said).error as { details: { path: string; issues: { path: string }[] } };
	expect([details.path, details.issues.map(({ path }) => path)]).toEqual([
		'geometry.type',
		['geometry.type', 'areas[1]'],
	]);
});

test('a call goes through the owner while there is one', async () => {
	const folder = scratchFolder();
	const books = prepareDataFolder(join(folder, 'data'));
	const owner = await becomeOwner({
		folder: books.ok ? books.value : '',
		door: 'window',
		program: testProgram(),
		show: async () => null,
	});
	if (!owner?.ok) throw new Error('the folder could not be taken');
	const [answer, refusal] = [await say(['fields.list'], { folder }), await say(['store.receive'], { folder })];
	await owner.value.close();
	expect(JSON.parse(answer.out)).toEqual({ folder: join(folder, 'data'), demo: false });
	expect(lastError(refusal).error).toMatchObject({ code: 'store.short', details: { need: 2 } });
});

test('a call waits for another call, and gives up with the name of the holder', async () => {
	const folder = scratchFolder();
	const books = prepareDataFolder(join(folder, 'data'));
	const owner = await becomeOwner({ folder: books.ok ? books.value : '', door: 'call', program: testProgram() });
	if (!owner?.ok) throw new Error('the folder could not be taken');
	const impatient = await say(['fields.list'], { folder, patienceMs: 200 });
	const patient = say(['fields.list'], { folder });
	setTimeout(() => void owner.value.close(), 200);
	expect(lastError(impatient).error).toMatchObject({
		code: 'data.inUse',
		details: { folder: join(folder, 'data'), holder: `process ${process.pid}` },
	});
	expect((await patient).status).toBe(0);
});

test('--list tells every procedure with kind, purpose and schemas', async () => {
	const { out } = await say(['--list']);
	const list = JSON.parse(out) as { name: string; kind: string; does: string; input: unknown; output: unknown }[];
	const measure = list.find(({ name }) => name === 'fields.list');
	expect(measure).toMatchObject({ kind: 'query', input: { type: 'object' }, output: { type: 'array' } });
	expect(list.filter(({ kind, does }) => !['pure', 'query', 'command'].includes(kind) || does === '')).toEqual([]);
});
