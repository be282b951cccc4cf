import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { callOwner, NobodyListens, showOwner } from '../../../../electron/host/local-line.ts';
import { becomeOwner, type Owner } from '../../../../electron/host/owner.ts';
import {
	LONGEST_SOCKET_PATH,
	readOwnerNote,
	socketAddress,
	sweepPrivateTempFolder,
} from '../../../../electron/host/owner-note.ts';
import { scratchFolder } from '../scratch.ts';
import { testProgram } from '../test-program.ts';

type Holder = {
	readonly child: ChildProcess;
	readonly said: string[];
	heard(word: string): Promise<void>;
	kill(): Promise<void>;
};

async function holdElsewhere(folder: string, door = 'window'): Promise<Holder> {
	const child = spawn(process.execPath, [join(import.meta.dirname, 'hold-folder.ts'), folder, door], {
		stdio: ['ignore', 'pipe', 'inherit'],
	});
	onTestFinished(() => void child.kill('SIGKILL'));
	const said: string[] = [];
	child.stdout?.on('data', (chunk: Buffer) => said.push(...chunk.toString().trim().split('\n')));
	const heard = (word: string) =>
		new Promise<void>((done, failed) => {
			const look = () => said.includes(word) && done();
			child.stdout?.on('data', look);
			child.once('exit', () => failed(new Error(`ended after saying ${said.join(', ')}`)));
			look();
		});
	const kill = () => {
		const gone = new Promise<void>((done) => child.once('exit', () => done()));
		child.kill('SIGKILL');
		return gone;
	};
	return { child, said, heard, kill };
}

async function ownHere(folder: string, listening = true): Promise<Owner> {
	const owner = await becomeOwner({
		folder,
		door: 'window',
		program: testProgram(),
		...(listening ? { show: async () => null } : {}),
	});
	if (!owner?.ok) throw new Error('the folder could not be taken');
	onTestFinished(() => owner.value.close());
	return owner.value;
}

function noteOf(folder: string) {
	const note = readOwnerNote(folder);
	if (!note) throw new Error('no owner has written its note');
	return note;
}

test('a folder has one owner at a time, and is free again once the owner closes', async () => {
	const folder = scratchFolder();
	const first = await ownHere(folder);
	const second = await becomeOwner({ folder, door: 'call', program: testProgram() });
	expect(second).toBeNull();
	await first.close();
	await ownHere(folder);
});

test('an owner in another process keeps this one out, and a killed one is no obstacle', async () => {
	const folder = scratchFolder();
	const holder = await holdElsewhere(folder);
	await holder.heard('owner');
	expect(await becomeOwner({ folder, door: 'call', program: testProgram() })).toBeNull();
	await holder.kill();
	expect(existsSync(socketAddress(folder))).toBe(true);
	const owner = await ownHere(folder);
	expect(await callOwner(noteOf(folder), 'farm', ['fields', 'list'], undefined)).toEqual({ folder, demo: false });
	await owner.close();
});

test('of five processes started at once exactly one becomes the owner', async () => {
	const folder = scratchFolder();
	const holders = await Promise.all(Array.from({ length: 5 }, () => holdElsewhere(folder, 'deaf')));
	await Promise.all(holders.map((holder) => Promise.race([holder.heard('owner'), holder.heard('taken')])));
	expect(holders.map((holder) => holder.said[0]).sort()).toEqual([
		'owner',
		...Array.from({ length: 4 }, () => 'taken'),
	]);
});

test('both books are served on the local socket, the demonstration farm from its own folder', async () => {
	const folder = scratchFolder();
	await ownHere(folder);
	const note = noteOf(folder);
	expect(existsSync(join(folder, 'demo-farm'))).toBe(false);
	const answers = [
		await callOwner(note, 'farm', ['fields', 'list'], {}),
		await callOwner(note, 'demo', ['fields', 'list'], {}),
	];
	expect(answers).toEqual([
		{ folder, demo: false },
		{ folder: join(folder, 'demo-farm'), demo: true },
	]);
});

test('a refusal crosses the socket with its code and figures', async () => {
	const folder = scratchFolder();
	await ownHere(folder);
	await expect(callOwner(noteOf(folder), 'farm', ['store', 'receive'], {})).rejects.toMatchObject({
		code: 'store.short',
		status: 422,
		data: { have: 1, unit: 'L', product: 'Alder', need: 2 },
	});
});

