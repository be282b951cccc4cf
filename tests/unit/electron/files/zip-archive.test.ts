import { crc32 } from 'node:zlib';
import { expect, test } from 'vitest';
import { importLimits } from '../../../../electron/files/limits.ts';
import { openArchive, readEntry } from '../../../../electron/files/zip-archive.ts';
import { type MadeEntry, makeZip } from '../../../fixtures/make-boundaries.ts';

const text = (name: string, content = 'field'): MadeEntry => ({ name, content: Buffer.from(content) });

/** The archive's end: its entries' contents by name, or the refusal. */
function unpack(bytes: Buffer) {
	const archive = openArchive('a.zip', bytes);
	if (!archive.ok) return archive.problem;
	const contents: Record<string, string> = {};
	let taken = 0;
	for (const entry of archive.value.entries) {
		const content = readEntry(archive.value, entry, taken);
		if (!content.ok) return content.problem;
		taken += content.value.length;
		contents[entry.name] = content.value.toString('utf8');
	}
	return { contents, ignored: archive.value.ignored };
}

const damaged = (why: string) => ({ code: 'file.damaged', details: { file: 'a.zip', why } });
const tooBig = (why: string) => ({ code: 'file.tooBig', details: { file: 'a.zip', why } });

test('stored and packed files come out as they went in', () => {
	const long = 'x'.repeat(100_000);
	expect(unpack(makeZip([{ ...text('a/one.shp'), stored: true }, text('b.dbf', long), text('empty.cpg', '')]))).toEqual(
		{
			contents: { 'a/one.shp': 'field', 'b.dbf': long, 'empty.cpg': '' },
			ignored: [],
		},
	);
});

test('a comment behind the end is allowed', () => {
	const zip = makeZip([text('one.shp')]);
	zip.writeUInt16LE(5, zip.length - 2);
	expect(unpack(Buffer.concat([zip, Buffer.from('hello')]))).toEqual({ contents: { 'one.shp': 'field' }, ignored: [] });
});

test('names that point outside are left alone', () => {
	const names = [
		'../up.shp',
		'/root.shp',
		'C:/drive.shp',
		'a/../../b.shp',
		'..\\back.shp',
		'\\\\server\\share.shp',
		'good.shp',
	];
	const found = unpack(makeZip(names.map((name) => text(name))));
	expect(found).toEqual({
		contents: { 'good.shp': 'field' },
		ignored: ['../up.shp', '/root.shp', 'C:/drive.shp', 'a/../../b.shp', '../back.shp', '//server/share.shp'],
	});
});

test.each([
	['of control characters', 'a\u0000b.shp'],
	['longer than 255 bytes', `${'n'.repeat(252)}.shp`],
])('a name %s is refused', (_, name) => {
	expect(unpack(makeZip([text(name)]))).toEqual(damaged('a file name in the archive is not text'));
});

test('a name of 255 bytes is read', () => {
	const name = `${'n'.repeat(251)}.shp`;
	expect(unpack(makeZip([text(name)]))).toEqual({ contents: { [name]: 'field' }, ignored: [] });
});

test('two files of one name are refused, whatever their case', () => {
	expect(unpack(makeZip([text('Field.shp'), text('field.SHP')]))).toEqual(
		damaged('it holds two files named field.SHP'),
	);
});

test('an encrypted archive says so', () => {
	expect(unpack(makeZip([{ ...text('one.shp'), encrypted: true }]))).toEqual({
		code: 'file.encrypted',
		details: { file: 'a.zip' },
	});
});

test.each([
	['less', 3],
	['more', 7],
])('a file that claims %s bytes than it has is refused', (_, claimedBytes) => {
	const said = unpack(makeZip([{ ...text('one.dbf'), claimedBytes }]));
	expect(said).toEqual(damaged('one.dbf is not as long as the directory says'));
});

test('a bomb is stopped at the size it claims', () => {
	const bomb = makeZip([{ name: 'one.dbf', content: Buffer.alloc(50_000_000), claimedBytes: 1000 }]);
	expect(unpack(bomb)).toEqual(damaged('one.dbf is not as long as the directory says'));
});

