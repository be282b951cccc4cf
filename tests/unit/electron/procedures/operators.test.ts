import { expect, test } from 'vitest';
import { addDays } from '../../../../shared/basics/calendar.ts';
import { refusal, testBooks } from './test-books.ts';

const today = () => new Date().toISOString().slice(0, 10);

test('an operator is listed once, changed against the version read, and taken off', async () => {
	const { api } = testBooks();
	const { id } = await api.settings.addOperator({ key: 'a', name: 'A. Marsh', certificateNo: 'SP-1' });
	expect((await refusal(api.settings.addOperator({ key: 'b', name: 'a. marsh' }))).code).toBe('operator.listed');
	const next = { id, name: 'A. Marsh', certificateNo: 'SP-2', certificateUntil: '2199-05-01' };
	expect(await api.settings.updateOperator({ key: 'c', version: 1, ...next })).toEqual({ ...next, version: 2 });
	expect((await refusal(api.settings.updateOperator({ key: 'd', version: 1, ...next }))).code).toBe('row.changed');
	await api.settings.removeOperator({ key: 'e', id, version: 2 });
	expect(await api.settings.operators({})).toEqual([]);
	expect((await refusal(api.settings.removeOperator({ key: 'f', id, version: 3 }))).code).toBe('not.found');
});

test('a certificate and a sprayer test are reminded of 60 days before, pressing from 30 on', async () => {
	const { api } = testBooks();
	const until = (days: number) => addDays(today(), days);
	await api.settings.addOperator({ key: 'a', name: 'A. Marsh', certificateUntil: until(45) });
	await api.settings.addOperator({ key: 'b', name: 'B. Reed', certificateUntil: until(90) });
	await api.sprayers.add({ name: 'Trailed', capacityL: 3000, testDueOn: until(-3) });
	expect((await api.settings.reminders({})).map(({ what, of, days, urgent }) => [what, of, days, urgent])).toEqual([
		['sprayer test', 'Trailed', -3, true],
		['certificate', 'A. Marsh', 45, false],
	]);
});
