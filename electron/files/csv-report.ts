import Papa from 'papaparse';
import type { Report, ReportColumn } from '../../shared/contract/season.ts';
import { cellText } from './csv-text.ts';

/** Millionths: a microlitre, a milligram, a hundredth of a square metre. Below that stand the last digits of a double. */
const DECIMALS = 6;

/**
 * A report as CSV (RFC 4180) with a byte order mark: one line of heads, then the rows and nothing else. Texts are always
 * quoted, so that no other delimiter can open a cell inside them; numbers are plain with a decimal point.
 */
export function csvReport({ columns, rows }: Pick<Report, 'columns' | 'rows'>): string {
	const quotes = columns.map(({ kind }) => kind !== 'number');
	const data = rows.map((row) => columns.map((column) => cellOf(row[column.key] ?? null)));
	const heads = headsOf(columns).map(cellText);
	return `\uFEFF${Papa.unparse([heads], { quotes: true, newline: '\r\n' })}\r\n${data
		.map((cells) => `${Papa.unparse([cells], { quotes, newline: '\r\n' })}\r\n`)
		.join('')}`;
}

/** `treated (ha)`; where two would read alike, with the column they stand under: `livestock off until, for`. */
export function headsOf(columns: readonly ReportColumn[]): string[] {
	const names = new Map(columns.map(({ key, name }) => [key, name]));
	const heads = columns.map(({ name, unit }) => (unit === undefined ? name : `${name} (${unit})`));
	return columns.map(({ under }, index) => {
		const head = heads[index] ?? '';
		const alike = heads.filter((each) => each === head).length > 1;
		return alike && under !== undefined ? `${names.get(under)}, ${head}` : head;
	});
}

function cellOf(value: string | number | null): string | number {
	if (value === null) return '';
	return typeof value === 'number' ? Number(value.toFixed(DECIMALS)) : cellText(value);
}
