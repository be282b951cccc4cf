import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { Readable } from 'node:stream';
import { expect, test } from 'vitest';
import { exportedFile } from '../../../../electron/host/exported-file.ts';
import {
	forgetIncomingFiles,
	keepIncomingFile,
	LARGEST_INCOMING_BYTES,
	plainFileName,
} from '../../../../electron/host/incoming-file.ts';
import { openLog } from '../../../../electron/host/log.ts';
import { scratchFolder } from '../scratch.ts';

async function* megabytes(count: number): AsyncGenerator<Uint8Array> {
	const megabyte = Buffer.alloc(1024 * 1024);
	for (let sent = 0; sent < count; sent++) yield megabyte;
}

test('a file of exactly the limit is kept, one byte more is refused and gone', async () => {
	const folder = scratchFolder();
	const limit = LARGEST_INCOMING_BYTES / 1024 / 1024;
	const kept = await keepIncomingFile(folder, 'fields.zip', megabytes(limit));
	async function* more() {
		yield* megabytes(limit);
		yield Buffer.from('x');
	}
	const refused = await keepIncomingFile(folder, 'fields.zip', more());
	expect([kept.ok, refused]).toEqual([
		true,
		{ ok: false, problem: { code: 'door.tooLarge', details: { limit: '64 MB' } } },
	]);
	expect(readdirSync(join(folder, 'incoming')).length).toBe(1);
});

test('of many files the newest twenty are kept, and none after the next start', async () => {
	const folder = scratchFolder();
	for (let count = 0; count < 25; count++)
		await keepIncomingFile(folder, `${count}.zip`, Readable.from([Buffer.from('x')]));
	const left = readdirSync(join(folder, 'incoming')).length;
	forgetIncomingFiles(folder);
	expect([left, existsSync(join(folder, 'incoming'))]).toEqual([20, false]);
});

const tricks = [
	'../../evil.zip',
	'..\\..\\evil.zip',
	'/etc/passwd',
	'C:\\Windows\\win.ini',
	'C:evil.zip',
	'\\\\server\\share\\evil.zip',
	'evil.zip\u0000.txt',
	'\u0000',
	'.',
	'..',
	'...',
	' ',
	'',
	'.hidden',
	'trailing.',
	'trailing ',
	'CON',
	'con.zip',
	'NUL.geojson',
	'lpt1.shp',
	'a:b.zip',
	'a|b<c>d?e*f"g.zip',
	'line\nbreak.zip',
	'tab\tname.zip',
	'right\u202eto-left.zip',
	`${'x'.repeat(500)}.zip`,
	'%2e%2e%2fevil.zip',
	'a/../b.zip',
];

test.each(tricks)('%j becomes the name of one plain file', (name) => {
	const plain = plainFileName(name);
	// biome-ignore lint/suspicious/noControlCharactersInRegex: none may be left
	expect(plain).toMatch(/^(?![\s.])[^\u0000-\u001f/\\:<>"|?*\u202e]{1,121}(?<![\s.])$/);
	expect([basename(plain), /^(con|nul|lpt1)(\.|$)/i.test(plain), plainFileName(plain)]).toEqual([plain, false, plain]);
});

test('names people use stay as they are', () => {
	const names = [
		'fields.zip',
		'Schläge Süd 2027.geojson',
		"O'Brien (north).shp",
		'поле.kml',
		'spray diary 2026-11-25.pdf',
	];
	expect(names.map(plainFileName)).toEqual(names);
});

test('an exported file is handed out under its own name, a folder or a foreign name is not', () => {
	const folder = scratchFolder();
	mkdirSync(join(folder, 'exports', 'inner.pdf'), { recursive: true });
	writeFileSync(join(folder, 'exports', "diary 'a'.csv"), 'x');
	const file = exportedFile(folder, "diary 'a'.csv");
	file?.stream.destroy();
	expect(file?.headers).toEqual({
		'content-type': 'text/csv; charset=utf-8',
		'content-length': 1,
		'content-disposition': "attachment; filename*=UTF-8''diary%20%27a%27.csv",
	});
	expect(['inner.pdf', '../fillmark.sqlite', '', 'none.pdf'].map((name) => exportedFile(folder, name))).toEqual([
		null,
		null,
		null,
		null,
	]);
});

test('the log keeps two files and never stops the work', () => {
	const folder = scratchFolder();
	const log = openLog(folder, () => Date.UTC(2027, 3, 15));
	for (let line = 0; line < 5; line++) log('x'.repeat(900_000));
	log('the end');
	expect(readdirSync(folder).sort()).toEqual(['fillmark.log', 'fillmark.log.old']);
	expect(readFileSync(join(folder, 'fillmark.log'), 'utf8')).toContain('2027-04-15T00:00:00.000Z the end\n');
	expect(() => openLog(join(folder, 'gone'))('x')).not.toThrow();
});
