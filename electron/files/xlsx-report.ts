import writeXlsxFile, { type CellObject, type SheetData } from 'write-excel-file/node';
import type { Report, ReportColumn } from '../../shared/contract/season.ts';
import { headsOf } from './csv-report.ts';
import { cellText } from './csv-text.ts';

/** Longest text a cell holds. Source: ECMA-376, 18.18.10 ST_Xstring as limited by the makers' specifications. */
const LONGEST_TEXT = 32_767;
const WIDEST_COLUMN = 50;
const DAY = /^\d{4}-\d{2}-\d{2}$/;
const LOCAL_MINUTE = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}/;

/** A report as a workbook: the table, and a sheet that says where it comes from. Numbers are numbers, dates are dates. */
export async function xlsxReport(report: Report): Promise<Uint8Array> {
	const { columns, rows, totals, title } = report;
	const bold = { fontWeight: 'bold' } as const;
	const data: SheetData = [
		headsOf(columns).map((head) => ({ ...textCell(head), ...bold, wrap: true })),
		...rows.map((row) => columns.map((column) => cellOf(column, row[column.key] ?? null))),
		...(totals ? [columns.map((column) => ({ ...cellOf(column, totals[column.key] ?? null), ...bold }))] : []),
	];
	const widths = columns.map((column) => ({ width: widthOf(column, rows) }));
	const about = aboutRows(report).map(([name, value]) => [{ ...textCell(name), ...bold }, textCell(value)]);
	const workbook = await writeXlsxFile([
		{ sheet: title.slice(0, 31), data, columns: widths, stickyRowsCount: 1, orientation: 'landscape' },
		{ sheet: 'About', data: about, columns: [{ width: 20 }, { width: 80 }] },
	]);
	return workbook.toBuffer();
}

function aboutRows({ title, farm, from, to, madeAt, heads, notes }: Report): (readonly [string, string])[] {
	return [
		['report', title],
		['farm', farm],
		['period', `${from} to ${to}`],
		['made at', madeAt],
		...heads.map(({ chain, seq, hash }) => [`${chain}, newest entry`, `${seq} · ${hash}`] as const),
		...notes.map((note) => ['note', note] as const),
		['', 'It informs; the label and local law come first.'],
	];
}

function cellOf({ kind, digits = 0 }: ReportColumn, value: string | number | null): CellObject | null {
	if (value === null) return null;
	if (typeof value === 'number') {
		return { type: Number, value, format: digits === 0 ? '#,##0' : `#,##0.${'0'.repeat(digits)}` };
	}
	if (kind === 'date' && DAY.test(value))
		return { type: Date, value: new Date(`${value}T00:00:00Z`), format: 'yyyy-mm-dd' };
	// A sheet knows no zones: what the clock on the wall said.
	const wall = kind === 'time' ? LOCAL_MINUTE.exec(value)?.[0] : undefined;
	return wall ? { type: Date, value: new Date(`${wall}:00Z`), format: 'yyyy-mm-dd hh:mm' } : textCell(value);
}

/** Also a text that looks like a formula stays one when somebody edits the cell or saves the sheet as CSV. */
function textCell(text: string): CellObject {
	const safe = cellText(text);
	return { type: String, value: safe.length > LONGEST_TEXT ? `${safe.slice(0, LONGEST_TEXT - 1)}…` : safe };
}

function widthOf({ key, name, kind }: ReportColumn, rows: Report['rows']): number {
	if (kind !== 'text') return kind === 'time' ? 17 : 13;
	const longest = rows.reduce((most, row) => Math.max(most, String(row[key] ?? '').length), name.length);
	return Math.min(WIDEST_COLUMN, longest + 2);
}
