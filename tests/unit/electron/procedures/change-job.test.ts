import { expect, test } from 'vitest';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const AT = { startedAt: '2026-04-15T07:00:00Z', finishedAt: '2026-04-15T08:00:00Z', operator: 'A. Marsh' };

/** 40 ha at 150 L/ha from a 4,000 L tank: loads of 4,000 and 2,000 L. */
async function twoLoads(api: Api) {
	const farm = await smallFarm(api);
	const plan = {
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 150,
		fields: [{ fieldId: farm.fieldId }],
		products: [{ productId: farm.suspensionId, dosePerHa: 1.2 }],
		strategy: 'full' as const,
		date: '2026-04-15',
	};
	const { id } = await api.jobs.add({ key: 'job', ...plan });
	return { ...farm, plan, id };
}

const litres = (job: { plan: { loads: readonly { load: number; totalL: number; carriedInL: number }[] } }) =>
	job.plan.loads.map(({ load, totalL, carriedInL }) => [load, totalL, carriedInL]);

test('a plan of which nothing is logged is changed; the one before stays in its history', async () => {
	const { api } = testBooks();
	const { id, plan, fieldId, granuleId } = await twoLoads(api);
	const changed = await api.jobs.change({
		key: 'change',
		id,
		version: 1,
		...plan,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId, areaHa: 30 }],
		products: [{ productId: granuleId, dosePerHa: 0.5 }],
		date: '2026-04-17',
		why: 'other weeds',
		by: 'J. Wren',
	});
	expect(litres(changed)).toEqual([[1, 3000, 0]]);
	expect([changed.date, changed.version, changed.fields[0]?.areaHa]).toEqual(['2026-04-17', 2, 30]);
	expect(changed.products.map(({ name, dosePerHa }) => [name, dosePerHa])).toEqual([['Granule', 0.5]]);
	const [before] = await api.jobs.earlierPlans({ id });
	expect({ ...before, loads: before?.loads.length, replacedAt: '' }).toEqual({
		version: 1,
		replacedAt: '',
		by: 'J. Wren',
		why: 'other weeds',
		date: '2026-04-15',
		sprayVolumeLPerHa: 150,
		fields: [{ field: 'Long Piece', areaHa: 40 }],
		products: [{ product: 'Suspension', unit: 'L', dosePerHa: 1.2 }],
		loads: 2,
	});
});

test('a job that someone changed meanwhile, or of which a load is logged, is not changed', async () => {
	const { api } = testBooks();
	const { id, plan } = await twoLoads(api);
	await api.jobs.change({ key: 'first', id, version: 1, ...plan, sprayVolumeLPerHa: 160 });
	const stale = await refusal(api.jobs.change({ key: 'second', id, version: 1, ...plan, sprayVolumeLPerHa: 170 }));
	expect(stale.code).toBe('row.changed');
	expect((await api.jobs.get({ id })).sprayVolumeLPerHa).toBe(160);
	await api.jobs.logLoad({ key: 'log', jobId: id, load: 1, ...AT });
	const begun = await refusal(api.jobs.change({ key: 'third', id, version: 2, ...plan }));
	expect(begun.code).toBe('job.begun');
});

test('the rest is planned again for another day; the logged load keeps its number, its ground and its records', async () => {
	const { api } = testBooks();
	const { id, fieldId } = await twoLoads(api);
	await api.jobs.logLoad({ key: 'log', jobId: id, load: 1, ...AT });
	const rest = { id, fields: [{ fieldId, areaHa: 12 }], date: '2026-04-18' };
	const preview = await api.jobs.previewRest(rest);
	expect(preview.loads.map(({ totalL }) => totalL)).toEqual([1800]);
	const job = await api.jobs.replan({ key: 'replan', version: 1, ...rest, why: 'rain; 12 ha to go by the counter' });
	expect(litres(job)).toEqual([
		[1, 4000, 0],
		[2, 1800, 0],
	]);
	expect([job.date, job.state, job.plan.startsAt]).toEqual(['2026-04-18', 'in progress', 2]);
	expect(job.fields[0]?.areaHa).toBeCloseTo(4000 / 150 + 12, 6);
	expect(job.plan.totals.areaHa).toBeCloseTo(4000 / 150 + 12, 6);
	expect(job.plan.end?.expectedL).toBe(0);
	await api.jobs.logLoad({ key: 'log 2', jobId: id, load: 2, ...AT });
	expect((await api.jobs.get({ id })).state).toBe('done');
	const records = await api.records.list({});
	expect(records.map(({ load, amount }) => [load, amount])).toEqual([
		[1, 32],
		[2, 14.4],
	]);
});

