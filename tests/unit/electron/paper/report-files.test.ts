import fc from 'fast-check';
import { expect, test } from 'vitest';
import { csvReport } from '../../../../electron/files/csv-report.ts';
import { cellText } from '../../../../electron/files/csv-text.ts';
import { xlsxReport } from '../../../../electron/files/xlsx-report.ts';
import { readCsv } from './read-csv.ts';
import { readXlsx } from './read-xlsx.ts';
import { reportOf } from './sample-report.ts';

const triggers = ['=', '+', '-', '@', '\t', '\r', '\n', '\0', '＝', '＋', '－', '＠', ' =', '\t=', "'=", '" =', ';='];
const texts = triggers.map((trigger) => `${trigger}1+1`);

/** What an importer of ours undoes: one apostrophe before what looks like a formula. */
function restored(cell: string): string {
	return cell.startsWith("'") && cellText(cell.slice(1)) === cell ? cell.slice(1) : cell;
}

const startsFormula = /^\s*[=+\-@＝＋－＠]/u;

test('CSV: no cell begins like a formula, and every text comes back', () => {
	const records = readCsv(csvReport(reportOf(texts.map((name) => ({ name, figure: -1.5, on: '2027-04-15' })))));
	expect(records[0]).toEqual(['name', 'treated (ha)', 'on']);
	const cells = records.slice(1).map(([name = '']) => name);
	expect(cells.filter((cell) => startsFormula.test(cell) || /^[\t\r\n\0]/.test(cell))).toEqual([]);
	expect(cells.map(restored)).toEqual(texts.map((text) => text.replaceAll('\0', '\uFFFD')));
	expect(new Set(records.slice(1).map(([, figure]) => figure))).toEqual(new Set(['-1.5']));
});

test('CSV: any text survives a strict reader', () => {
	fc.assert(
		fc.property(fc.array(fc.string({ unit: 'grapheme' }), { minLength: 1, maxLength: 5 }), (names) => {
			const records = readCsv(csvReport(reportOf(names.map((name) => ({ name, figure: null, on: null })))));
			expect(records.slice(1).map(([name = '']) => restored(name))).toEqual(
				// biome-ignore lint/suspicious/noControlCharactersInRegex: they are replaced on purpose
				names.map((name) => name.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g, '\uFFFD')),
			);
		}),
		{ seed: 20270415, numRuns: 300 },
	);
});

test('CSV: figures are plain numbers, without the last digits of a double', () => {
	const figures = [0.1 + 0.2, -12.345678, 1e-9, 1_234_567.25, 0];
	const records = readCsv(csvReport(reportOf(figures.map((figure) => ({ name: 'x', figure, on: null })))));
	expect(records.slice(1).map(([, figure]) => figure)).toEqual(['0.3', '-12.345678', '0', '1234567.25', '0']);
});

test('XLSX: texts are texts, numbers numbers, dates dates; nothing is a formula', async () => {
	const report = reportOf(texts.map((name, index) => ({ name, figure: index - 5.5, on: '2027-04-15' })));
	const [table, about] = readXlsx(await xlsxReport(report));
	expect(table?.name).toBe('Spray diary');
	const rows = table?.rows.slice(1, -1) ?? [];
	expect(rows.map(([name]) => name?.type)).toEqual(texts.map(() => 'text'));
	expect(rows.filter(([name]) => startsFormula.test(String(name?.value)))).toEqual([]);
	expect(rows.map(([, figure]) => figure?.value)).toEqual(texts.map((_, index) => index - 5.5));
	// Days since 1899-12-30, ECMA-376 18.17.4.1.
	expect(rows[0]?.[2]).toEqual({
		type: 'number',
		value: (Date.UTC(2027, 3, 15) - Date.UTC(1899, 11, 30)) / 86_400_000,
	});
	expect(table?.rows.at(-1)?.slice(0, 2)).toEqual([
		{ type: 'text', value: 'total' },
		{ type: 'number', value: 7 },
	]);
	expect(about?.rows.flat().map(({ value }) => value)).toEqual(
		expect.arrayContaining(["'=Brookside", "'=note", `412 · ${'1a2b3c4d5e6f7081'.repeat(4)}`]),
	);
});

test('XLSX: a time is what the clock on the wall said', async () => {
	const report = reportOf([{ name: 'x', figure: 1, on: '2027-07-15T08:35:00+02:00' }]);
	const columns = report.columns.map((column) => (column.key === 'on' ? { ...column, kind: 'time' as const } : column));
	const [table] = readXlsx(await xlsxReport({ ...report, columns }));
	// Days since 1899-12-30, ECMA-376 18.17.4.1.
	const value = (Date.UTC(2027, 6, 15, 8, 35) - Date.UTC(1899, 11, 30)) / 86_400_000;
	expect(table?.rows[1]?.[2]?.value).toBeCloseTo(value, 9);
});

test('CSV: heads that would read alike name the column they stand under', () => {
	const report = reportOf([]);
	const under = (key: string, on: string) => ({ key, name: 'for', kind: 'text', under: on }) as const;
	const columns = [...report.columns, under('a', 'name'), under('b', 'figure')];
	expect(readCsv(csvReport({ ...report, columns }))[0]).toEqual([
		'name',
		'treated (ha)',
		'on',
		'name, for',
		'treated, for',
	]);
});

test('XLSX: control characters do not spoil the file', async () => {
	const name = String.fromCharCode(...Array.from({ length: 32 }, (_, code) => code));
	const [table] = readXlsx(await xlsxReport(reportOf([{ name, figure: 1, on: null }])));
	expect(table?.rows[1]?.[0]?.type).toBe('text');
});
