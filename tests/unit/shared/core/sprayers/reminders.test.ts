import { expect, test } from 'vitest';
import { remindersOf } from '../../../../../shared/core/sprayers/reminders.ts';

const certificate = (due: string | null) => ({ what: 'certificate' as const, of: 'A. Marsh', due });
const told = (due: string | null) =>
	remindersOf([certificate(due)], '2027-01-01').map(({ urgent, say }) => [urgent, say]);

test('told from 60 days before, pressing from 30, and once it is over', () => {
	expect([told(null), told('2027-03-03')]).toEqual([[], []]);
	expect(told('2027-03-02')).toEqual([[false, 'Certificate of A. Marsh: runs out on 2 March 2027, in 60 days.']]);
	expect(told('2027-01-31')).toEqual([[true, 'Certificate of A. Marsh: runs out on 31 January 2027, in 30 days.']]);
	expect(told('2027-01-01')).toEqual([[true, 'Certificate of A. Marsh: runs out on 1 January 2027, today.']]);
	expect(told('2026-12-31')).toEqual([[true, 'Certificate of A. Marsh: ran out on 31 December 2026.']]);
});

test('the earliest comes first, whatever it is', () => {
	const test = { what: 'sprayer test' as const, of: 'Trailed', due: '2026-12-01' };
	expect(remindersOf([certificate('2027-01-20'), test], '2027-01-01').map(({ say }) => say)).toEqual([
		'Sprayer test of Trailed: was due on 1 December 2026 and is overdue.',
		'Certificate of A. Marsh: runs out on 20 January 2027, in 19 days.',
	]);
});
