import type { Report, ReportColumn, ReportRow } from '../../shared/contract/season.ts';
import { figure, longDate, shortDate, timeOfDay } from '../format.ts';

/** A column as it stands on the page, with what stands under it in small type. */
export type PaperColumn = { readonly column: ReportColumn; readonly under: readonly ReportColumn[] };

/**
 * Columns side by side; those that only carry the unit of another are written into its figures, and those that hold nothing
 * in any row leave their room to the others.
 */
export function paperColumns({ columns, rows }: Pick<Report, 'columns' | 'rows'>): PaperColumn[] {
	const units = new Set(columns.map(({ unitFrom }) => unitFrom));
	const held = (column: ReportColumn) =>
		rows.length === 0 || rows.some((row) => !['', column.usual].includes(cellWords(column, row)));
	return columns
		.filter(({ key, under }) => under === undefined && !units.has(key))
		.map((column) => ({ column, under: columns.filter((each) => each.under === column.key && held(each)) }))
		.filter(({ column, under }) => under.length > 0 || held(column));
}

/** `1 May 2027 to 31 May 2027`; a single day by itself. */
export function periodWords({ from, to }: Pick<Report, 'from' | 'to'>): string {
	return from === to ? longDate(from) : `${longDate(from)} to ${longDate(to)}`;
}

const NO_BREAK = '\u00a0';
const FIGURE_AND_UNIT = /(\d) ((?:g|kg|mL|L|m|ha|days|h|%)(?:\/(?:ha|L|kg))?)(?![\p{L}\d])/gu;

/** `12.37`, `2.50 L`, `15 Apr 2027`, `14:05`; a missing value is left empty. */
export function cellWords({ key, kind, digits, unitFrom }: ReportColumn, row: ReportRow): string {
	const value = row[key] ?? null;
	if (value === null) return '';
	if (typeof value === 'number') {
		const unit = unitFrom === undefined ? null : row[unitFrom];
		if (unit) return `${figure(value, digits ?? 0)}${NO_BREAK}${unit}`;
		// Beside amounts with their units a figure without one is a count.
		return figure(value, unitFrom !== undefined && Number.isInteger(value) ? 0 : (digits ?? 0));
	}
	if (kind === 'date') return shortDate(value).replaceAll(' ', NO_BREAK);
	return kind === 'time' ? timeOfDay(value) : value.replace(FIGURE_AND_UNIT, `$1${NO_BREAK}$2`);
}

/** What stands under a cell: `BBCH 31`, `wind 12 km/h`; nothing where there is nothing. */
export function underWords(column: ReportColumn, row: ReportRow): string {
	const words = cellWords(column, row);
	if (words === '' || words === column.usual) return '';
	const unit = column.unit === undefined ? '' : `${NO_BREAK}${column.unit}`;
	return `${column.name} ${words}${unit}`;
}

/** `Records 412 · 1a2b3c4d5e6f7081`: enough of each head to find it again. */
export function headWords({ heads }: Pick<Report, 'heads'>): string {
	return heads.map(({ chain, seq, hash }) => `${chain} ${seq} · ${hash.slice(0, 16)}`).join(', ');
}

export const INFORMS = 'It informs; the label and local law come first.';
