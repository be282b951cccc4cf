import { addDays, daysBetween, writtenDate, writtenDay } from '../../basics/calendar.ts';
import type { Instant } from '../../units/quantity.ts';
import { type Check, figure, incomplete, type Limit, type Outcome } from './limit.ts';
import { windowAround } from './period.ts';
import { concerns } from './sum-limits.ts';

const MS_PER_HOUR = 3_600_000;

/** The first day on which a crop may be harvested: the day of the application is day 0. Several products: the latest of them. */
export function earliestHarvest(applied: string, intervalDays: number): string {
	return addDays(applied, intervalDays);
}

/** The end of a re-entry interval, in elapsed hours from the end of the application, whatever the clocks do. Several products: the latest. */
export function reentryEnds(finishedAt: Instant, hours: number): Instant {
	return finishedAt + hours * MS_PER_HOUR;
}

/**
 * Days between this application and its neighbours in time on the same ground, in both directions.
 *
 *   days from one to the other  ≥ interval:  30 April and 14 May pass a 14-day interval
 */
export function interval(check: Check): Outcome {
	const { limit, application } = check;
	const days = waitOf(limit);
	if (days === undefined) return incomplete(limit, 'days');
	const neighbours = application.history
		.filter((treatment) => treatment.overlap !== 'no' && concerns(check, treatment))
		.map(({ date, recordId, overlap }) => ({ gap: Math.abs(daysBetween(date, application.date)), recordId, overlap }));
	const near = neighbours.filter(({ gap }) => gap < days);
	const value = neighbours.length === 0 ? null : Math.min(...neighbours.map(({ gap }) => gap));
	const known = { limit: days, value, unit: 'days' };
	if (near.length === 0) {
		const say =
			value === null
				? 'No other treatment to keep an interval to.'
				: `The nearest treatment is ${value} days away, ${days} are needed.`;
		return { ...known, verdict: 'ok', say };
	}
	const sure = near.some(({ overlap }) => overlap === 'yes');
	const say = `Another treatment is ${value} days away, ${days} are needed.`;
	const records = near.map(({ recordId }) => recordId);
	if (sure) return { ...known, verdict: 'block', records, say };
	return {
		...known,
		verdict: 'ask',
		records,
		say: `${say} It may have been on other ground of the field: was it the same?`,
	};
}

/** Days from this application to harvest. Where the date of harvest is not known, the first day allowed is given. */
export function harvestInterval({ limit, application }: Check): Outcome {
	const days = waitOf(limit);
	if (days === undefined) return incomplete(limit, 'days');
	const first = earliestHarvest(application.date, days);
	const { harvestOn } = application.ground;
	const known = { limit: days, unit: 'days' };
	if (harvestOn === null) {
		return {
			...known,
			verdict: 'ask',
			value: null,
			say: `Harvest is allowed from ${writtenDate(first)} on. Will it be later than that?`,
		};
	}
	const value = daysBetween(application.date, harvestOn);
	const say = `Harvest on ${writtenDate(harvestOn)} is ${value} days after the application; it is allowed from ${writtenDate(first)} on.`;
	return { ...known, verdict: value < days ? 'block' : 'ok', value, say };
}

/** Growth stage within the label's, compared only within one scale (two or three digits), and the window of the year. */
export function stage({ limit, application }: Check): Outcome {
	const { min, max, from, to } = limit;
	const { date, ground } = application;
	if (from !== undefined && to !== undefined && windowAround(date, from, to) === null) {
		const say = `Use is allowed from ${writtenDay(from)} to ${writtenDay(to)} of each year; ${writtenDate(date)} is outside.`;
		return { verdict: 'block', limit: `${writtenDay(from)} – ${writtenDay(to)}`, value: date, unit: null, say };
	}
	if (min === undefined && max === undefined) {
		if (from === undefined || to === undefined) return incomplete(limit, 'growth stage');
		return {
			verdict: 'ok',
			limit: `${writtenDay(from)} – ${writtenDay(to)}`,
			value: date,
			unit: null,
			say: 'The date is inside the window.',
		};
	}
	const range = `${min ?? 0}–${max ?? 'harvest'}`;
	const known = { limit: range, value: ground.growthStage, unit: 'BBCH' };
	const reached = stageNumber(ground.growthStage);
	const digits = (value: number) => (value >= 100 ? 3 : 2);
	const sameScale = [min, max].every((edge) => edge === undefined || digits(edge) === digits(reached ?? 0));
	if (reached === null || !sameScale) {
		return {
			...known,
			verdict: 'ask',
			say: `Use is allowed at growth stage ${range}. Which stage has the crop reached?`,
		};
	}
	const inside = reached >= (min ?? reached) && reached <= (max ?? reached);
	const say = `Growth stage ${reached}; use is allowed at ${range}.`;
	return { ...known, verdict: inside ? 'ok' : 'block', say };
}

