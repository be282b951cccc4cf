/** The table inside a file from outside, read in the process of its own: CSV, or the first sheet of an XLSX workbook. */
import { readFileSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import Papa from 'papaparse';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { inMegabytes } from './limits.ts';
import { readXml } from './xml.ts';
import { openArchive, readEntry, type ZipArchive } from './zip-archive.ts';

/** Far above what a list of products needs. Common practice. */
const MOST_BYTES = 4 * 1024 * 1024;
const MOST_SHEET_BYTES = 32 * 1024 * 1024;
const MOST_ROWS = 20_000;
const MOST_COLUMNS = 200;
/** What a cell of a workbook may hold (ECMA-376 leaves it open; spreadsheets stop there). */
const MOST_CELL = 32_767;
/** One long text, named by a million cells, is copied a million times on its way out. */
const MOST_TEXT = 16 * 1024 * 1024;

/** The rows of the file, heads first; blank rows keep their place, so that a row number is that of the spreadsheet. */
export function readTable(path: string): Result<string[][]> {
	const file = basename(path);
	let bytes: Buffer;
	try {
		const { size } = statSync(path);
		if (size > MOST_BYTES) {
			return refuse('file.tooBig', {
				file,
				why: `it has ${inMegabytes(size)}, at most ${inMegabytes(MOST_BYTES)} are read`,
			});
		}
		bytes = readFileSync(path);
	} catch {
		return refuse('file.missing', { file });
	}
	const rows = bytes.subarray(0, 2).toString('latin1') === 'PK' ? sheetRows(file, bytes) : csvRows(file, bytes);
	if (!rows.ok) return rows;
	if (rows.value.length > MOST_ROWS) {
		return refuse('file.tooBig', { file, why: `it has ${rows.value.length} rows, at most ${MOST_ROWS} are read` });
	}
	const long = rows.value.flat().find((cell) => cell.length > MOST_CELL);
	const text = rows.value.flat().reduce((sum, cell) => sum + cell.length, 0);
	if (long !== undefined || text > MOST_TEXT) {
		const why =
			long === undefined ? `its cells hold ${inMegabytes(text)} of text` : `a cell holds ${long.length} letters`;
		return refuse('file.tooBig', { file, why });
	}
	return rows;
}

function csvRows(file: string, bytes: Buffer): Result<string[][]> {
	const text = decoded(bytes);
	if (text === null) return refuse('file.notTable', { file, why: 'it is neither text nor an XLSX workbook' });
	const { data, errors } = Papa.parse<string[]>(text, { delimitersToGuess: [',', ';', '\t'] });
	const quotes = errors.find(({ type }) => type === 'Quotes');
	if (quotes)
		return refuse('file.damaged', { file, why: `a quotation mark is not closed in row ${(quotes.row ?? 0) + 1}` });
	return ok(data.map((row) => row.slice(0, MOST_COLUMNS)));
}

/** UTF-8, UTF-16 with its mark, else the code page of Western spreadsheets. */
function decoded(bytes: Buffer): string | null {
	const marked =
		bytes[0] === 0xff && bytes[1] === 0xfe ? 'utf-16le' : bytes[0] === 0xfe && bytes[1] === 0xff ? 'utf-16be' : null;
	if (marked) return new TextDecoder(marked).decode(bytes);
	if (bytes.includes(0)) return null;
	try {
		return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
	} catch {
		return new TextDecoder('windows-1252').decode(bytes);
	}
}

/** Source of the layout: ECMA-376, 18.3 (sheets) and 18.4 (shared strings). */
function sheetRows(file: string, bytes: Buffer): Result<string[][]> {
	const archive = openArchive(file, bytes);
	if (!archive.ok) return archive;
	const sheet = partNamed(archive.value, 'xl/worksheets/sheet1.xml');
	if (!sheet.ok) return sheet;
	if (sheet.value === null) return refuse('file.notTable', { file, why: 'it holds no worksheet' });
	const strings = partNamed(archive.value, 'xl/sharedStrings.xml');
	if (!strings.ok) return strings;
	const shared = sharedStrings(strings.value ?? '');
	if (typeof shared === 'string') return refuse('file.damaged', { file, why: shared });
	const rows: string[][] = [];
	let cell = { row: -1, column: -1, type: '' };
	let text = '';
	const fault = readXml(sheet.value, new Set(['v', 't']), {
		open(tag, attributes) {
			if (tag !== 'c') return null;
			const [, letters = '', number = '0'] = /^([A-Z]{1,3})(\d{1,7})$/.exec(attributes['r'] ?? '') ?? [];
			const column = [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1;
			cell = { row: Number(number) - 1, column, type: attributes['t'] ?? 'n' };
			text = '';
			return cell.row < MOST_ROWS ? null : `it has more than ${MOST_ROWS} rows`;
		},
		close(tag, inner) {
			if (tag === 'v' || tag === 't') text += inner;
			if (tag !== 'c' || cell.row < 0 || cell.column < 0 || cell.column >= MOST_COLUMNS) return null;
			while (rows.length <= cell.row) rows.push([]);
			const row = rows[cell.row] ?? [];
			while (row.length < cell.column) row.push('');
			row[cell.column] = cell.type === 's' ? (shared[Number(text)] ?? '') : text;
			return null;
		},
	});
	return fault ? refuse('file.damaged', { file, why: fault }) : ok(rows);
}

/** The texts, or why they cannot be read. */
function sharedStrings(xml: string): string[] | string {
	const strings: string[] = [];
	if (xml === '') return strings;
	const fault = readXml(xml, new Set(['t']), {
		open(tag) {
			if (tag === 'si') strings.push('');
			return null;
		},
		close(tag, inner, path) {
			if (tag === 't' && !path.includes('rPh')) strings[strings.length - 1] += inner;
			return null;
		},
	});
	return fault ?? strings;
}

function partNamed(archive: ZipArchive, name: string): Result<string | null> {
	const entry = archive.entries.find((each) => each.name === name);
	if (!entry) return ok(null);
	if (entry.bytes > MOST_SHEET_BYTES) {
		const why = `${name} would unpack to ${inMegabytes(entry.bytes)}, at most ${inMegabytes(MOST_SHEET_BYTES)} are read`;
		return refuse('file.tooBig', { file: archive.file, why });
	}
	const content = readEntry(archive, entry, 0);
	return content.ok ? ok(content.value.toString('utf8')) : content;
}
