import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { MessageChannel } from 'node:worker_threads';
import { createORPCClient } from '@orpc/client';
import { RPCLink as FetchLink } from '@orpc/client/fetch';
import { RPCLink as PortLink } from '@orpc/client/message-port';
import { createRouterClient } from '@orpc/server';
import { RPCHandler } from '@orpc/server/message-port';
import { expect, onTestFinished, test } from 'vitest';
import { runCall } from '../../electron/call/run.ts';
import { loadProgram } from '../../electron/host/load-program.ts';
import { becomeOwner, type Owner } from '../../electron/host/owner.ts';
import type { Program } from '../../electron/host/program.ts';
import { servingOptions } from '../../electron/host/rpc.ts';
import { openLoopback } from '../../electron/loopback/server.ts';
import type { DoorContext } from '../../electron/procedures/handler.ts';
import type { createRouter } from '../../electron/procedures/router.ts';
import { ok, refuse } from '../../shared/basics/result.ts';
import { toProblem } from '../../shared/contract/wire-error.ts';
import { workingFarm } from './electron/procedures/command-examples.ts';
import type { Api } from './electron/procedures/test-books.ts';
import { scratchFolder } from './electron/scratch.ts';

/** One call at one door: the answer, or the refusal as that door hands it out. As JSON, since that is what travels. */
type Door = (name: string, input: unknown) => Promise<string>;

type Client = Record<string, Record<string, (input: unknown) => Promise<unknown>>>;

function doorOf(client: unknown): Door {
	return async (name, input) => {
		const [module = '', procedure = ''] = name.split('.');
		try {
			const answer = await (client as Client)[module]?.[procedure]?.(input);
			return JSON.stringify({ answer });
		} catch (error) {
			return JSON.stringify({ error: toProblem(error) });
		}
	};
}

async function house(): Promise<{ owner: Owner; program: Program; folder: string; told: string[] }> {
	const told: string[] = [];
	const folder = scratchFolder();
	const program = await loadProgram({ pdf: async () => refuse('pdf.noBrowser') }, (line) => void told.push(line));
	const owner = await becomeOwner({ folder, door: 'browser', program, show: async () => null });
	if (!owner?.ok) throw new Error('the folder could not be taken');
	onTestFinished(() => owner.value.close());
	return { owner: owner.value, program, folder, told };
}

function contextOf(owner: Owner): DoorContext {
	const context = owner.contextFor('farm');
	if (!context.ok) throw new Error(context.problem.code);
	return context.value;
}

/** The page in this computer's browser: over HTTP, with everything its gate asks for. */
async function browserDoor(owner: Owner, program: Program): Promise<Door> {
	const loopback = await openLoopback({ owner, program, site: new Map() });
	onTestFinished(() => loopback.close());
	const headers = { origin: loopback.origin, 'sec-fetch-site': 'same-origin', 'content-type': 'application/json' };
	const launch = loopback.launchUrl().split('#launch=')[1];
	const session = await fetch(`${loopback.origin}/session`, {
		method: 'POST',
		headers,
		body: JSON.stringify({ launch }),
	});
	const cookie = session.headers.get('set-cookie')?.split(';')[0] ?? '';
	const { key } = (await session.json()) as { key: string };
	const shown = { origin: headers.origin, 'sec-fetch-site': 'same-origin', cookie, 'x-fillmark-token': key };
	return doorOf(createORPCClient(new FetchLink({ url: `${loopback.origin}/rpc/farm`, headers: shown })));
}

/** The desktop window: over a message port, as the main process hands it one. */
function windowDoor(owner: Owner, program: Program): Door {
	const { port1, port2 } = new MessageChannel();
	onTestFinished(() => port1.close());
	new RPCHandler<DoorContext>(program.router, servingOptions(owner, 'farm')).upgrade(port1 as never, { context: {} });
	port1.start();
	port2.start();
	return doorOf(createORPCClient(new PortLink({ port: port2 as never })));
}

/** The command line; through the owner while there is one, else as the owner itself. */
function commandLine(folder: string, program: Program): Door {
	return async (name, input) => {
		const said: { out: string[]; err: string[] } = { out: [], err: [] };
		await runCall([name, JSON.stringify(input)], {
			folder,
			patienceMs: 5_000,
			readStdin: () => '',
			prepareDataFolder: () => ok(folder),
			loadProgram: async () => program,
			out: (text) => void said.out.push(text),
			err: (text) => void said.err.push(text),
		});
		if (said.out.length > 0) return JSON.stringify({ answer: JSON.parse(said.out.join('')) });
		return JSON.stringify(JSON.parse(said.err.join('').trim().split('\n').at(-1) ?? ''));
	};
}