test('a file named without a folder is put into the exports of the book', async () => {
	const folder = scratchFolder();
	await ownHere(folder);
	const note = noteOf(folder);
	const answers = [
		await callOwner(note, 'farm', ['fields', 'import'], { path: 'diary.pdf' }),
		await callOwner(note, 'demo', ['fields', 'import'], { path: 'diary.pdf' }),
		await callOwner(note, 'farm', ['fields', 'import'], { path: '/elsewhere/diary.pdf' }),
	];
	expect(answers).toEqual([
		{ path: join(folder, 'exports', 'diary.pdf') },
		{ path: join(folder, 'demo-farm', 'exports', 'diary.pdf') },
		{ path: '/elsewhere/diary.pdf' },
	]);
});

test('nobody else may use the socket or read the note', async () => {
	const folder = scratchFolder();
	await ownHere(folder);
	const modes = [socketAddress(folder), join(folder, 'owner.json')].map((file) => statSync(file).mode & 0o777);
	expect(modes).toEqual([0o600, 0o600]);
	await expect(
		callOwner({ ...noteOf(folder), token: 'guessed' }, 'farm', ['fields', 'list'], {}),
	).rejects.toMatchObject({
		status: 401,
	});
});

test('a second start asks the first to show its window', async () => {
	const folder = scratchFolder();
	const holder = await holdElsewhere(folder);
	await holder.heard('owner');
	expect(await showOwner(noteOf(folder))).toBe('an address');
	await holder.heard('show');
});

test('closing waits for the answer being given, then leaves neither note nor socket', async () => {
	const folder = scratchFolder();
	const owner = await ownHere(folder);
	const note = noteOf(folder);
	const slow = callOwner(note, 'farm', ['fields', 'get'], { ms: 300 });
	await new Promise((done) => setTimeout(done, 100));
	await owner.close();
	expect(await slow).toBe('answered');
	await expect(callOwner(note, 'farm', ['fields', 'list'], {})).rejects.toBeInstanceOf(NobodyListens);
	expect([readOwnerNote(folder), existsSync(socketAddress(folder))]).toEqual([null, false]);
});

test('an owner that dies while answering is reported, not asked again', async () => {
	const folder = scratchFolder();
	const holder = await holdElsewhere(folder);
	await holder.heard('owner');
	const asked = callOwner(noteOf(folder), 'farm', ['fields', 'get'], { ms: 60_000 });
	setTimeout(() => void holder.kill(), 300);
	await expect(asked).rejects.toMatchObject({ code: 'door.closed' });
});

test('a folder with a long path is listened to under a short one', async () => {
	const folder = join(scratchFolder(), 'a-very-long-name-of-a-farm-office-folder'.repeat(4));
	mkdirSync(folder);
	await ownHere(folder);
	const address = noteOf(folder).address ?? '';
	expect(Buffer.byteLength(address)).toBeLessThanOrEqual(LONGEST_SOCKET_PATH);
	expect(address.startsWith(folder)).toBe(false);
	expect(await callOwner(noteOf(folder), 'farm', ['fields', 'list'], {})).toEqual({ folder, demo: false });
});

test('a folder that holds something else is refused and freed', async () => {
	const folder = scratchFolder();
	mkdirSync(join(folder, 'fillmark.sqlite'));
	const refused = await becomeOwner({ folder, door: 'window', program: testProgram(), show: async () => null });
	expect(refused).toMatchObject({ ok: false, problem: { code: 'data.foreign' } });
	const again = await becomeOwner({ folder, door: 'window', program: testProgram() });
	expect(again).not.toBeNull();
});

test('what a killed program left in the private folder goes after an hour', () => {
	const folder = scratchFolder();
	for (const name of ['print-old', 'print-new']) mkdirSync(join(folder, name));
	writeFileSync(join(folder, 'other.sock'), '');
	const longAgo = new Date(Date.now() - 2 * 3_600_000);
	for (const name of ['print-old', 'other.sock']) utimesSync(join(folder, name), longAgo, longAgo);
	sweepPrivateTempFolder(folder);
	expect(readdirSync(folder).sort()).toEqual(['other.sock', 'print-new']);
});
