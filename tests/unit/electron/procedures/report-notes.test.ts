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

test('why the fields together are more than each hectare once is said where boundaries lie over each other', async () => {
	const { api } = testBooks();
	const { longId, rookeryId } = await sprayed(api);
	const notes = async () => {
		const read = (report: string) => api.season.read({ report, from: DATE, to: DATE });
		const reports = ['product totals', 'active substance totals', 'area statement'];
		const found = await Promise.all(reports.map(async (report) => (await read(report)).notes));
		return found.map((each) => each.some((note) => note.includes('2 fields lie over one another')));
	};
	const draw = async (id: string, west: number) => {
		const { field } = await api.fields.get({ id });
		const [east, south, north] = [west + 0.004, 52.1, 52.1022];
		const ring = [west, east, east, west, west].map((x, index) => [x, index < 2 || index === 4 ? south : north]);
		const geometry = { type: 'Polygon', coordinates: [ring] } as never;
		await api.fields.setBoundary({ key: `${id} ${west}`, id, version: field.version, geometry, source: 'drawn' });
	};
	await draw(longId, 0.1);
	await draw(rookeryId, 0.2);
	expect(await notes()).toEqual([false, false, false]);
	await draw(rookeryId, 0.103);
	expect(await notes()).toEqual([true, true, true]);
});
