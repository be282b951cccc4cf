import { expect, test } from 'vitest';
import { localTime, spanOf, usualTimes } from '../../../../renderer/pages/jobs/local-time.ts';

const NOON = Date.parse('2026-04-15T12:00:00Z');

test('a moment is told by the farm’s own clock', () => {
	expect(localTime(NOON, 'Europe/Berlin')).toEqual({ date: '2026-04-15', time: '14:00' });
	expect(localTime(Date.parse('2026-04-15T23:30:00Z'), 'Europe/Berlin')).toEqual({ date: '2026-04-16', time: '01:30' });
	expect(localTime(NOON, 'Pacific/Auckland')).toEqual({ date: '2026-04-16', time: '00:00' });
});

test('a load began an hour ago, unless the one before ended since', () => {
	const usual = (last: string | null) => usualTimes(NOON, 'Europe/Berlin', last);
	expect(usual(null)).toEqual({ date: '2026-04-15', began: '13:00', ended: '14:00' });
	expect(usual('2026-04-15T13:20:00+02:00')).toEqual({ date: '2026-04-15', began: '13:20', ended: '14:00' });
	expect(usual('2026-04-15T10:20:00+02:00')).toEqual({ date: '2026-04-15', began: '13:00', ended: '14:00' });
	expect(usual('2026-04-15T16:00:00+02:00')).toEqual({ date: '2026-04-15', began: '13:00', ended: '14:00' });
});

test('a load that ends before it began ends on the next day', () => {
	expect(spanOf('2026-04-30', '23:10', '00:20')).toEqual({
		startedAt: '2026-04-30T23:10',
		finishedAt: '2026-05-01T00:20',
		overnight: true,
	});
	expect(spanOf('2026-04-30', '06:10', '07:20')).toEqual({
		startedAt: '2026-04-30T06:10',
		finishedAt: '2026-04-30T07:20',
		overnight: false,
	});
});