/** `32`, `'32'`, `'BBCH 32'`, `'GS32'` → `'32'`; null where it is no stage of the scale. Two and three digits are two scales. */
export function stageCode(stage: string | number | null): string | null {
	return /^(?:BBCH|GS)?\s*(\d{1,3})$/i.exec(String(stage ?? '').trim())?.[1] ?? null;
}

function stageNumber(stage: string | number | null): number | null {
	const code = stageCode(stage);
	return code === null ? null : Number(code);
}

/** Hours of the day between which every load may begin, for example once bees no longer fly; they may run over midnight. */
export function timeOfDay({ limit, application }: Check): Outcome {
	const hours = hoursOf(limit);
	if (hours === null) return incomplete(limit, 'hours');
	const { range, words } = hours;
	const { begun = [] } = application;
	const begins = begun.find(({ hour }) => !hours.hold(hour)) ?? begun[0];
	if (begins === undefined) {
		const say = `Use is allowed ${words}. When will it begin?`;
		return { verdict: 'ask', limit: range, value: null, unit: null, say };
	}
	const at = clock(begins.hour);
	const say = `It begins at ${at}; use is allowed ${words}.`;
	return { verdict: hours.hold(begins.hour) ? 'ok' : 'block', limit: range, value: at, unit: null, say };
}

/** The hours of the day a limit names, over midnight where the first is the later; null where it names none. */
export function hoursOf({ min, max }: Check['limit']) {
	if (min === undefined && max === undefined) return null;
	const [from, to] = [min ?? 0, max ?? 24];
	return {
		range: `${clock(from)}–${clock(to)}`,
		words: `from ${clock(from)} to ${clock(to)}`,
		hold: (hour: number) => (from <= to ? from <= hour && hour <= to : hour >= from || hour <= to),
	};
}

/** `20.5` → `20:30`. */
export function clock(hour: number): string {
	const minutes = Math.round(hour * 60);
	return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}

/** Hours in which nobody may enter after the end of the application: always shown, since only the people there can keep them. */
export function reentry({ limit }: Check): Outcome {
	const hours = waitOf(limit);
	if (hours === undefined) return incomplete(limit, 'hours');
	const known = { limit: hours, value: null, unit: 'h' };
	if (hours === 0) return { ...known, verdict: 'ok', say: 'The label sets no time to keep out.' };
	return { ...known, verdict: 'warn', say: `Keep people out for ${figure(hours)} h after the end of the application.` };
}

/** Days to keep animals off the treated ground: always shown, since only the people there can keep them. */
export function livestock({ limit, application }: Check): Outcome {
	const days = waitOf(limit);
	if (days === undefined) return incomplete(limit, 'days');
	const known = { limit: days, value: null, unit: 'days' };
	if (days === 0) return { ...known, verdict: 'ok', say: 'The label sets no time to keep livestock off.' };
	const first = addDays(application.date, days);
	return {
		...known,
		verdict: 'warn',
		say: `Keep livestock off for ${figure(days)} days, until ${writtenDate(first)}.`,
	};
}

/** The dates between which the product may be used. */
export function authorisation({ limit, application }: Check): Outcome {
	const { from, to } = limit;
	const { date } = application;
	if (from === undefined && to === undefined) return incomplete(limit, 'dates');
	const range = `${from === undefined ? 'any time' : writtenDate(from)} – ${to === undefined ? 'no end' : writtenDate(to)}`;
	const inside = date >= (from ?? date) && date <= (to ?? date);
	const say = `${inside ? 'Authorised' : 'Not authorised'} on ${writtenDate(date)} (${range}).`;
	return { verdict: inside ? 'ok' : 'block', limit: to ?? from ?? null, value: date, unit: null, say };
}

/** A waiting time or distance is one figure, entered as least or as most. */
export function waitOf({ min, max }: Pick<Limit, 'min' | 'max'>): number | undefined {
	return min ?? max;
}
