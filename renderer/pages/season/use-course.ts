import { daysBetween, seasonDates, seasonOf } from '../../../shared/basics/calendar.ts';
import type { Movement } from '../../../shared/contract/store.ts';

/** How much of a product had gone into loads by each day of a season; day 0 is its first. */
export type UseCourse = {
	readonly season: number;
	readonly points: readonly { readonly day: number; readonly used: number }[];
	readonly total: number;
};

/**
 * What went into loads, season by season, added up from the first day of each, so that years can be laid over each other;
 * the newest season first. A load taken back takes its amount back on its own day. Seasons without use are left out.
 */
export function coursesOfUse(
	movements: readonly Movement[],
	{ startMonth, until }: { readonly startMonth: number; readonly until: string },
): UseCourse[] {
	const drawn = movements
		.filter(({ kind }) => kind === 'load' || kind === 'load reversal')
		.map(({ occurredAt, amount }) => ({ date: occurredAt.slice(0, 10), used: -amount }))
		.sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0));
	const seasons = Map.groupBy(drawn, ({ date }) => seasonOf(date, startMonth));
	return [...seasons]
		.map(([season, lines]): UseCourse => {
			const { from, to } = seasonDates(season, startMonth);
			const points = [{ day: 0, used: 0 }];
			let total = 0;
			for (const [date, together] of Map.groupBy(lines, (line) => line.date)) {
				total += together.reduce((sum, { used }) => sum + used, 0);
				points.push({ day: daysBetween(from, date), used: total });
			}
			const last = points.at(-1)?.day ?? 0;
			points.push({ day: Math.max(last, daysBetween(from, until < to ? until : to)), used: total });
			return { season, points, total };
		})
		.filter(({ total }) => Math.abs(total) > 1e-9)
		.sort((a, b) => b.season - a.season);
}

/** The day of the season on which each month begins, with the month's number (1–12). */
export function monthDays(season: number, startMonth: number): { readonly day: number; readonly month: number }[] {
	const { from } = seasonDates(season, startMonth);
	return Array.from({ length: 12 }, (_, index) => {
		const month = ((startMonth - 1 + index) % 12) + 1;
		const year = Number(from.slice(0, 4)) + (startMonth - 1 + index >= 12 ? 1 : 0);
		return { day: daysBetween(from, `${year}-${String(month).padStart(2, '0')}-01`), month };
	});
}

/** The newest season is the strong line; the ones before are told apart by their dashes, also in grey. */
export const courseLooks = [
	{ stroke: 'var(--damson)', strokeWidth: 2.6, strokeDasharray: undefined },
	{ stroke: 'var(--ink)', strokeWidth: 1.6, strokeDasharray: '7 4' },
	{ stroke: 'var(--ink)', strokeWidth: 1.6, strokeDasharray: '2 4' },
	{ stroke: 'var(--quiet)', strokeWidth: 1.6, strokeDasharray: '10 3 2 3' },
] as const;
