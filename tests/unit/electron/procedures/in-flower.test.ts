import { expect, test } from 'vitest';
import { addDays } from '../../../../shared/basics/calendar.ts';
import { rinsed, sprayed, times } from './sprayed-job.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const DATE = addDays(new Date().toISOString().slice(0, 10), -3);
const PERIOD = { from: addDays(DATE, -30), to: addDays(DATE, 30) };
const NIGHT = { min: 20, max: 6 };

/** The small farm; the label of the suspension keeps off flowers. */
async function farmOffFlowers(api: Api, hours: { min?: number; max?: number } = {}) {
	const farm = await smallFarm(api);
	await api.store.receive({
		key: 'more',
		productId: farm.suspensionId,
		packSize: 5,
		packs: 40,
		date: addDays(DATE, -9),
	});
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === farm.suspensionId) ?? {};
	const limits = [{ kind: 'flowering' as const, ...hours }];
	await api.products.update({ key: 'limits', id: farm.suspensionId, version, limits });
	return farm;
}

function wanted({ fieldId, suspensionId, sprayerId }: Awaited<ReturnType<typeof smallFarm>>, growthStage = '32') {
	return {
		...{ sprayerId, sprayVolumeLPerHa: 100, date: DATE, growthStage, reason: 'blight' },
		...{ fields: [{ fieldId, areaHa: 10 }], products: [{ productId: suspensionId, dosePerHa: 1 }] },
	};
}

const verdictOf = (limits: readonly { kind: string; verdict: string }[]) =>
	limits.find(({ kind }) => kind === 'flowering')?.verdict;

async function log(api: Api, jobId: string, said: { flowering?: string; at?: string }) {
	const { at = '10:00', ...flowering } = said;
	const times = { startedAt: `${DATE}T${at}:00`, finishedAt: `${DATE}T${at}:30` };
	return api.jobs.logLoad({ key: `log ${jobId}`, jobId, load: 1, operator: 'Ada', ...times, ...flowering });
}

test('planning asks, and stops at the stages of flowering', async () => {
	const { api } = testBooks();
	const farm = await farmOffFlowers(api);
	expect(verdictOf((await api.jobs.preview(wanted(farm))).limits)).toBe('ask');
	expect((await refusal(api.jobs.add({ key: 'a', ...wanted(farm, '65') }))).code).toBe('job.blocked');
	const { id } = await api.jobs.add({ key: 'b', ...wanted(farm) });
	expect(verdictOf((await api.jobs.card({ jobId: id, load: 1 })).limits)).toBe('ask');
});

test('a plan at flowering goes on where the label gives hours for it', async () => {
	const { api } = testBooks();
	const farm = await farmOffFlowers(api, NIGHT);
	const { id } = await api.jobs.add({ key: 'a', ...wanted(farm, '65') });
	const { findings } = await log(api, id, { at: '21:00', flowering: 'crop' });
	expect(findings).toEqual([]);
	const review = await api.season.read({ report: 'limit review', ...PERIOD });
	expect(review.rows).toEqual([]);
});

test('the log, the record and the review of the season hold the answer against the label', async () => {
	const { api } = testBooks();
	await api.settings.save({ key: 'uk', ruleSet: 'uk-code' });
	const farm = await farmOffFlowers(api);
	const jobs = [];
	for (const key of ['nothing', 'weeds', 'silent']) jobs.push(await api.jobs.add({ key, ...wanted(farm) }));
	const [nothing, weeds, silent] = jobs.map(({ id }) => id) as [string, string, string];
	expect((await log(api, nothing, { flowering: 'nothing' })).findings).toEqual([]);
	expect(verdictOf((await log(api, weeds, { flowering: 'weeds' })).findings)).toBe('block');
	expect((await log(api, silent, {})).findings).toEqual([]);

	const record = async (jobId: string) => (await api.records.list({ jobId }))[0];
	expect((await record(weeds))?.findings).toEqual([
		'In flower: weeds. Use is not allowed where the crop or weeds are in flower.',
	]);
	const lacks = async (jobId: string) => (await record(jobId))?.missing.includes('in flower');
	expect([await lacks(nothing), await lacks(weeds), await lacks(silent)]).toEqual([false, false, true]);

	const review = async () =>
		(await api.season.read({ report: 'limit review', ...PERIOD })).rows.map(({ kind, verdict, value }) => [
			...[kind, verdict, value],
		]);
	expect(await review()).toEqual([
		['in flower', 'exceeded', 'weeds'],
		['in flower', 'to be answered', null],
	]);
	await api.records.complete({ key: 'c', jobId: silent, by: 'J. Wren', flowering: 'nothing' });
	expect(await review()).toEqual([['in flower', 'exceeded', 'weeds']]);
	expect(await lacks(silent)).toBe(false);
});

