import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readTableFile } from '../../../../electron/files/table-file.ts';
import { startForked } from '../../../../electron/reader/forked-process.ts';
import { residentBytes } from '../../../../electron/reader/process-memory.ts';
import { readerLimits } from '../../../../electron/reader/start-reader.ts';
import { makeZip } from '../../../fixtures/make-boundaries.ts';
import { scratchFolder } from '../scratch.ts';

const MIB = 1024 * 1024;
const SHEET = 'xl/worksheets/sheet1.xml';
const STRINGS = 'xl/sharedStrings.xml';

function file(name: string, content: Buffer | string): string {
	const path = join(scratchFolder(), name);
	writeFileSync(path, content);
	return path;
}

const sheet = (cells: string) => `<?xml version="1.0"?><worksheet><sheetData>${cells}</sheetData></worksheet>`;
const book = (parts: Record<string, string | Buffer>, claimedBytes?: number) =>
	file(
		'list.xlsx',
		makeZip(
			Object.entries(parts).map(([name, content]) => ({
				name,
				content: Buffer.from(content),
				...(claimedBytes === undefined ? {} : { claimedBytes }),
			})),
		),
	);

/** Code and reason, or the rows; and how much memory the reader took at most. */
async function ending(path: string) {
	let most = 0;
	const limits = {
		...readerLimits,
		onMemory: (bytes: number) => {
			most = Math.max(most, bytes);
		},
	};
	const read = await readTableFile(path, { limits });
	expect(most, 'memory of the reader').toBeLessThan(512 * MIB);
	return read.ok ? read.value.rows : [read.problem.code, String(read.problem.details['why'] ?? '')];
}

test('a workbook is read with its shared texts, its own texts and its gaps', async () => {
	const path = book({
		[SHEET]: sheet(
			'<row r="1"><c r="A1" t="s"><v>1</v></c><c r="C1" t="inlineStr"><is><t>own</t></is></c></row><row r="3"><c r="B3"><v>4.5</v></c></row>',
		),
		[STRINGS]: '<sst><si><t>none</t></si><si><r><t>shared </t></r><r><t>text</t></r></si></sst>',
	});
	expect(await ending(path)).toEqual([['shared text', '', 'own'], [], ['', '4.5']]);
});

const cell = (at: string, value: string) => `<c r="${at}" t="s"><v>${value}</v></c>`;

test.each([
	[
		'a bomb that says how large it is',
		() => book({ [SHEET]: Buffer.alloc(40 * MIB, 0x20) }),
		'file.tooBig',
		'would unpack to 40.0 MB',
	],
	[
		'a bomb that lies about it',
		() => book({ [SHEET]: Buffer.alloc(40 * MIB, 0x20) }, 1000),
		'file.damaged',
		'is not as long as',
	],
	[
		'entities that swell',
		() =>
			book({
				[SHEET]: `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><worksheet><sheetData><row r="1"><c r="A1"><v>&b;</v></c></row></sheetData></worksheet>`,
			}),
		'file.damaged',
		'brings its own document type',
	],
	[
		'an entity that reaches for a file',
		() =>
			book({
				[SHEET]: sheet('<row r="1"><c r="A1" t="s"><v>0</v></c></row>'),
				[STRINGS]: '<!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/hostname">]><sst><si><t>&f;</t></si></sst>',
			}),
		'file.damaged',
		'brings its own document type',
	],
	[
		'a workbook cut off',
		() => file('cut.xlsx', readFileSync(book({ [SHEET]: sheet('') })).subarray(0, 60)),
		'file.damaged',
		'directory',
	],
	['a sheet cut off', () => book({ [SHEET]: sheet('').slice(0, -20) }), 'file.damaged', 'not sound XML'],
	['texts cut off', () => book({ [SHEET]: sheet(''), [STRINGS]: '<sst><si><t>half' }), 'file.damaged', 'not sound XML'],
	['no sheet', () => book({ 'xl/workbook.xml': '<workbook/>' }), 'file.notTable', 'holds no worksheet'],
	[
		'a password',
		() => file('p.xlsx', makeZip([{ name: SHEET, content: Buffer.from('x'), encrypted: true }])),
		'file.encrypted',
		'',
	],
	[
		'a row far down',
		() => book({ [SHEET]: sheet('<row r="1048576"><c r="A1048576"><v>1</v></c></row>') }),
		'file.damaged',
		'more than 20000 rows',
	],
	['elements without bottom', () => book({ [SHEET]: '<a>'.repeat(5000) }), 'file.damaged', 'nested more than'],
	[
		'one long text named by every cell',
		() => {
			const rows = Array.from({ length: 2000 }, (_, row) => `<row>${cell(`A${row + 1}`, '0')}</row>`);
			return book({ [SHEET]: sheet(rows.join('')), [STRINGS]: `<sst><si><t>${'x'.repeat(30_000)}</t></si></sst>` });
		},
		'file.tooBig',
		'of text',
	],
	['a cell without end', () => file('long.csv', `name\n${'x'.repeat(40_000)}\n`), 'file.tooBig', '40000 letters'],
	[
		'a quotation that is never closed',
		() => file('open.csv', 'name,unit\n"A,L\nB,L\n'),
		'file.damaged',
		'not closed in row',
	],
	['too many lines', () => file('lines.csv', 'a\n'.repeat(30_000)), 'file.tooBig', '30001 rows'],
	['more than is read at all', () => file('big.csv', Buffer.alloc(5 * MIB, 0x61)), 'file.tooBig', 'it has 5.0 MB'],
] as const)('%s', async (_, make, code, why) => {
	const [found, reason] = (await ending(make())) as [string, string];
	expect([found, reason]).toEqual([code, expect.stringContaining(why)]);
});

test('cells outside the sheet and texts that are not there are left alone', async () => {
	const path = book({
		[SHEET]: sheet('<row><c r="XFD1" t="s"><v>0</v></c><c r="A1" t="s"><v>99</v></c><c r="!"><v>1</v></c></row>'),
		[STRINGS]: '<sst><si><t>x</t></si></sst>',
	});
	expect(await ending(path)).toEqual([['']]);
});

test('the reader is a process of its own, ended when it is done', async () => {
	let pid = 0;
	await readTableFile(file('list.csv', 'name\nA\n'), {
		startProcess: (entry) => {
			const started = startForked(entry);
			pid = started.pid ?? 0;
			return started;
		},
	});
	expect(pid).not.toBe(process.pid);
	await expect.poll(() => residentBytes(pid)).toBeNull();
});
