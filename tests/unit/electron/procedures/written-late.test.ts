import { expect, test } from 'vitest';
import { addDays } from '../../../../shared/basics/calendar.ts';
import { DATE, logWhole, sprayed } from './sprayed-job.ts';
import { testBooks } from './test-books.ts';

test('the diary says how many records were written after the time of the rule set, where one gives a time', async () => {
	const { api } = testBooks();
	const { plan } = await sprayed(api);
	const today = new Date().toISOString().slice(0, 10);
	const { id } = await api.jobs.add({ key: 'now', ...plan, date: addDays(today, -1) });
	const now = { load: 1, startedAt: `${addDays(today, -1)}T07:00`, finishedAt: `${addDays(today, -1)}T09:00` };
	await api.jobs.logLoad({ key: 'in time', jobId: id, ...now, operator: 'A. Marsh' });
	const notes = async () =>
		(await api.season.read({ report: 'spray diary', from: DATE, to: today })).notes.filter((note) =>
			note.includes('written later'),
		);
	await api.settings.save({ key: 'eu', ruleSet: 'eu-2023-564' });
	expect(await notes()).toEqual([
		'2 records were written later than 30 days after the use (Implementing Regulation (EU) 2023/564, Art. 3: in electronic form; a Member State may set a shorter time).',
	]);
	await api.settings.save({ key: 'uk', ruleSet: 'uk-code' });
	expect(await notes()).toEqual([]);
});

test('one record holds, two records hold: notes count in words that agree', async () => {
	const { api } = testBooks();
	const { jobId, longId, plan } = await sprayed(api, { log: false });
	const notes = async (report: string) => (await api.season.read({ report, from: DATE, to: DATE })).notes;
	const { id } = await api.jobs.add({ key: 'one', ...plan, fields: [{ fieldId: longId }] });
	await logWhole(api, id, 'first');
	expect(await notes('spray diary')).toContain('1 record holds planned amounts that nobody confirmed.');
	expect(await notes('job sheet')).toContain('1 record line holds planned amounts that nobody confirmed.');
	await logWhole(api, jobId, 'second');
	expect(await notes('spray diary')).toContain('3 records hold planned amounts that nobody confirmed.');
	await api.jobs.reverseLoad({ key: 'back', jobId: id, load: 1, why: 'twice', by: 'A. Marsh' });
	expect(await notes('spray diary')).toContain('1 record of this period was taken back and is not listed.');
});
