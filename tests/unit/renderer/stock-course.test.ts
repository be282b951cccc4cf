import { expect, test } from 'vitest';
import { monthStarts, stockCourse } from '../../../renderer/pages/season/stock-course.ts';
import { movement } from './sample-movement.ts';

const day = (date: string) => Date.parse(`${date}T00:00:00Z`);

test('lines of one load are one step, and a container that is merely opened is none', () => {
	const points = stockCourse(
		[
			movement(5, 'load', -3.5, { occurredAt: '2026-04-15T08:00:00Z', load: 1 }),
			movement(4, 'load', -10, { occurredAt: '2026-04-15T08:00:00Z', load: 1 }),
			movement(3, 'opening', 5, { occurredAt: '2026-04-15T08:00:00Z' }),
			movement(2, 'opening', -5, { occurredAt: '2026-04-15T08:00:00Z' }),
			movement(1, 'delivery', 20, { occurredAt: '2026-04-01T12:00:00Z' }),
		],
		2,
		{ from: day('2026-03-01'), to: day('2026-06-30'), now: day('2026-05-01') },
	);
	expect(points.map(({ at, balance, mark, change, what }) => [at, balance, mark, change, what])).toEqual([
		[day('2026-03-01'), 2, 'edge', 0, 'at the start'],
		[Date.parse('2026-04-01T12:00:00Z'), 22, 'delivery', 20, 'delivery'],
		[Date.parse('2026-04-15T08:00:00Z'), 8.5, 'load', -13.5, 'load 1'],
		[day('2026-05-01'), 8.5, 'edge', 0, 'then'],
	]);
});

test('months begin on their first within the period', () => {
	expect(monthStarts(day('2025-11-15'), day('2026-02-01'))).toEqual([
		day('2025-12-01'),
		day('2026-01-01'),
		day('2026-02-01'),
	]);
});
