import { expect, test } from 'vitest';
import { addDays, seasonOf } from '../../../../shared/basics/calendar.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

/** Three days before now, in the middle of a season whatever the day of the year is. */
const today = new Date().toISOString().slice(0, 10);
const TREATED = addDays(today, -3);
const seasonStartMonth = ((Number(today.slice(5, 7)) + 5) % 12) + 1;
const HARVEST = seasonOf(today, seasonStartMonth);
const PERIOD = { from: addDays(today, -30), to: today };
const LIMIT = { kind: 'followingCrop' as const, crops: ['oilseed rape'], min: 120 };

async function farmWithWait(api: Api) {
	await api.settings.save({ key: 's', seasonStartMonth });
	const farm = await smallFarm(api);
	await api.products.update({ key: 'l', id: farm.suspensionId, version: 1, limits: [LIMIT] });
	await api.fields.setCrop({ key: 'now', id: farm.fieldId, season: HARVEST, crop: 'Winter wheat', eppoCode: 'TRZAW' });
	const job = {
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId }],
		products: [{ productId: farm.suspensionId, dosePerHa: 1 }],
		date: TREATED,
	};
	const sowRape = (key: string, sownOn: string) =>
		api.fields.setCrop({ key, id: farm.fieldId, season: HARVEST + 1, crop: 'Winter oilseed rape', sownOn });
	return { ...farm, job, sowRape };
}

async function spray(api: Api, job: Awaited<ReturnType<typeof farmWithWait>>['job']) {
	const { id, loads } = await api.jobs.add({ key: 'job', ...job });
	const times = { startedAt: `${TREATED}T08:00:00Z`, finishedAt: `${TREATED}T09:00:00Z` };
	for (const { load } of loads)
		await api.jobs.logLoad({ key: `log ${load}`, jobId: id, load, operator: 'Ada', ...times });
	await api.jobs.close({ key: 'close', id });
}

/** Ground between two meridians, 445 m from south to north. */
function box(west: number, east: number) {
	const ring = [
		[west, 52],
		[east, 52],
		[east, 52.004],
		[west, 52.004],
		[west, 52],
	];
	return { type: 'Polygon' as const, coordinates: [ring] };
}

const nextCrop = async (api: Api) =>
	(await api.season.read({ report: 'limit review', ...PERIOD })).rows.filter(({ kind }) => kind === 'next crop');

test('the wait begins with the treatment, stands on its field, and a crop sown too early is told everywhere', async () => {
	const { api } = testBooks();
	const { fieldId, job, sowRape } = await farmWithWait(api);
	expect(await api.limits.following({ fieldId })).toEqual([]);
	expect((await api.jobs.preview(job)).toAnswer).toEqual([]);
	await spray(api, job);
	const [wait, ...others] = await api.limits.following({ fieldId });
	expect(others).toEqual([]);
	expect(wait).toEqual({
		...{ product: 'Suspension', treatedOn: TREATED, season: HARVEST, crops: ['oilseed rape'] },
		...{ from: addDays(TREATED, 120), source: 'label', fromMemory: false, tooEarly: null },
		say: expect.stringContaining('No oilseed rape is to be sown before'),
	});
	expect(await nextCrop(api)).toEqual([]);
	await sowRape('early', addDays(TREATED, 119));
	expect((await api.limits.following({ fieldId }))[0]?.tooEarly).toEqual({
		...{ crop: 'Winter oilseed rape', season: HARVEST + 1, sownOn: addDays(TREATED, 119) },
	});
	expect(await nextCrop(api)).toEqual([expect.objectContaining({ verdict: 'to be looked at', value: '119 days' })]);
	await sowRape('in time', addDays(TREATED, 120));
	expect((await api.limits.following({ fieldId }))[0]?.tooEarly).toBeNull();
	expect(await nextCrop(api)).toEqual([]);
});

test('a job on ground whose next crop would come too early asks for a reason', async () => {
	const { api } = testBooks();
	const { job, sowRape } = await farmWithWait(api);
	await sowRape('early', addDays(TREATED, 20));
	expect((await api.jobs.preview(job)).toAnswer).toEqual([
		{ from: 'limit', say: expect.stringContaining('sown 20 days later') },
	]);
	expect((await refusal(api.jobs.add({ key: 'bare', ...job }))).code).toBe('job.reasonNeeded');
});

test('a limit for another treated crop says nothing, nor does one whose days are over', async () => {
	const { api } = testBooks();
	const { fieldId, suspensionId, job } = await farmWithWait(api);
	await spray(api, job);
	await api.products.update({ key: 'b', id: suspensionId, version: 2, limits: [{ ...LIMIT, crop: 'HORVW' }] });
	expect(await api.limits.following({ fieldId })).toEqual([]);
	await api.products.update({ key: 'o', id: suspensionId, version: 3, limits: [{ ...LIMIT, min: 3 }] });
	expect(await api.limits.following({ fieldId })).toEqual([]);
	expect((await refusal(api.limits.following({ fieldId: 'nobody' }))).code).toBe('not.found');
});

test('a field that was split off keeps the wait of its ground', async () => {
	const { api } = testBooks();
	const { suspensionId, sprayerId } = await farmWithWait(api);
	const { id } = await api.fields.add({ name: 'Square', geometry: box(0.1, 0.11) });
	const { field } = await api.fields.get({ id });
	await spray(api, {
		...{ sprayerId, sprayVolumeLPerHa: 100, fields: [{ fieldId: id }], date: TREATED },
		products: [{ productId: suspensionId, dosePerHa: 0.5 }],
	});
	const parts = [
		{ name: 'West', geometry: box(0.1, 0.105) },
		{ name: 'East', geometry: box(0.105, 0.11) },
	];
	const { fields } = await api.fields.split({ key: 'split', id, version: field.version, parts });
	for (const half of fields) {
		expect((await api.limits.following({ fieldId: half.id })).map(({ product }) => product)).toEqual(['Suspension']);
	}
});
