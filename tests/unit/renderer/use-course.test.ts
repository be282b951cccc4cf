import { expect, test } from 'vitest';
import { coursesOfUse, monthDays } from '../../../renderer/pages/season/use-course.ts';
import { movement } from './sample-movement.ts';

const from = (date: string, kind: 'load' | 'load reversal' | 'delivery', amount: number) =>
	movement(1, kind, amount, { occurredAt: `${date}T09:00:00+01:00` });

test('use adds up from the first day of each season, and a load taken back takes its own back', () => {
	const movements = [
		from('2026-03-10', 'load', -4),
		from('2025-10-02', 'delivery', 20),
		from('2025-10-11', 'load', -5),
		from('2025-10-11', 'load', -1),
		from('2026-03-12', 'load reversal', 4),
		from('2026-10-05', 'load', -3),
	];
	expect(coursesOfUse(movements, { startMonth: 10, until: '2026-11-30' })).toEqual([
		{ season: 2027, total: 3, points: [0, 4, 60].map((day, index) => ({ day, used: index === 0 ? 0 : 3 })) },
		{
			season: 2026,
			total: 6,
			points: [
				{ day: 0, used: 0 },
				{ day: 10, used: 6 },
				{ day: 160, used: 10 },
				{ day: 162, used: 6 },
				{ day: 364, used: 6 },
			],
		},
	]);
});

test('months stand where they begin in the season', () => {
	expect(monthDays(2027, 10).slice(0, 4)).toEqual([
		{ day: 0, month: 10 },
		{ day: 31, month: 11 },
		{ day: 61, month: 12 },
		{ day: 92, month: 1 },
	]);
	expect(monthDays(2027, 1).at(-1)).toEqual({ day: 334, month: 12 });
});