test('a load begun later in the day is held against the hours of the label too, each field by its own start', async () => {
	const { api } = testBooks();
	const farm = await farmOffFlowers(api, NIGHT);
	const { id: secondId } = await api.fields.add({ name: 'Mill Bank', measuredHa: 10 });
	const plan = wanted(farm);
	const { id: jobId } = await api.jobs.add({
		key: 'j',
		...plan,
		fields: [...plan.fields, { fieldId: secondId, areaHa: 10 }],
	});
	const at = (from: string, to: string) => ({ startedAt: `${DATE}T${from}:00`, finishedAt: `${DATE}T${to}:00` });
	const { findings } = await api.jobs.logLoad({
		...{ key: 'l', jobId, load: 1, operator: 'Ada', flowering: 'crop', ...at('05:00', '07:30') },
		actual: {
			fields: [
				{ fieldId: farm.fieldId, areaHa: 10, ...at('05:00', '05:50') },
				{ fieldId: secondId, areaHa: 10, ...at('06:40', '07:30') },
			],
		},
	});
	expect(findings.map(({ kind, field }) => [kind, field])).toEqual([['flowering', 'Mill Bank']]);
});

test('the review of the season looks at every load of a day', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === farm.suspensionId) ?? {};
	const limits = [{ kind: 'timeOfDay' as const, ...NIGHT }];
	await api.products.update({ key: 'limits', id: farm.suspensionId, version, limits });
	const plan = { ...wanted(farm), sprayVolumeLPerHa: 200, fields: [{ fieldId: farm.fieldId, areaHa: 30 }] };
	const { id: jobId, loads } = await api.jobs.add({ key: 'j', ...plan });
	for (const [index, hour] of ['05', '08'].entries()) {
		const times = { startedAt: `${DATE}T${hour}:00:00`, finishedAt: `${DATE}T${hour}:50:00` };
		await api.jobs.logLoad({ key: `l${index}`, jobId, load: index + 1, operator: 'Ada', ...times });
	}
	expect(loads.length).toBe(2);
	const review = await api.season.read({ report: 'limit review', ...PERIOD });
	expect(review.rows.map(({ kind, value }) => [kind, value])).toEqual([['time of day', '08:00']]);
});

test('washings are asked what is in flower where they go, as a load is', async () => {
	const { api } = testBooks();
	const { jobId, longId, productId } = await sprayed(api);
	const { version = 0, limits = [] } = (await api.products.list({})).find(({ id }) => id === productId) ?? {};
	await api.products.update({ key: 'limits', id: productId, version, limits: [...limits, { kind: 'flowering' }] });
	const fields = [{ fieldId: longId, areaHa: 0.5 }];
	const ahead = async (flowering?: string) => {
		const seen = flowering === undefined ? {} : { flowering };
		return verdictOf(
			(await api.jobs.washingsAhead({ jobId, ...rinsed, fields, startedAt: times.startedAt, ...seen })).findings,
		);
	};
	expect([await ahead(), await ahead('nothing'), await ahead('weeds')]).toEqual(['ask', undefined, 'block']);
	const logged = await api.jobs.logWashings({ key: 'w', jobId, ...rinsed, fields, ...times, flowering: 'weeds' });
	expect(verdictOf(logged.findings)).toBe('block');
	const own = (await api.records.list({ jobId })).find(({ washings }) => washings !== null);
	expect(own).toMatchObject({ flowering: 'weeds', findings: [expect.stringContaining('In flower: weeds')] });
	const review = await api.season.read({ report: 'limit review', from: '2026-01-01', to: '2026-12-31' });
	expect(review.rows.filter(({ kind }) => kind === 'in flower').map(({ field, value }) => [field, value])).toEqual([
		['Long Piece', 'weeds'],
		['Rookery', null],
	]);
});
