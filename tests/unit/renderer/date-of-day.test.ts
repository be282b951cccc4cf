import { expect, test } from 'vitest';
import { readDate } from '../../../renderer/parts/date-of-day.ts';

const TODAY = '2027-01-14';

test('a date is read as people key it, the day first, and nothing else is taken for one', () => {
	const typed = ['29 Nov 2026', '29. november 2026', '29 nov 26', '29.11.2026', '29/11/26', '29-11-2026', '29 11 26'];
	const all = [...typed, '291126', '29112026', '2026-11-29', ' 2026-11-29 '];
	expect(all.map((text) => readDate(text, TODAY))).toEqual(all.map(() => '2026-11-29'));
	const none = [
		'',
		'29',
		'11/29/2026',
		'31 Apr 2027',
		'29.2.2027',
		'29 Foo 2026',
		'2026',
		'1.1.1',
		'20261129',
		'today',
	];
	expect(none.map((text) => readDate(text, TODAY))).toEqual(none.map(() => null));
});

test('without a year it is this one, or the last where a date to come is not allowed', () => {
	expect(['3/2', '3 Feb', '0302', '3.2.'].map((text) => readDate(text, TODAY))).toEqual(
		Array.from({ length: 4 }, () => '2027-02-03'),
	);
	expect([readDate('28 Dec', TODAY), readDate('28 Dec', TODAY, TODAY), readDate('3 Jan', TODAY, TODAY)]).toEqual([
		'2027-12-28',
		'2026-12-28',
		'2027-01-03',
	]);
});
