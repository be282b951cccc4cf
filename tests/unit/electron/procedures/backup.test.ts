import { createHash } from 'node:crypto';
import {
	appendFileSync,
	copyFileSync,
	mkdirSync,
	readdirSync,
	readFileSync,
	statSync,
	truncateSync,
	writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { createRouterClient } from '@orpc/server';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { migrate, readMigrations, readSnapshot, schemaText } from '../../../../db/migrate.ts';
import { DATABASE_NAME, openBook } from '../../../../db/open-book.ts';
import { createRouter } from '../../../../electron/procedures/router.ts';
import { chains, relink, triggers } from '../../db/chain-rows.ts';
import { allRows, columnsOf, fillEveryTable, type Row } from '../../db/sample-rows.ts';
import { seededRandom } from '../../seeded-random.ts';
import { scratchFolder } from '../scratch.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

/** Books with two logged loads, and a backup of them. */
async function backedUp() {
	const books = testBooks();
	const farm = await smallFarm(books.api);
	const log = async (day: number) => {
		const { id: jobId } = await books.api.jobs.add({
			key: `job ${day}`,
			sprayerId: farm.sprayerId,
			sprayVolumeLPerHa: 100,
			fields: [{ fieldId: farm.fieldId, areaHa: 5 }],
			products: [{ productId: farm.suspensionId, dosePerHa: 1.3 }],
			date: `2026-05-0${day}`,
		});
		const at = { startedAt: `2026-05-0${day}T07:00:00Z`, finishedAt: `2026-05-0${day}T08:00:00Z` };
		await books.api.jobs.logLoad({ key: `log ${day}`, jobId, load: 1, operator: 'A. Marsh', ...at });
	};
	await log(1);
	await log(2);
	const path = join(scratchFolder(), 'books.backup');
	const report = await books.api.upkeep.backup({ path });
	const saved = allRows(books.book.reader);
	return { ...books, ...farm, log, path, report, saved };
}

/** What a database file holds, looked at in a copy. */
function contentOf(file: string): Record<string, Row[]> {
	const copy = join(scratchFolder(), 'copy.sqlite');
	copyFileSync(file, copy);
	const sqlite = new Database(copy, { readonly: true });
	try {
		return allRows(sqlite);
	} finally {
		sqlite.close();
	}
}

test('a backup holds everything, beside it a manifest, and nothing else is left there', async () => {
	const { path, report, saved, api } = await backedUp();
	expect(contentOf(path)).toEqual(saved);
	expect(readdirSync(join(path, '..')).sort()).toEqual(['books.backup', 'books.backup.manifest.json']);
	const { ok: _, path: __, ...figures } = report;
	expect(JSON.parse(readFileSync(`${path}.manifest.json`, 'utf8'))).toMatchObject(figures);
	expect(report).toMatchObject({ ok: true, records: 2, movements: saved['movement']?.length });
	expect(await api.upkeep.verifyBackup({ path })).toEqual(report);
	expect(readdirSync(join(path, '..')).length).toBe(2);
});

test('a backup is never written over a file, whatever that is', async () => {
	const { path, api } = await backedUp();
	const before = readFileSync(path);
	expect(await refusal(api.upkeep.backup({ path }))).toEqual({ code: 'backup.exists', details: { file: path } });
	const letter = join(path, '..', 'letter.txt');
	writeFileSync(letter, 'Dear Sir');
	expect((await refusal(api.upkeep.backup({ path: letter }))).code).toBe('backup.exists');
	expect([readFileSync(path).equals(before), readFileSync(letter, 'utf8')]).toEqual([true, 'Dear Sir']);
});

test('a backup that cannot be written says so and leaves nothing', async () => {
	const { path, api, folder } = await backedUp();
	const inAFile = join(path, 'below', 'x.backup');
	expect(await refusal(api.upkeep.backup({ path: inAFile }))).toMatchObject({
		code: 'file.notWritten',
		details: { file: inAFile },
	});
	expect(readdirSync(join(path, '..')).length).toBe(2);
	expect(readdirSync(folder).sort()).toEqual([DATABASE_NAME, `${DATABASE_NAME}-shm`, `${DATABASE_NAME}-wal`]);
});

type Damage = { readonly name: string; readonly why: string; do(path: string, liveFile: string): void };

function changed(path: string, sql: string): void {
	const sqlite = new Database(path);
	sqlite.exec(sql);
	sqlite.close();
}

const damages: readonly Damage[] = [
	{ name: 'cut off', why: 'malformed', do: (path) => truncateSync(path, statSync(path).size / 2) },
	{ name: 'empty', why: 'it is not a database', do: (path) => truncateSync(path, 0) },
	{ name: 'a letter', why: 'it is not a database', do: (path) => writeFileSync(path, 'Dear Sir or Madam') },
	{
		name: 'of another program',
		why: 'it belongs to another program',
		do: (path) => changed(path, 'PRAGMA application_id = 7'),
	},
	{
		name: 'that says it is older than it is',
		why: 'its tables or the rules that guard them were changed',
		do: (path) => changed(path, 'PRAGMA user_version = 1'),
	},
	{
		name: 'of a newer version',
		why: 'it was made by a newer version',
		do: (path) => changed(path, 'PRAGMA user_version = 99'),
	},
	{
		name: 'without a guard',
		why: 'its tables or the rules that guard them were changed',
		do: (path) => changed(path, 'DROP TRIGGER audit_no_update'),
	},
	{
		name: 'with rows that refer to nothing',
		why: 'rows refer to rows that are gone',
		do: (path) => changed(path, 'PRAGMA foreign_keys = OFF; DELETE FROM sprayer'),
	},
	...(['movement', 'spray_record', 'audit'] as const).map((table) => ({
		name: `with a ${table} altered and its guards put back`,
		why: 'is broken: entry 1 was altered',
		do: (path: string) => {
			const sqlite = new Database(path);
			const guard = sqlite.prepare('SELECT sql FROM sqlite_schema WHERE name = ?');
			const sql = String(guard.pluck().get(`${table}_no_update`));
			sqlite.exec(`DROP TRIGGER ${table}_no_update; UPDATE ${table} SET who = 'forged' WHERE seq = 1; ${sql}`);
			sqlite.close();
		},
	})),
];

test.each(damages)('a backup $name is not sound, and is not restored', async ({ why, do: damage }) => {
	const { path, api, book, folder } = await backedUp();
	damage(path, book.file);
	const before = [allRows(book.reader), readdirSync(folder)];
	const files = readdirSync(join(path, '..'));
	const bad = { code: 'backup.invalid', details: { file: path, why: expect.stringContaining(why) } };
	expect(await refusal(api.upkeep.verifyBackup({ path }))).toEqual(bad);
	expect(await refusal(api.upkeep.restore({ path }))).toEqual(bad);
	expect([allRows(book.reader), readdirSync(folder)]).toEqual(before);
	expect(readdirSync(join(path, '..'))).toEqual(files);
});

test('a file that is not there, a folder and the books themselves are no backups', async () => {
	const { path, api, book } = await backedUp();
	expect((await refusal(api.upkeep.verifyBackup({ path: `${path}x` }))).code).toBe('file.missing');
	const folder = join(path, '..', 'folder');
	mkdirSync(folder);
	expect((await refusal(api.upkeep.verifyBackup({ path: folder }))).code).toBe('backup.invalid');
	for (const call of [api.upkeep.verifyBackup({ path: book.file }), api.upkeep.restore({ path: book.file })]) {
		expect(await refusal(call)).toMatchObject({
			code: 'backup.invalid',
			details: { why: 'it holds the books themselves, not a copy of them' },
		});
	}
});

test('a backup is held against its manifest', async () => {
	const { path, api, log } = await backedUp();
	const manifest = `${path}.manifest.json`;
	const text = readFileSync(manifest, 'utf8');
	await log(3);
	const other = join(path, '..', 'other.backup');
	await api.upkeep.backup({ path: other });
	// A sound backup, but another one under this name.
	copyFileSync(other, path);
	const why = async () => (await refusal(api.upkeep.verifyBackup({ path }))).details;
	expect(await why()).toEqual({ file: path, why: 'it is not the file its manifest describes' });
	expect((await refusal(api.upkeep.restore({ path }))).code).toBe('backup.invalid');
	writeFileSync(manifest, text.slice(0, 40));
	expect(await why()).toEqual({ file: path, why: 'its manifest cannot be read' });
	copyFileSync(`${other}.manifest.json`, manifest);
	expect(await api.upkeep.verifyBackup({ path })).toMatchObject({ ok: true, records: 3 });
});

test('no flipped bits go unseen beside the manifest; without it none that changes ledger, records or audit', async () => {
	const { path, api, saved } = await backedUp();
	const whole = readFileSync(path);
	const random = seededRandom(7);
	const flipped = join(path, '..', 'flipped.backup');
	const bare = join(path, '..', 'bare.backup');
	let seenBare = 0;
	for (let round = 0; round < 60; round++) {
		const bytes = Buffer.from(whole);
		// The first ones hit an audit line for certain, the rest whatever lies there.
		const line = whole.indexOf('store.receive', round * 7);
		const at = round < 4 ? line : Math.floor(random() * bytes.length);
		for (let byte = at; byte < Math.min(at + 64, bytes.length); byte++) bytes[byte] = (bytes[byte] ?? 0) ^ 0x10;
		writeFileSync(flipped, bytes);
		copyFileSync(`${path}.manifest.json`, `${flipped}.manifest.json`);
		expect((await refusal(api.upkeep.verifyBackup({ path: flipped }))).code, `byte ${at}`).toBe('backup.invalid');
		writeFileSync(bare, bytes);
		const sound = await api.upkeep.verifyBackup({ path: bare }).then(
			() => true,
			() => false,
		);
		if (!sound) seenBare += 1;
		if (!sound) continue;
		const { movement, spray_record, audit } = contentOf(bare);
		expect({ movement, spray_record, audit }).toEqual({
			movement: saved['movement'],
			spray_record: saved['spray_record'],
			audit: saved['audit'],
		});
	}
	expect(seenBare).toBeGreaterThanOrEqual(4);
});

test('a restore brings everything back, adds one audit line, and sets the present books aside whole', async () => {
	const { path, api, book, folder, log, saved, report } = await backedUp();
	await log(3);
	const present = allRows(book.reader);
	const { setAside } = await api.upkeep.restore({ path });
	const restored = allRows(book.reader);
	const [line, ...more] = (restored['audit'] ?? []).slice(saved['audit']?.length);
	expect(more).toEqual([]);
	expect(line).toMatchObject({ procedure: 'upkeep.restore', changes: expect.stringContaining(report.head) });
	expect({ ...restored, audit: restored['audit']?.slice(0, -1), chain: null }).toEqual({ ...saved, chain: null });
	const heads = (rows: Record<string, Row[]>) => rows['chain']?.filter(({ name }) => name !== 'audit');
	expect(heads(restored)).toEqual(heads(saved));
	expect(await api.records.verify({ head: report.head })).toMatchObject({ ok: true, head: report.head });
	expect(contentOf(join(setAside, DATABASE_NAME))).toEqual(present);
	expect(readdirSync(folder).sort()).toEqual([
		setAside.slice(folder.length + 1),
		DATABASE_NAME,
		`${DATABASE_NAME}-shm`,
		`${DATABASE_NAME}-wal`,
	]);
	// The books go on.
	await log(4);
	expect((await api.records.list({})).map(({ date }) => date)).toEqual(['2026-05-04', '2026-05-02', '2026-05-01']);
	// And what was set aside are books that can be opened.
	const again = openBook({ folder: setAside });
	if (!again.ok) throw new Error(again.problem.code);
	onTestFinished(() => again.value.close());
	expect(allRows(again.value.reader)).toEqual(present);
});

test('a backup of every earlier version is checked as what it was, and restored up to date', async () => {
	const versions = readMigrations().map(({ number }) => number);
	for (const version of versions.slice(0, -1)) {
		const path = join(scratchFolder(), `version ${version}.backup`);
		const old = new Database(path);
		migrate(old, readMigrations().slice(0, version));
		fillEveryTable(old);
		const guards = old.prepare("SELECT sql FROM sqlite_schema WHERE type = 'trigger'").pluck().all() as string[];
		for (const trigger of triggers(old)) old.exec(`DROP TRIGGER ${trigger}`);
		takeDocumentIn(old);
		if (columnsOf(old, 'farm').some(({ name }) => name === 'background')) old.exec('UPDATE farm SET background = NULL');
		for (const chain of chains) relink(old, chain);
		for (const guard of guards) old.exec(guard);
		const rows = allRows(old);
		old.close();
		const { api, book } = testBooks();
		expect(await api.upkeep.verifyBackup({ path })).toMatchObject({ ok: true, records: 1, movements: 1 });
		await api.upkeep.restore({ path, key: 'back' });
		expect(schemaText(book.reader)).toBe(readSnapshot());
		const restored = allRows(book.reader);
		expect(restored['movement']).toMatchObject(rows['movement'] ?? []);
		expect(restored['product']).toMatchObject(rows['product'] ?? []);
		expect(restored['audit']).toEqual([...(rows['audit'] ?? []), expect.objectContaining({ command_key: 'back' })]);
		expect((await api.records.verify({})).ok).toBe(true);
		changed(path, 'DROP TRIGGER movement_no_delete');
		expect((await refusal(api.upkeep.verifyBackup({ path }))).code).toBe('backup.invalid');
	}
	expect(versions.length).toBeGreaterThan(1);
	// A version more with each migration.
}, 120_000);

/** The one audit line becomes that by which the one document was taken in. */
function takeDocumentIn(old: Database.Database): void {
	if (!old.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'document'").get()) return;
	const { id, content } = old.prepare('SELECT id, content FROM document').get() as { id: string; content: Buffer };
	const sha256 = createHash('sha256').update(content).digest('hex');
	old.prepare("UPDATE audit SET procedure = 'documents.add', output = ?").run(JSON.stringify({ id, sha256 }));
}

test('restored twice with the same key it happens once; the key with another file is refused', async () => {
	const { path, api, folder, log } = await backedUp();
	await log(3);
	const first = await api.upkeep.restore({ path, key: 'back' });
	await log(4);
	expect(await api.upkeep.restore({ path, key: 'back' })).toEqual(first);
	expect((await api.records.list({})).length).toBe(3);
	expect((await refusal(api.upkeep.restore({ path: `${path}x`, key: 'back' }))).code).toBe('key.reused');
	expect(readdirSync(folder).filter((name) => name.startsWith('before-restore')).length).toBe(1);
});

test('a write-ahead log that another program keeps alive goes aside with its database', async () => {
	const { path, api, book, log, saved } = await backedUp();
	await log(3);
	const present = allRows(book.reader);
	const other = new Database(book.file);
	onTestFinished(() => void other.close());
	expect(other.prepare('SELECT count(*) FROM movement').pluck().get()).toBe(present['movement']?.length);
	const { setAside } = await api.upkeep.restore({ path });
	expect(readdirSync(setAside)).toContain(DATABASE_NAME);
	expect(contentOf(join(setAside, DATABASE_NAME))).toEqual(present);
	other.close();
	book.close();
	const again = openBook({ folder: book.folder });
	if (!again.ok) throw new Error(again.problem.code);
	onTestFinished(() => again.value.close());
	expect(allRows(again.value.reader)['movement']).toEqual(saved['movement']);
});

test('while something reads the old books they are not replaced', async () => {
	const { path, api, book, folder, log } = await backedUp();
	const other = new Database(book.file, { readonly: true });
	onTestFinished(() => void other.close());
	other.exec('BEGIN');
	other.prepare('SELECT count(*) FROM movement').get();
	await log(3);
	const present = allRows(book.reader);
	expect(await refusal(api.upkeep.restore({ path }))).toMatchObject({ code: 'data.inUse' });
	expect(allRows(book.reader)).toEqual(present);
	expect(readdirSync(folder).sort()).toEqual([DATABASE_NAME, `${DATABASE_NAME}-shm`, `${DATABASE_NAME}-wal`]);
	await log(4);
	other.exec('COMMIT');
	expect((await api.upkeep.restore({ path })).ok).toBe(true);
}, 60_000);

test('a backup made while entries come in is the books of one moment', async () => {
	const { api, book, suspensionId } = await backedUp();
	const aside = createRouterClient(createRouter(), { context: { book, aside: true } }) as Api;
	const folder = scratchFolder();
	const receive = (index: number) =>
		api.store.receive({ key: `while ${index}`, productId: suspensionId, packSize: 5, packs: 1 });
	const entering = (async () => {
		for (let index = 0; index < 400; index++) {
			await receive(index);
			await new Promise((done) => setImmediate(done));
		}
	})();
	const reports = [];
	for (let copy = 0; copy < 4; copy++)
		reports.push(await aside.upkeep.backup({ path: join(folder, `${copy}.backup`) }));
	await entering;
	const ledger = allRows(book.reader)['movement'] ?? [];
	for (const [copy, { movements }] of reports.entries()) {
		const rows = contentOf(join(folder, `${copy}.backup`));
		expect(rows['movement']).toEqual(ledger.slice(0, movements));
		expect(rows['audit']?.filter(({ procedure }) => procedure === 'store.receive').length).toBe(
			rows['movement']?.filter(({ kind }) => kind === 'delivery').length,
		);
	}
}, 60_000);

test('a backup left unfinished by an earlier attempt is no obstacle', async () => {
	const { path, api } = await backedUp();
	const second = join(path, '..', 'second.backup');
	appendFileSync(`${second}.unfinished`, 'half');
	expect((await api.upkeep.backup({ path: second })).ok).toBe(true);
	expect(readdirSync(join(path, '..')).filter((name) => name.includes('unfinished'))).toEqual([]);
});

test('two backups to one name at once: one is written, and it is whole', async () => {
	const { path, api } = await backedUp();
	const both = join(path, '..', 'both.backup');
	const outcomes = await Promise.allSettled([api.upkeep.backup({ path: both }), api.upkeep.backup({ path: both })]);
	expect(outcomes.map(({ status }) => status).sort()).toContain('fulfilled');
	expect((await api.upkeep.verifyBackup({ path: both })).ok).toBe(true);
	expect(readdirSync(join(path, '..')).filter((name) => name.includes('unfinished'))).toEqual([]);
});
