import { expect, test } from 'vitest';
import { smallFarm, testBooks } from './test-books.ts';

const SEASON = { from: '2025-10-01', to: '2026-09-30' };

test('the incident log tells the newest word on each incident, and how many still lack something', async () => {
	const { api } = testBooks();
	await api.settings.save({ key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const { suspensionId } = await smallFarm(api);
	const { id } = await api.fills.incident({ key: 'i', kind: 'spill', at: '2026-04-15T07:20', by: 'A. Marsh' });
	const said = {
		productId: suspensionId,
		amount: 0.75,
		wentTo: 'the tray',
		done: 'back into the tank',
		told: 'J. Wren',
	};
	await api.fills.completeIncident({ key: 'ii', id, by: 'A. Marsh', ...said });
	await api.fills.incident({ key: 'iii', kind: 'leak', at: '2026-04-16T09:00', mixL: 40, by: 'A. Marsh' });
	await api.fills.incident({ key: 'iv', kind: 'leak', at: '2026-11-16T09:00', by: 'A. Marsh' });
	const report = await api.season.read({ report: 'incident log', ...SEASON });
	expect(report.rows).toEqual([
		{
			date: '2026-04-15',
			at: '2026-04-15T07:20:00+02:00',
			kind: 'spill',
			job: null,
			load: null,
			product: 'Suspension',
			amount: 0.75,
			unit: 'L',
			mixL: null,
			wentTo: 'the tray',
			done: 'back into the tank',
			told: 'J. Wren',
			who: 'A. Marsh',
			withdrawn: null,
		},
		expect.objectContaining({ date: '2026-04-16', kind: 'leak', mixL: 40, told: null }),
	]);
	expect(report.notes[0]).toBe('1 of 2 lacks where it went, what was done or who was told.');
	expect((await api.fills.incidents({ from: '2026-04-16', to: '2026-04-16' })).map(({ kind }) => kind)).toEqual([
		'leak',
	]);
	const [spill] = await api.store.movements({ productId: suspensionId });
	expect(spill).toMatchObject({ kind: 'spill', amount: -0.75 });
	await api.fills.withdrawIncident({ key: 'w', id, why: 'it was another farm', by: 'J. Wren' });
	const after = await api.season.read({ report: 'incident log', ...SEASON });
	expect(after.rows.map(({ withdrawn }) => withdrawn)).toEqual(['withdrawn: it was another farm', null]);
	expect(after.notes.slice(0, 2)).toEqual([
		'1 of 1 lacks where it went, what was done or who was told.',
		'1 struck through: entered wrongly and withdrawn, with what they posted to the store taken back.',
	]);
});

test('the report on recommendations tells what each job made of it, and a load sprayed too late', async () => {
	const { api } = testBooks();
	const { fieldId, suspensionId, sprayerId } = await smallFarm(api);
	const given = {
		adviser: 'C. Reed',
		givenOn: '2026-04-10',
		validUntil: '2026-04-20',
		fieldIds: [fieldId],
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	};
	const { id: recommendationId } = await api.recommendations.add({ key: 'r', ...given });
	await api.recommendations.add({ key: 'unused', ...given, adviser: 'M. Fairley' });
	await api.recommendations.add({ key: 'later', ...given, givenOn: '2026-11-10', validUntil: '2026-11-20' });
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		name: 'Wheat',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId, areaHa: 10 }],
		products: [{ productId: suspensionId, dosePerHa: 1.5 }],
		date: '2026-04-19',
		recommendationId,
	});
	const day = { startedAt: '2026-04-22T07:00:00Z', finishedAt: '2026-04-22T08:00:00Z', operator: 'A. Marsh' };
	await api.jobs.logLoad({ key: 'log', jobId, load: 1, ...day });
	const report = await api.season.read({ report: 'recommendations', ...SEASON });
	expect(report.rows.map(({ adviser, job, deviations }) => [adviser, job, deviations])).toEqual([
		[
			'C. Reed',
			'Wheat',
			'Suspension: 1.5 L/ha instead of 1 (+50 %). Sprayed on 22 April 2026, when it no longer held.',
		],
		['M. Fairley', null, null],
	]);
});
