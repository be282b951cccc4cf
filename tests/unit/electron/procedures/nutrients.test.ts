import { expect, test } from 'vitest';
import { addDays } from '../../../../shared/basics/calendar.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const N = [{ nutrient: 'N' as const, content: 30, contentUnit: 'kg/100 L' as const }];
/** Two days before now, in the middle of a season whatever the day of the year is. */
const today = new Date().toISOString().slice(0, 10);
const [FIRST, SECOND] = [addDays(today, -3), addDays(today, -2)];
const midYear = { key: 's', seasonStartMonth: ((Number(today.slice(5, 7)) + 5) % 12) + 1 };
const PERIOD = { from: addDays(today, -200), to: addDays(today, 100) };
const LIMIT = { nutrient: 'N' as const, maxKgPerHa: 100, source: 'our plan' };

/** The small farm with a fertiliser of 30 kg N in 100 L, 40 m³ of it in the store. */
async function farmWithFertiliser(api: Api) {
	await api.settings.save(midYear);
	const farm = await smallFarm(api);
	const fertiliser = { name: 'Solution', formulation: 'SL', unit: 'L' as const, packSizes: [1000] };
	const { id } = await api.products.add({ ...fertiliser, kind: 'liquid fertiliser', nutrients: N });
	await api.store.receive({ key: 'in-n', productId: id, packSize: 1000, packs: 40, date: addDays(today, -90) });
	return { ...farm, fertiliserId: id };
}

type Farm = Awaited<ReturnType<typeof farmWithFertiliser>>;

function dressing({ fieldId, fertiliserId, sprayerId }: Farm, date: string, areaHa: number) {
	return {
		...{ fields: [{ fieldId, areaHa }], products: [{ productId: fertiliserId, dosePerHa: 200 }] },
		...{ sprayerId, kind: 'neat liquid' as const, date },
	};
}

async function spread(api: Api, farm: Farm, date: string, areaHa = 40) {
	const { id } = await api.jobs.add({ key: `add ${date}`, ...dressing(farm, date, areaHa) });
	for (const { load } of (await api.jobs.get({ id })).plan.loads) {
		const times = { startedAt: `${date}T08:0${load}:00`, finishedAt: `${date}T08:0${load}:30` };
		await api.jobs.logLoad({ key: `log ${date} ${load}`, jobId: id, load, operator: 'Ada', ...times });
	}
	return id;
}

test('nitrogen stands on the plan, the record, the field and the reports', async () => {
	const { api } = testBooks();
	const farm = await farmWithFertiliser(api);
	const { totals } = await api.jobs.preview(dressing(farm, FIRST, 40));
	expect(totals.nutrients).toEqual([{ nutrient: 'N', kgPerHa: 60 }]);
	const id = await spread(api, farm, FIRST);
	expect((await api.jobs.card({ jobId: id, load: 1 })).nutrients).toEqual([{ nutrient: 'N', kgPerHa: 60 }]);
	const lines = await api.records.list({});
	expect(lines.map(({ nutrients }) => nutrients)).toEqual(lines.map(() => [{ nutrient: 'N', kgPerHa: 60 }]));
	await api.limits.setNutrient({ key: 'l', fieldIds: [farm.fieldId], ...LIMIT });
	const given = await api.limits.nutrients({ fieldId: farm.fieldId });
	expect(given.given).toEqual([{ nutrient: 'N', kg: 2400, kgPerHa: 60 }]);
	expect(given.planned).toEqual([]);
	const ahead = await api.jobs.add({
		key: 'ahead',
		...dressing(farm, SECOND, 20),
		products: [{ productId: farm.fertiliserId, dosePerHa: 100 }],
	});
	expect((await api.limits.nutrients({ fieldId: farm.fieldId })).planned).toEqual([{ nutrient: 'N', kgPerHa: 30 }]);
	await api.jobs.remove({ key: 'w', id: ahead.id, why: 'too wet' });
	expect(given.limits).toMatchObject([{ maxKgPerHa: 100, usedKgPerHa: 60, source: 'our plan', per: 'season' }]);
	const report = await api.season.read({ report: 'nutrients by field', ...PERIOD });
	expect(report.rows).toMatchObject([{ field: 'Long Piece', kg: 2400, kgPerHa: 60, share: 60, max: 100, left: 40 }]);
	expect(report.notes[0]).toBe('In all 2,400 kg N in this period.');
	const used = await api.season.read({ report: 'limits used', ...PERIOD });
	expect(used.rows).toMatchObject([{ limit: 'nitrogen', share: 60, unit: 'kg N/ha' }]);
	const diary = await api.season.read({ report: 'spray diary', ...PERIOD });
	expect(diary.rows[0]).toMatchObject({ nutrients: '60 kg N/ha' });
});

