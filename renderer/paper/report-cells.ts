import type { Report, ReportColumn, ReportRow } from '../../shared/contract/season.ts';
import { figure, longDate, shortDate, timeOfDay } from '../format.ts';

/** A column as it stands on the page, with what stands under it in small type. */
export type PaperColumn = {
	readonly column: ReportColumn;
	readonly under: readonly ReportColumn[];
	/** What has a line of its own below the row, from this column on. */
	readonly below: readonly ReportColumn[];
	/** Words right after figures keep a distance from them, in every row. */
	readonly afterFigures: boolean;
};

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
		.map((column) => {
			const all = columns.filter((each) => each.under === column.key && held(each));
			return { column, under: all.filter(({ wide }) => !wide), below: all.filter(({ wide }) => wide) };
		})
		.filter(({ column, under, below }) => under.length + below.length > 0 || held(column))
		.map((each, index, all) => ({
			...each,
			afterFigures: each.column.kind !== 'number' && all[index - 1]?.column.kind === 'number',
		}));
}

/** `1 May 2027 to 31 May 2027`; a single day by itself. */
export function periodWords({ from, to }: Pick<Report, 'from' | 'to'>): string {
	return from === to ? longDate(from) : `${longDate(from)} to ${longDate(to)}`;
}

const NO_BREAK = '\u00a0';
const FIGURE_AND_UNIT = /(\d) ((?:g|kg|mL|L|m|ha|days|h|%)(?:\/(?:ha|L|kg))?)(?![\p{L}\d])/gu;

const LONG = 24;

/** Texts of more than a few words in most rows that have one, or of several lines in one: such a column gets more room. */
export function isLong({ column: { key, kind } }: Pick<PaperColumn, 'column'>, rows: readonly ReportRow[]): boolean {
	if (kind !== 'text') return false;
	const lengths = rows.map((row) => String(row[key] ?? '').length).filter((length) => length > 0);
	return (
		2 * lengths.filter((length) => length >= LONG).length > lengths.length ||
		lengths.some((length) => length >= 3 * LONG)
	);
}

/** `12.37`, `2.50 L`, `15 Apr 2027`, `14:05`; a missing value is left empty. */
export function cellWords({ key, kind, digits, plain, unitFrom }: ReportColumn, row: ReportRow): string {
	const value = row[key] ?? null;
	if (value === null) return '';
	if (typeof value === 'number') {
		const unit = unitFrom === undefined ? null : row[unitFrom];
		if (unit)
			return `${plain || value === 0 ? shortest(value, digits ?? 0) : figure(value, digits ?? 0)}${NO_BREAK}${unit}`;
		// Beside amounts with their units a figure without one is a count.
		return figure(value, unitFrom !== undefined && Number.isInteger(value) ? 0 : (digits ?? 0));
	}
	if (kind === 'date') return shortDate(value).replaceAll(' ', NO_BREAK);
	return kind === 'time' ? timeOfDay(value) : value.replace(FIGURE_AND_UNIT, `$1${NO_BREAK}$2`);
}

/** `5`, `0.25`, `1,000`: without zeros that say nothing. */
function shortest(value: number, most: number): string {
	return figure(value, String(Number(value.toFixed(most))).split('.')[1]?.length ?? 0);
}

/** What stands under a cell: `BBCH 31`, `wind 12 km/h`; nothing where there is nothing. */
export function underWords(column: ReportColumn, row: ReportRow): string {
	const words = cellWords(column, row);
	if (words === '' || words === column.usual) return '';
	const unit = column.unit === undefined ? '' : `${NO_BREAK}${column.unit}`;
	return `${column.bare ? '' : `${column.name} `}${words}${unit}`;
}

type CellBelow = Pick<PaperColumn, 'afterFigures'> & {
	readonly key: string;
	readonly span: number;
	readonly words: readonly string[];
};

/**
 * The line below a row: what has one, over the columns up to the next that is written once or has words there itself, and
 * empty cells between. Null where nothing is to be said below.
 */
export function lineBelow(columns: readonly PaperColumn[], row: ReportRow): CellBelow[] | null {
	const cells: (CellBelow & { span: number })[] = [];
	let speaking: (typeof cells)[number] | null = null;
	for (const { column, below, afterFigures } of columns) {
		const words = below.map((each) => underWords(each, row)).filter((each) => each !== '');
		if (column.once) speaking = null;
		else if (words.length === 0 && speaking) speaking.span += 1;
		else {
			const cell = { key: column.key, span: 1, words, afterFigures };
			cells.push(cell);
			speaking = words.length > 0 ? cell : null;
		}
	}
	return cells.some(({ words }) => words.length > 0) ? cells : null;
}

/** `records 412 · 1a2b3c4d5e6f7081`: enough of each head to find it again. */
export function headWords({ heads }: Pick<Report, 'heads'>): string[] {
	return heads.map(({ chain, seq, hash }) => `${chain} ${seq} · ${hash.slice(0, 16)}`);
}

/** Rows that stand together; longer than this the words are written again, so that no page is without them or left half empty. */
const MOST_TOGETHER = 6;

/** Rows one after the other that agree in every column that is written once, with all that stands under those. */
export function rowsTogether(columns: readonly PaperColumn[], rows: readonly ReportRow[]): ReportRow[][] {
	const once = columns
		.filter(({ column }) => column.once)
		.flatMap(({ column, under, below }) => [column, ...under, ...below]);
	const groups: { readonly words: string | null; readonly rows: ReportRow[] }[] = [];
	for (const row of rows) {
		const words = once.length === 0 ? null : JSON.stringify(once.map(({ key }) => row[key] ?? null));
		const last = groups.at(-1);
		const joins = last && words !== null && last.words === words && last.rows.length < MOST_TOGETHER;
		if (joins) last.rows.push(row);
		else groups.push({ words, rows: [row] });
	}
	return groups.map((group) => group.rows);
}

export const INFORMS = 'It informs; the label and local law come first.';
