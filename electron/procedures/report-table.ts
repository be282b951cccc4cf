import { writtenDate } from '../../shared/basics/calendar.ts';
import type { Report, ReportColumn, ReportRow } from '../../shared/contract/season.ts';
import type { QueryContext } from './handler.ts';

export type Period = { readonly from: string; readonly to: string };

/** What one report makes of the books; title, farm and heads are the same for all, the period where it names none. */
export type ReportTable = Pick<Report, 'columns' | 'rows' | 'totals' | 'notes'> & Partial<Pick<Report, 'from' | 'to'>>;
/** For whom: one job, or the jobs of one customer. */
export type DoneFor = { readonly jobId?: string | undefined; readonly customer?: string | undefined };
export type MakeReport = (context: QueryContext, wish: Period & DoneFor) => Promise<ReportTable>;

type Extra = Omit<Partial<ReportColumn>, 'key' | 'name' | 'kind'>;

export function text(key: string, name: string, extra: Extra = {}): ReportColumn {
	return { key, name, kind: 'text', ...extra };
}

export function number(key: string, name: string, digits: number, extra: Extra = {}): ReportColumn {
	return { key, name, kind: 'number', digits, ...extra };
}

export function date(key: string, name: string, extra: Extra = {}): ReportColumn {
	return { key, name, kind: 'date', ...extra };
}

export function time(key: string, name: string, extra: Extra = {}): ReportColumn {
	return { key, name, kind: 'time', ...extra };
}

/** Written once for rows that agree in it. */
export const once = { once: true } as const;

/** Sums of some columns, with a word in the first; a column without a figure has no sum. */
export function totalsOf(rows: readonly ReportRow[], first: string, summed: readonly string[]): ReportRow | null {
	if (rows.length === 0) return null;
	const sums = summed.map((key) => {
		const figures = rows.flatMap((row) => (typeof row[key] === 'number' ? [row[key]] : []));
		return [key, figures.length === 0 ? null : figures.reduce((sum, figure) => sum + figure, 0)] as const;
	});
	return { [first]: 'total', ...Object.fromEntries(sums) };
}

/** `1 record holds`, `3 records hold`. */
export function counted(many: number, one: string, several: string): string {
	return `${many} ${many === 1 ? one : several}`;
}

/** `22 May 2027 09:45` */
export function writtenMoment(iso: string): string {
	return `${writtenDate(iso.slice(0, 10))} ${iso.slice(11, 16)}`;
}

/** Names and codes in the order a person looks them up: without regard to case, numbers by value. */
export const alphabetical = new Intl.Collator('en', { numeric: true, sensitivity: 'base' }).compare;

/** The place of each name in that order: many rows name few things, and comparing texts is slow. */
export function ranks(names: Iterable<string>): (name: string) => number {
	const sorted = [...new Set(names)].sort(alphabetical);
	const places = new Map(sorted.map((name, index) => [name, index]));
	return (name) => places.get(name) ?? sorted.length;
}
