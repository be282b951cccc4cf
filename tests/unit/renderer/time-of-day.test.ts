import { expect, test } from 'vitest';
import { readTimeOfDay } from '../../../renderer/parts/time-of-day.ts';

test('a time of day is read as people key it, and nothing else is taken for one', () => {
	const typed = ['0710', '710', '7:10', '07.10', '7h10', '19 05', '7', '23', '0000', ' 915 '];
	expect(typed.map(readTimeOfDay)).toEqual([
		'07:10',
		'07:10',
		'07:10',
		'07:10',
		'07:10',
		'19:05',
		'07:00',
		'23:00',
		'00:00',
		'09:15',
	]);
	expect(['', '2460', '24', '760', '7:1', '12345', 'noon', '-7', '7:60'].map(readTimeOfDay)).toEqual(
		Array.from({ length: 9 }, () => null),
	);
});