test('a wrong check sum is refused', () => {
	expect(unpack(makeZip([{ ...text('one.shp'), crc: crc32('other') }]))).toEqual(
		damaged('one.shp fails its check sum'),
	);
});

test('a file above the limit is refused by its claim, one at the limit is not', () => {
	const claiming = (claimedBytes: number) => unpack(makeZip([{ ...text('one.dbf'), claimedBytes }]));
	expect([claiming(importLimits.entryBytes), claiming(importLimits.entryBytes + 1)]).toEqual([
		damaged('one.dbf is not as long as the directory says'),
		tooBig('one.dbf would unpack to 128.0 MB, at most 128.0 MB are read'),
	]);
});

test('all files together may not pass the total', () => {
	const archive = openArchive('a.zip', makeZip([text('one.dbf')]));
	const [entry] = archive.ok ? archive.value.entries : [];
	if (!archive.ok || !entry) return expect(archive.ok).toBe(true);
	const read = [importLimits.totalBytes - 5, importLimits.totalBytes - 4].map((taken) =>
		readEntry(archive.value, entry, taken),
	);
	expect(read.map((result) => result.ok || result.problem.code)).toEqual([true, 'file.tooBig']);
});

test('geometry that unpacks to far more than itself is refused, a blank table is not', () => {
	const blank = Buffer.alloc(2_000_000);
	expect([
		unpack(makeZip([{ name: 'one.shp', content: blank }])),
		unpack(makeZip([{ name: 'one.dbf', content: blank }])),
	]).toEqual([
		tooBig('one.shp unpacks to more than 200 times its size'),
		{ contents: { 'one.dbf': blank.toString('utf8') }, ignored: [] },
	]);
});

test('500 files are read, 501 are not', () => {
	const many = (count: number) => unpack(makeZip(Array.from({ length: count }, (_, index) => text(`${index}.shp`))));
	expect([Object.keys(many(500)), many(501)]).toEqual([
		['contents', 'ignored'],
		tooBig('it holds 501 files, at most 500 are read'),
	]);
});

test('overlapping files are refused', () => {
	const zip = makeZip([text('one.shp'), text('two.shp')]);
	// The second directory record points at the first file and takes its name.
	const second = zip.lastIndexOf(Buffer.from('PK\x01\x02', 'latin1'));
	zip.writeUInt32LE(0, second + 42);
	expect(unpack(zip)).toEqual(damaged('two.shp has another name inside the archive'));
	const long = makeZip([text('one.shp'), text('two.shp')]);
	const first = long.indexOf(Buffer.from('PK\x01\x02', 'latin1'));
	long.writeUInt32LE(5000, first + 20);
	expect(unpack(long)).toEqual(damaged('one.shp overlaps another file of the archive'));
});

test.each([0.02, 0.3, 0.6, 0.9, 0.99])('cut off at %s of its length it is refused', (share) => {
	const zip = makeZip([text('one.shp', 'a'.repeat(500)), text('two.dbf')]);
	expect(unpack(zip.subarray(0, Math.floor(zip.length * share)))).toEqual(
		damaged('the directory at the end of the archive is missing'),
	);
});

test('sizes in the wide fields are read where the short ones are full', () => {
	const zip = makeZip([text('one.shp')]);
	const record = zip.lastIndexOf(Buffer.from('PK\x01\x02', 'latin1'));
	const wide = Buffer.alloc(12);
	wide.writeUInt16LE(1, 0);
	wide.writeUInt16LE(8, 2);
	wide.writeBigUInt64LE(5n, 4);
	const head = Buffer.from(zip.subarray(0, zip.length - 22));
	head.writeUInt32LE(0xffffffff, record + 24);
	head.writeUInt16LE(12, record + 30);
	expect(unpack(Buffer.concat([head, wide, zip.subarray(zip.length - 22)]))).toEqual({
		contents: { 'one.shp': 'field' },
		ignored: [],
	});
});
