import { isLocalDate, monthNames } from '../../shared/basics/calendar.ts';

const months = monthNames.map((name) => name.slice(0, 3).toLowerCase());

/**
 * A date as people key it, the day first: `29 Nov 2026`, `29.11.26`, `29/11`, `2911`, `2026-11-29`. Without a year it is this
 * year's, or the last one's where this year's would be after `latest`. ISO; null where it is none.
 */
export function readDate(typed: string, today: string, latest?: string): string | null {
	const text = typed.trim().toLowerCase();
	const iso = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text);
	if (iso) return dateOf(Number(iso[1]), Number(iso[2]), Number(iso[3]));
	const named = /^(\d{1,2})\.? *([a-z]{3})[a-z]*\.?(?: +(\d{4}|\d{2}))?$/.exec(text);
	const plain =
		/^(\d{1,2})[./ -](\d{1,2})(?:[./ -](\d{4}|\d{2})?)?$/.exec(text) ?? /^(\d{2})(\d{2})(\d{4}|\d{2})?$/.exec(text);
	const month = named ? months.indexOf(named[2] ?? '') + 1 : Number(plain?.[2]);
	const [, day, , year] = named ?? plain ?? [];
	if (day === undefined) return null;
	if (year !== undefined) return dateOf(year.length === 2 ? 2000 + Number(year) : Number(year), month, Number(day));
	const thisYear = Number(today.slice(0, 4));
	const found = dateOf(thisYear, month, Number(day));
	return found !== null && latest !== undefined && found > latest ? dateOf(thisYear - 1, month, Number(day)) : found;
}

/** Null where the month has no such day. */
function dateOf(year: number, month: number, day: number): string | null {
	const two = (part: number) => String(part).padStart(2, '0');
	const date = `${year}-${two(month)}-${two(day)}`;
	return isLocalDate(date) ? date : null;
}
