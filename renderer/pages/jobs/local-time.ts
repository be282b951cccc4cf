import { addDays } from '../../../shared/basics/calendar.ts';

/** A moment on the farm's own clock. */
export type LocalTime = { readonly date: string; readonly time: string };

const MINUTE_MS = 60_000;

/** Date and time of day of an instant in a zone, whatever zone this computer is set to. */
export function localTime(instantMs: number, zone: string): LocalTime {
	const parts = new Intl.DateTimeFormat('en-GB', {
		timeZone: zone,
		year: 'numeric',
		month: '2-digit',
		day: '2-digit',
		hour: '2-digit',
		minute: '2-digit',
		hourCycle: 'h23',
	}).formatToParts(instantMs);
	const part = (type: Intl.DateTimeFormatPartTypes) => parts.find((each) => each.type === type)?.value ?? '';
	return { date: `${part('year')}-${part('month')}-${part('day')}`, time: `${part('hour')}:${part('minute')}` };
}

/** When a load that is being logged probably began and ended: an hour ago, unless the one before ended later, and now. */
export function usualTimes(
	nowMs: number,
	zone: string,
	lastFinished: string | null,
): { date: string; began: string; ended: string } {
	const hourAgo = nowMs - 60 * MINUTE_MS;
	const last = lastFinished === null ? Number.NaN : Date.parse(lastFinished);
	const began = localTime(last > hourAgo && last < nowMs ? last : hourAgo, zone);
	return { date: began.date, began: began.time, ended: localTime(nowMs, zone).time };
}

/** After a fill in the yard a load began when it was ready, and ended now, or an hour later where that is long ago. */
export function timesAfterFill(
	nowMs: number,
	zone: string,
	fill: { readonly finishedAt: string },
): { date: string; began: string; ended: string } {
	const readyMs = Date.parse(fill.finishedAt);
	const endedMs = nowMs > readyMs && nowMs - readyMs < 12 * 60 * MINUTE_MS ? nowMs : readyMs + 60 * MINUTE_MS;
	const began = localTime(readyMs, zone);
	return { date: began.date, began: began.time, ended: localTime(endedMs, zone).time };
}

/** Start and end as the farm's local instants. An end before the start is on the next day. */
export function spanOf(
	date: string,
	began: string,
	ended: string,
): { startedAt: string; finishedAt: string; overnight: boolean } {
	const overnight = ended < began;
	return {
		startedAt: `${date}T${began}`,
		finishedAt: `${overnight ? addDays(date, 1) : date}T${ended}`,
		overnight,
	};
}
