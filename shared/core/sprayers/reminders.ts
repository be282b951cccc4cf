import { daysBetween, writtenDate } from '../../basics/calendar.ts';

export const reminderKinds = ['sprayer test', 'certificate'] as const;

/** Something of a sprayer or an operator that holds up to and with a day; null: nobody entered it. */
export type Lapsing = {
	readonly what: (typeof reminderKinds)[number];
	readonly of: string;
	readonly due: string | null;
};

export type Reminder = {
	readonly what: Lapsing['what'];
	readonly of: string;
	readonly due: string;
	/** Days from today until then; below 0 it is over. */
	readonly days: number;
	readonly urgent: boolean;
	readonly say: string;
};

/** Days ahead from which it is told, and from which it presses: a test takes weeks to get. Common practice. */
const FIRST_DAYS = 60;
const URGENT_DAYS = 30;

/** What runs out within 60 days of `today`, or is over, the earliest first; pressing from 30 days on. */
export function remindersOf(all: readonly Lapsing[], today: string): Reminder[] {
	return all
		.flatMap(({ what, of, due }): Reminder[] => {
			if (due === null) return [];
			const days = daysBetween(today, due);
			if (days > FIRST_DAYS) return [];
			const say = `${what === 'certificate' ? 'Certificate' : 'Sprayer test'} of ${of}: ${dueWords(what, due, today)}.`;
			return [{ what, of, due, days, urgent: days <= URGENT_DAYS, say }];
		})
		.sort((a, b) => a.days - b.days || (a.of < b.of ? -1 : 1));
}

/** `runs out on 3 February 2027, in 40 days`, `was due on 3 February 2024 and is overdue`, `next due on 3 February 2030`. */
export function dueWords(what: Lapsing['what'], due: string, today: string): string {
	const days = daysBetween(today, due);
	const day = writtenDate(due);
	const soon = days > FIRST_DAYS ? '' : days === 0 ? ', today' : days === 1 ? ', tomorrow' : `, in ${days} days`;
	if (what === 'certificate') return days < 0 ? `ran out on ${day}` : `runs out on ${day}${soon}`;
	return days < 0 ? `was due on ${day} and is overdue` : `next due on ${day}${soon}`;
}
