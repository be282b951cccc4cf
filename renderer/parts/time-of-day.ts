/**
 * A time of day as people key it: `0710`, `710`, `7:10`, `7.10`, `7h10`, `7 10`, `7`. 24 hours; null where it is none.
 */
export function readTimeOfDay(typed: string): string | null {
	const text = typed.trim();
	const parts = /^(\d{1,2})$/.exec(text) ?? /^(\d{1,2}?)[:.h ]?(\d{2})$/.exec(text);
	const hour = parts?.[1] ?? '';
	const minute = parts?.[2] ?? '00';
	if (hour === '' || Number(hour) > 23 || Number(minute) > 59) return null;
	return `${hour.padStart(2, '0')}:${minute}`;
}