async function everyDoor() {
	const { owner, program, folder, told } = await house();
	const inProcess = createRouterClient(program.router as ReturnType<typeof createRouter>, {
		context: contextOf(owner),
	});
	const farm = await workingFarm(inProcess as Api);
	const doors: Record<string, Door> = {
		'in process': doorOf(inProcess),
		browser: await browserDoor(owner, program),
		window: windowDoor(owner, program),
		'command line': commandLine(folder, program),
	};
	return { doors, farm, owner, folder, program, told };
}

type Farm = Awaited<ReturnType<typeof workingFarm>>;
type Recorded = readonly [name: string, input: unknown];

function questions(farm: Farm): Recorded[] {
	const geometry = {
		type: 'Polygon',
		coordinates: [
			[
				[9, 51],
				[9.01, 51],
				[9.01, 51.01],
				[9, 51],
			],
		],
	};
	const period = { from: '2026-01-01', to: '2026-12-31' };
	return [
		['fields.measure', { geometry }],
		['products.formulations', {}],
		['weather.deltaT', { temperatureC: 20, humidityPercent: 60 }],
		['sprayers.rinse', { residualL: 20, rinsesL: [100, 100] }],
		['records.ruleSets', {}],
		['settings.get', {}],
		['fields.list', {}],
		['fields.get', { id: farm.fieldId }],
		['products.list', {}],
		['sprayers.list', {}],
		['store.onHand', {}],
		['store.movements', {}],
		['store.movements', { productId: farm.suspensionId, limit: 1 }],
		['jobs.list', {}],
		['jobs.get', { id: farm.loggedId }],
		['jobs.card', { jobId: farm.plannedId, load: 1 }],
		['records.list', period],
		['records.versions', { id: farm.recordId }],
		['records.verify', {}],
		['season.statement', period],
		['season.reconcile', period],
		['upkeep.about', {}],
		['upkeep.audit', { limit: 5 }],
	];
}

/** The same key at every door: the first writes, the others get its answer. */
function entries(farm: Farm): Recorded[] {
	const at = { startedAt: '2026-05-04T07:00:00Z', finishedAt: '2026-05-04T08:00:00Z', operator: 'Åsa Öberg 🚜' };
	return [
		['settings.save', { key: 'doors', farmName: 'Märsch & Søn “West”', operator: null }],
		['fields.add', { key: 'doors', name: 'Überhang\u2028\u0000', measuredHa: 0.1 + 0.2 }],
		['store.receive', { key: 'doors', productId: farm.suspensionId, packSize: 5, packs: 2, note: '"D";\n4' }],
		['jobs.logLoad', { key: 'doors', jobId: farm.plannedId, load: 1, ...at }],
		[
			'records.correct',
			{ key: 'doors', id: farm.recordId, version: 1, why: 'read wrongly', by: 'J', growthStage: '32' },
		],
	];
}

function mistakes(farm: Farm, folder: string): Recorded[] {
	const notABackup = join(folder, 'letter.txt');
	writeFileSync(notABackup, 'Dear Sir');
	const line = { key: 'x', productId: farm.suspensionId, packSize: 5, packs: 1 };
	return [
		['store.receive', {}],
		['store.receive', { ...line, packs: 'two' }],
		['store.receive', { ...line, surprise: 1 }],
		['store.receive', { ...line, packs: -1, packSize: 0, date: '2026-02-30' }],
		['store.receive', null],
		['store.receive', []],
		['store.receive', 'receive'],
		[
			'jobs.add',
			{ key: 'x', sprayerId: farm.sprayerId, sprayVolumeLPerHa: 100, fields: [{ areaHa: 1 }], products: [] },
		],
		['fields.measure', { geometry: { type: 'Point', coordinates: [9, 51] } }],
		['store.receive', { ...line, packSize: 7 }],
		['store.receive', { ...line, productId: 'none' }],
		['store.receive', { ...line, key: 'in-1' }],
		['jobs.get', { id: 'none' }],
		[
			'jobs.logLoad',
			{
				key: 'x',
				jobId: farm.loggedId,
				load: 9,
				startedAt: '2026-05-04T07:00',
				finishedAt: '2026-05-04T08:00',
				operator: 'A',
			},
		],
		['store.post', { key: 'x', productId: farm.suspensionId, kind: 'disposal', amount: 5000, why: 'w', by: 'J' }],
		['fields.update', { key: 'x', id: farm.fieldId, version: 99, name: 'N' }],
		['season.statement', { from: '2026-12-31', to: '2026-01-01' }],
		['upkeep.verifyBackup', { path: join(folder, 'none.backup') }],
		['upkeep.verifyBackup', { path: notABackup }],
		['upkeep.restore', { path: notABackup }],
		['upkeep.buildDemo', {}],
		['jobs.printCard', { jobId: farm.plannedId, load: 1 }],
	];
}