test('a limit of the field stops a plan, from memory it warns, and what happened stands in the review', async () => {
	const { api } = testBooks();
	const farm = await farmWithFertiliser(api);
	await spread(api, farm, FIRST);
	const { fieldId } = farm;
	await api.limits.setNutrient({ key: 'l1', fieldIds: [fieldId], ...LIMIT });
	const second = dressing(farm, SECOND, 40);
	expect((await refusal(api.jobs.add({ key: 'a', ...second }))).code).toBe('job.blocked');
	const part = await api.jobs.preview(dressing(farm, SECOND, 10));
	expect(part.limits.find(({ kind }) => kind === 'nutrient')).toMatchObject({ verdict: 'block', value: 120 });
	await api.limits.setNutrient({ key: 'l2', fieldIds: [fieldId], ...LIMIT, fromMemory: true });
	const { limits } = await api.jobs.preview(second);
	expect(limits.find(({ kind }) => kind === 'nutrient')).toMatchObject({
		verdict: 'warn',
		value: 120,
		source: 'set for the field: our plan',
	});
	await api.jobs.add({ key: 'b', ...second, overrideWhy: 'yield is high' });
	const [inForce] = (await api.limits.nutrients({ fieldId })).limits;
	if (!inForce) throw new Error('a limit is in force');
	await api.limits.endNutrient({ key: 'e', id: inForce.id });
	expect((await api.limits.nutrients({ fieldId })).limits).toEqual([]);
	expect((await refusal(api.limits.endNutrient({ key: 'f', id: inForce.id }))).code).toBe('not.found');
});

test('the review of a season finds what went over', async () => {
	const { api } = testBooks();
	const farm = await farmWithFertiliser(api);
	await spread(api, farm, FIRST);
	await spread(api, farm, SECOND);
	await api.limits.setNutrient({ key: 'l', fieldIds: [farm.fieldId], ...LIMIT });
	const review = await api.season.read({ report: 'limit review', ...PERIOD });
	expect(review.rows).toMatchObject([{ date: SECOND, kind: 'nutrient of the field', value: '120 kg N/ha' }]);
});

test('a fertiliser without contents leaves the sum unknown, a plain product does not', async () => {
	const { api } = testBooks();
	const farm = await farmWithFertiliser(api);
	await api.limits.setNutrient({ key: 'l', fieldIds: [farm.fieldId], ...LIMIT });
	const [solution] = (await api.products.list({})).filter(({ id }) => id === farm.fertiliserId);
	if (!solution) throw new Error('the fertiliser is on the books');
	await api.products.update({ key: 'u', id: solution.id, version: solution.version, nutrients: [] });
	const check = (productId: string) =>
		api.limits.check({
			...{ fields: [{ fieldId: farm.fieldId }], products: [{ productId, dosePerHa: 1 }], date: SECOND },
		});
	const verdicts = async (productId: string) =>
		(await check(productId)).filter(({ kind }) => kind === 'nutrient').map(({ verdict }) => verdict);
	expect([await verdicts(solution.id), await verdicts(farm.suspensionId)]).toEqual([['unknown'], []]);
});

test('contents that contradict themselves and fields that are not farmed are refused', async () => {
	const { api } = testBooks();
	const { fieldId } = await smallFarm(api);
	const product = { name: 'S', formulation: 'SL', unit: 'L' as const, packSizes: [1] };
	const twice = [...N, ...N];
	expect((await refusal(api.products.add({ ...product, nutrients: twice }))).code).toBe('input.invalid');
	const wanted = { key: 'l', fieldIds: [fieldId, 'nobody'], ...LIMIT };
	expect((await refusal(api.limits.setNutrient(wanted))).code).toBe('not.found');
	expect((await api.limits.nutrients({ fieldId })).limits).toEqual([]);
	expect((await refusal(api.limits.nutrients({ fieldId: 'nobody' }))).code).toBe('not.found');
});
