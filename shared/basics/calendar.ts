/** Trade dates are local ISO dates (`2027-04-15`). All arithmetic is on the calendar, so clock changes cannot move a day. */

const DAY_MS = 86_400_000;
/** Days that every month has. */
const SHORTEST_MONTH = 28;

/** True for an ISO date that exists: `2028-02-29` yes, `2027-02-29` no. */
export function isLocalDate(text: string): boolean {
	if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
	const time = Date.parse(`${text}T00:00:00Z`);
	return Number.isFinite(time) && new Date(time).toISOString().slice(0, 10) === text;
}

/** The date `days` later (or earlier, when negative). */
export function addDays(date: string, days: number): string {
	const day = Number(date.slice(8)) + days;
	if (Number.isInteger(day) && day >= 1 && day <= SHORTEST_MONTH)
		return `${date.slice(0, 8)}${String(day).padStart(2, '0')}`;
	return new Date(Date.parse(`${date}T00:00:00Z`) + days * DAY_MS).toISOString().slice(0, 10);
}

/** Whole days from `from` to `to`: 30 April to 14 May is 14. */
export function daysBetween(from: string, to: string): number {
	return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY_MS);
}

/** The harvest year a date belongs to, for a season that starts in `startMonth` (1–12) of the year before its harvest. */
export function seasonOf(date: string, startMonth: number): number {
	const year = Number(date.slice(0, 4));
	const month = Number(date.slice(5, 7));
	return startMonth > 1 && month >= startMonth ? year + 1 : year;
}

/** First and last date of a harvest year. */
export function seasonDates(season: number, startMonth: number): { from: string; to: string } {
	const month = String(startMonth).padStart(2, '0');
	const from = startMonth > 1 ? `${season - 1}-${month}-01` : `${season}-01-01`;
	const next = startMonth > 1 ? `${season}-${month}-01` : `${season + 1}-01-01`;
	return { from, to: addDays(next, -1) };
}

export const monthNames = [
	'January',
	'February',
	'March',
	'April',
	'May',
	'June',
	'July',
	'August',
	'September',
	'October',
	'November',
	'December',
];

/** `15 April 2027` */
export function writtenDate(date: string): string {
	return `${writtenDay(date)} ${date.slice(0, 4)}`;
}

/** `15 April`, the day of any year. */
export function writtenDay(date: string): string {
	return `${Number(date.slice(8, 10))} ${monthNames[Number(date.slice(5, 7)) - 1] ?? '?'}`;
}