test('ran short: a top-up load is planned after the last one', async () => {
	const { api } = testBooks();
	const { id, fieldId } = await twoLoads(api);
	for (const load of [1, 2]) await api.jobs.logLoad({ key: `log ${load}`, jobId: id, load, ...AT });
	const job = await api.jobs.replan({
		key: 'top-up',
		id,
		version: 1,
		fields: [{ fieldId, areaHa: 0.6 }],
		why: 'ran out with 0.6 ha to go',
	});
	expect(litres(job).at(-1)).toEqual([3, 90, 0]);
	expect(job.plan.loads.at(-1)?.products[0]?.amount).toBe(0.72);
	expect(job.state).toBe('in progress');
});

test('mix of a load that was broken off is carried into the next at the same dose, and stands on its records', async () => {
	const { api } = testBooks();
	const { id, fieldId } = await twoLoads(api);
	await api.jobs.logLoad({
		key: 'log',
		jobId: id,
		load: 1,
		...AT,
		actual: { fields: [{ fieldId, areaHa: 20 }] },
		stopped: { why: 'rain', mixLeftL: 1000, mix: 'kept' },
	});
	const rest = { id, fields: [{ fieldId, areaHa: 20 }], leftInTankL: 1000, carryFrom: 1 };
	const job = await api.jobs.replan({ key: 'replan', version: 1, ...rest, why: 'rain' });
	// 20 ha × 150 L/ha = 3,000 L, of which 1,000 L stand in the tank: 2,000 L new mix with 16 L of the suspension.
	expect(litres(job)).toEqual([
		[1, 4000, 0],
		[2, 3000, 1000],
	]);
	const [first, second] = job.plan.loads;
	expect([first?.areaHa, second?.newMixL, second?.products[0]?.amount]).toEqual([20, 2000, 16]);
	expect(job.logs[0]?.stopped).toEqual({ why: 'rain', mixLeftL: 1000, mix: 'carried on' });
	expect(job.plan.carried).toEqual([{ from: 1, into: 2 }]);
	expect((await refusal(api.jobs.logLoad({ key: 'again', jobId: id, load: 1, ...AT }))).code).toBe(
		'load.alreadyLogged',
	);
	const logged = await api.jobs.logLoad({ key: 'log 2', jobId: id, load: 2, ...AT });
	expect(logged.drawn.map(({ amount }) => amount)).toEqual([16]);
	// 24 L and 24 L on 20 ha each: the 8 L in the carried mix stand on the ground they went onto.
	const records = await api.records.list({});
	expect(records.map(({ load, amount, dosePerHa }) => [load, amount, dosePerHa])).toEqual([
		[1, 24, 1.2],
		[2, 24, 1.2],
	]);
	expect((await api.jobs.get({ id })).state).toBe('done');
});

test('a load that is all carried-in mix has nothing to fill, and its card says no problem', async () => {
	const { api } = testBooks();
	const { id, fieldId } = await twoLoads(api);
	await api.jobs.logLoad({
		...{ key: 'log', jobId: id, load: 1, ...AT },
		actual: { fields: [{ fieldId, areaHa: 2 }] },
		stopped: { why: 'rain', mixLeftL: 3700, mix: 'kept' },
	});
	const rest = { id, fields: [{ fieldId, areaHa: 38 }], leftInTankL: 3700, carryFrom: 1, strategy: 'even' as const };
	const job = await api.jobs.replan({ key: 'replan', version: 1, ...rest, why: 'rain' });
	expect(job.plan.loads.map(({ load, carriedInL, newMixL }) => [load, carriedInL, newMixL])).toEqual([
		[1, 0, 4000],
		[2, 3700, 0],
		[3, 0, 2000],
	]);
	const card = await api.jobs.card({ jobId: id, load: 2 });
	expect([card.fill, card.fillProblem]).toEqual([null, null]);
	expect((await api.jobs.card({ jobId: id, load: 3 })).fill).not.toBeNull();
});

test('mix that nobody kept is not carried on, and mix that is enough needs no new load', async () => {
	const { api } = testBooks();
	const { id, fieldId } = await twoLoads(api);
	const rest = { id, version: 1, fields: [{ fieldId, areaHa: 20 }], why: 'rain' };
	expect((await refusal(api.jobs.replan({ key: 'none', ...rest, carryFrom: 1 }))).code).toBe('load.noMixKept');
	const enough = await refusal(api.jobs.replan({ key: 'enough', ...rest, leftInTankL: 3000 }));
	expect(enough.code).toBe('job.nothingToMix');
});
