import { createHash } from 'node:crypto';
import { readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { MOST_DOCUMENT_BYTES } from '../../../../electron/files/document-file.ts';
import { scratchFolder } from '../scratch.ts';
import { refusal, smallFarm, testBooks } from './test-books.ts';

const by = 'J. Wren';
const PDF = Buffer.from('%PDF-1.7\n1 0 obj << /OpenAction << /S /JavaScript >> >>\nendobj\n%%EOF\n');
const PNG = Buffer.concat([
	Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
	Buffer.from('....IHDR....IDAT....IEND....'),
]);
const JPEG = Buffer.from([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3, 0xff, 0xd9]);

function file(name: string, content: Buffer | string): string {
	const path = join(scratchFolder(), name);
	writeFileSync(path, content);
	return path;
}

async function withLabel() {
	const books = testBooks();
	const { suspensionId: productId } = await smallFarm(books.api);
	const add = (key: string, path: string, more = {}) =>
		books.api.documents.add({ key, path, productId, kind: 'label', by, ...more });
	const path = file('Label 1.pdf', PDF);
	const kept = await add('a', path, { issuedOn: '2026-01-31' });
	return { ...books, productId, add, path, kept };
}

test('what was taken in comes out again to the byte, with its check sum', async () => {
	const { api, kept, productId, folder } = await withLabel();
	const sha256 = createHash('sha256').update(PDF).digest('hex');
	expect(kept.sha256).toBe(sha256);
	const [one] = await api.documents.list({ productId });
	expect(one).toMatchObject({
		...{ id: kept.id, kind: 'label', name: 'Label 1.pdf', type: 'pdf', issuedOn: '2026-01-31', bytes: PDF.length },
		...{ sha256, by, replaces: null, state: 'current', why: null },
	});
	const saved = await api.documents.save({ documentId: kept.id });
	expect(saved.path).toBe(join(folder, 'exports', 'Label 1.pdf'));
	expect(readFileSync(saved.path).equals(PDF)).toBe(true);
});

test('the content says what a document is: names prove nothing, other forms and cut files stay outside', async () => {
	const { api, add, productId } = await withLabel();
	await add('png', file('photo.exe', PNG));
	await add('jpeg', file('photo.jpg', JPEG), { kind: 'other' });
	const rows = await api.documents.list({ productId });
	expect(rows.map(({ name, type }) => [name, type]).sort()).toEqual([
		['Label 1.pdf', 'pdf'],
		['photo.exe', 'png'],
		['photo.jpg', 'jpeg'],
	]);
	const saved = await api.documents.save({ documentId: rows.find(({ type }) => type === 'png')?.id ?? '' });
	expect(basename(saved.path)).toBe('photo.png');
	const strangers = [
		['label.pdf', '<html><script>alert(1)</script></html>'],
		['label.pdf', `\n${PDF}`],
		['label.pdf', PDF.subarray(0, 20)],
		['label.png', PNG.subarray(0, 20)],
		['label.jpg', JPEG.subarray(0, 7)],
		['label.svg', '<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>'],
		['label.pdf', ''],
		['label.exe', 'MZ'],
	] as const;
	for (const [index, [name, content]] of strangers.entries()) {
		expect((await refusal(add(`s${index}`, file(name, content)))).code, name).toBe('document.unknown');
	}
	const big = file('big.pdf', PDF);
	truncateSync(big, MOST_DOCUMENT_BYTES + 1);
	expect((await refusal(add('big', big))).code).toBe('file.tooBig');
	expect((await refusal(add('gone', join(big, 'no')))).code).toBe('file.missing');
	expect((await refusal(add('folder', join(big, '..')))).code).toBe('file.missing');
	expect((await api.documents.list({ productId })).length).toBe(3);
});

test('a newer version replaces the older one, a wrong one is put aside, and both stay', async () => {
	const { api, add, kept, path, productId, book } = await withLabel();
	expect(await refusal(add('b', path))).toEqual({
		code: 'document.kept',
		details: { file: 'Label 1.pdf', name: 'Label 1.pdf' },
	});
	const second = file('Label 2.pdf', Buffer.concat([PDF, Buffer.from('%%EOF\n')]));
	const newer = await add('c', second, { replaces: kept.id });
	expect((await refusal(add('d', file('x.pdf', `%PDF-1\n%%EOF`), { replaces: kept.id }))).details).toEqual({
		name: 'Label 1.pdf',
		state: 'replaced',
	});
	await api.documents.putAside({ key: 'e', documentId: newer.id, why: 'of another product', by });
	expect((await refusal(api.documents.putAside({ key: 'f', documentId: newer.id, why: 'x', by }))).code).toBe(
		'document.notCurrent',
	);
	const rows = await api.documents.list({ productId });
	expect(rows.map(({ name, state, why }) => [name, state, why])).toEqual([
		['Label 2.pdf', 'put aside', 'of another product'],
		['Label 1.pdf', 'replaced', null],
	]);
	for (const { id } of rows) await api.documents.save({ documentId: id });
	for (const sql of ['DELETE FROM document', "UPDATE document SET name = 'x'", 'DELETE FROM document_put_aside']) {
		expect(() => book.writer.sqlite.exec(sql)).toThrow('documents only grow');
	}
});

test('labels belong to a product, the plan of the store to none, and a picture can be shown', async () => {
	const { api, productId } = await withLabel();
	const path = file('plan.png', PNG);
	const add = (key: string, more: object) =>
		api.documents.add({ key, path, by, kind: 'store plan', ...more } as Parameters<typeof api.documents.add>[0]);
	expect((await refusal(add('p', { productId }))).code).toBe('input.invalid');
	expect((await refusal(add('b', { kind: 'label' }))).code).toBe('input.invalid');
	expect((await refusal(add('c', { path: file('plan.pdf', PDF) }))).code).toBe('document.unknown');
	expect((await refusal(add('d', { kind: 'label', productId: 'nobody' }))).code).toBe('not.found');
	expect((await refusal(add('e', { replaces: 'nothing' }))).code).toBe('not.found');
	const { id: documentId } = await add('f', {});
	expect(await api.documents.picture({ documentId })).toEqual({
		dataUrl: `data:image/png;base64,${PNG.toString('base64')}`,
	});
	const [label] = await api.documents.list({ productId });
	expect((await refusal(api.documents.picture({ documentId: label?.id ?? '' }))).code).toBe('document.unknown');
	expect((await refusal(api.documents.save({ documentId: 'none' }))).code).toBe('not.found');
});

test('each store has a picture of its own as its plan, and its page for emergencies shows it', async () => {
	const { api } = testBooks();
	const { storeId } = await api.store.addStore({ key: 's', name: 'North barn' });
	const add = (key: string, more: object) =>
		api.documents.add({ key, path: file('plan.png', PNG), by, kind: 'store plan', ...more });
	const { id: first } = await add('a', {});
	const { id: second } = await add('b', { storeId });
	expect((await refusal(add('c', { storeId }))).code).toBe('document.kept');
	expect((await refusal(add('d', { storeId: 'nowhere' }))).code).toBe('not.found');
	const kept = async (of: object) => (await api.documents.list(of)).map(({ id }) => id);
	expect([await kept({}), await kept({ storeId })]).toEqual([[first], [second]]);
	await api.documents.putAside({ key: 'e', documentId: second, why: 'of another barn', by });
	expect((await api.documents.list({ storeId })).map(({ state }) => state)).toEqual(['put aside']);
	expect((await api.documents.list({})).map(({ state }) => state)).toEqual(['current']);
});

/** Changes a database behind the program's back and puts its guards in place again. */
function forge(path: string, sql: string): void {
	const sqlite = new Database(path);
	const guards = sqlite.prepare("SELECT name, sql FROM sqlite_schema WHERE name LIKE 'document_no_%'").all() as {
		name: string;
		sql: string;
	}[];
	for (const { name } of guards) sqlite.exec(`DROP TRIGGER ${name}`);
	sqlite.exec(sql);
	for (const guard of guards) sqlite.exec(guard.sql);
	sqlite.close();
}

test.each([
	['with other content', "UPDATE document SET content = CAST('%PDF-' AS BLOB)", 'is not what was taken in'],
	[
		'with other content and its check sum made to fit',
		`UPDATE document SET content = CAST('x' AS BLOB), bytes = 1, sha256 = '${createHash('sha256').update('x').digest('hex')}'`,
		'is not what was taken in',
	],
	['that is gone', 'DELETE FROM document', 'that were taken in are gone'],
])('a backup keeps the documents, and one %s is found out', async (_, sql, why) => {
	const { api, kept } = await withLabel();
	const path = join(scratchFolder(), 'books.backup');
	await api.upkeep.backup({ path });
	expect(await api.upkeep.verifyBackup({ path })).toMatchObject({ ok: true });
	const sqlite = new Database(path, { readonly: true });
	expect(sqlite.prepare('SELECT content FROM document').pluck().get()).toEqual(PDF);
	sqlite.close();
	forge(path, sql);
	const bare = file('bare.backup', readFileSync(path));
	expect(await refusal(api.upkeep.verifyBackup({ path: bare }))).toEqual({
		code: 'backup.invalid',
		details: { file: bare, why: expect.stringContaining(why) },
	});
	expect((await refusal(api.upkeep.restore({ path: bare }))).code).toBe('backup.invalid');
	expect((await api.documents.save({ documentId: kept.id })).path).toContain('Label 1.pdf');
});

test('a restored backup hands its documents out again; a damaged one in the books is never handed out', async () => {
	const { api, book, kept, add, productId } = await withLabel();
	const path = join(scratchFolder(), 'books.backup');
	await api.upkeep.backup({ path });
	await add('later', file('later.png', PNG));
	await api.upkeep.restore({ path });
	expect((await api.documents.list({ productId })).map(({ name }) => name)).toEqual(['Label 1.pdf']);
	expect(readFileSync((await api.documents.save({ documentId: kept.id })).path).equals(PDF)).toBe(true);
	book.writer.sqlite.exec(
		"DROP TRIGGER document_no_update; UPDATE document SET content = CAST('%PDF-other%%EOF' AS BLOB)",
	);
	expect(await refusal(api.documents.save({ documentId: kept.id }))).toEqual({
		code: 'document.damaged',
		details: { name: 'Label 1.pdf' },
	});
});
