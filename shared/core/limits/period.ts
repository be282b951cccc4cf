import { addDays, writtenDay } from '../../basics/calendar.ts';
import { figure, type Ground, type Limit } from './limit.ts';

/** The periods a field is limited over, whatever is put on it. */
export const fieldLimitPeriods = ['crop', 'season', 'calendar year', '12 months'] as const;

/** First and last day, both included. */
export type Period = { readonly from: string; readonly to: string };

export type Periods = { readonly name: string; readonly periods: readonly Period[] };

/**
 * Every period of a limit that the application's date falls into; none where the limit does not apply on that date.
 *
 * `12 months` and `years` roll: a period may start with any treatment, so there can be several, and the worst counts.
 * With `from`, `years` are fixed periods counted from that date. `from`–`to` without `per` is a window of every year.
 */
export function periodsOf(limit: Limit, on: { date: string; ground: Ground; treated: readonly string[] }): Periods {
	const { date, ground, treated } = on;
	const per = limit.per ?? (limit.kind === 'activeSubstance' ? '12 months' : 'crop');
	if (limit.per === undefined && limit.from !== undefined && limit.to !== undefined) {
		const window = windowAround(date, limit.from, limit.to);
		return {
			name: `from ${writtenDay(limit.from)} to ${writtenDay(limit.to)}`,
			periods: window === null ? [] : [window],
		};
	}
	if (per === 'crop') {
		const crop = { from: ground.cropFrom ?? ground.season.from, to: ground.cropTo ?? ground.season.to };
		return { name: 'crop', periods: [crop] };
	}
	if (per === 'season') return { name: 'season', periods: [ground.season] };
	if (per === 'calendar year') {
		const year = date.slice(0, 4);
		return { name: 'calendar year', periods: [{ from: `${year}-01-01`, to: `${year}-12-31` }] };
	}
	const years = per === '12 months' ? 1 : (limit.years ?? 1);
	const name = per === '12 months' ? '12 months' : `${figure(years)} years`;
	if (per === 'years' && limit.from !== undefined) return { name, periods: [fixedPeriod(date, limit.from, years)] };
	return { name, periods: rollingPeriods(date, treated, years) };
}

/** The yearly window that `date` falls into; it may run over New Year. Null when the date is outside. */
export function windowAround(date: string, from: string, to: string): Period | null {
	const year = Number(date.slice(0, 4));
	const overNewYear = from.slice(5) > to.slice(5);
	const starts = [year - 1, year].map((start) => ({
		from: `${start}${from.slice(4)}`,
		to: `${overNewYear ? start + 1 : start}${to.slice(4)}`,
	}));
	return starts.find((window) => window.from <= date && date <= window.to) ?? null;
}

/** The same day so many years later; 29 February becomes 1 March, so that a period never loses a day. */
export function addYears(date: string, years: number): string {
	const year = Number(date.slice(0, 4)) + years;
	const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
	return date.endsWith('02-29') && !leap ? `${year}-03-01` : `${year}${date.slice(4)}`;
}

function rollingPeriods(date: string, treated: readonly string[], years: number): Period[] {
	const earliest = addYears(date, -years);
	const near = treated.filter((start) => start <= date && start >= earliest);
	let starts = [...new Set([...near, date])].filter((start) => date < addYears(start, years));
	// With nothing later than the day, the period that begins first holds all that the others hold.
	if (treated.every((other) => other <= date)) starts = starts.sort().slice(0, 1);
	return starts.map((from) => ({ from, to: addDays(addYears(from, years), -1) }));
}

function fixedPeriod(date: string, from: string, years: number): Period {
	let start = from;
	while (addYears(start, years) <= date) start = addYears(start, years);
	while (start > date) start = addYears(start, -years);
	return { from: start, to: addDays(addYears(start, years), -1) };
}