/** What each door says to a call; all of them the same, or the test shows who differs. */
async function atEveryDoor(doors: Record<string, Door>, [name, input]: Recorded): Promise<{ code: string }> {
	const said: Record<string, unknown> = {};
	for (const [door, call] of Object.entries(doors)) said[door] = JSON.parse(await call(name, input));
	const first = said['in process'];
	expect(said, name).toEqual(Object.fromEntries(Object.keys(doors).map((door) => [door, first])));
	return { code: (first as { error?: { code: string } }).error?.code ?? 'answered' };
}

test('every door answers questions and entries with the same JSON', async () => {
	const { doors, farm } = await everyDoor();
	for (const call of [...questions(farm), ...entries(farm), ...questions(farm)]) {
		expect([call[0], (await atEveryDoor(doors, call)).code]).toEqual([call[0], 'answered']);
	}
});

test('every door refuses with the same code, sentence and figures', async () => {
	const { doors, farm, folder } = await everyDoor();
	const codes = [];
	for (const call of mistakes(farm, folder)) codes.push((await atEveryDoor(doors, call)).code);
	expect(codes).not.toContain('answered');
	expect(codes).not.toContain('internal');
	expect(new Set(codes).size).toBeGreaterThan(10);
	const { ['in process']: _, ...outside } = doors;
	for (const call of Object.values(outside)) {
		expect(JSON.parse(await call('fields.plough', {}))).toMatchObject({ error: { code: 'procedure.unknown' } });
	}
});

test('a bug is the same at every door, and its inside stays in the log', async () => {
	const { doors, farm, owner, told } = await everyDoor();
	const sqlite = contextOf(owner).book?.writer.sqlite;
	sqlite?.exec("CREATE TEMP TRIGGER breaks BEFORE INSERT ON main.movement BEGIN SELECT RAISE(ABORT, 'a secret'); END");
	const line = { key: 'breaks', productId: farm.suspensionId, packSize: 5, packs: 1 };
	const { code } = await atEveryDoor(doors, ['store.receive', line]);
	const said = await Promise.all(Object.values(doors).map((call) => call('store.receive', line)));
	expect([code, said.some((text) => text.includes('secret'))]).toEqual(['internal', false]);
	expect(told.join('\n')).toContain('a secret');
	sqlite?.exec('DROP TRIGGER breaks');
	expect((await atEveryDoor(doors, ['store.receive', line])).code).toBe('answered');
});

test('the command line without an owner gives what the owner gave', async () => {
	const { doors, farm, owner, folder, program } = await everyDoor();
	const before = [];
	const calls = [...questions(farm), ...entries(farm)];
	for (const [name, input] of calls) before.push(await doors['browser']?.(name, input));
	await owner.close();
	const alone = commandLine(folder, program);
	const after = [];
	for (const [name, input] of calls.slice(-entries(farm).length)) after.push(await alone(name, input));
	expect(after).toEqual(before.slice(-entries(farm).length));
	const verified = JSON.parse(await alone('records.verify', {})) as { answer: { ok: boolean } };
	expect(verified.answer.ok).toBe(true);
});

test('a door that says it otherwise is found', async () => {
	const { doors } = await everyDoor();
	const browser = doors['browser'];
	const rounding: Door = async (name, input) =>
		(await browser?.(name, input))?.replace('"amount":', '"amounts":') ?? '';
	await expect(atEveryDoor({ ...doors, rounding }, ['store.onHand', {}])).rejects.toThrow();
	await expect(atEveryDoor({ ...doors, rounding }, ['settings.get', {}])).resolves.toEqual({ code: 'answered' });
});
