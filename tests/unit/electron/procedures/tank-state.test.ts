import { expect, test } from 'vitest';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

/** A wheat weed killer sprayed on 15 April; beet grows on the second field. */
async function sprayed(api: Api) {
	await api.settings.save({ key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', seasonStartMonth: 10 });
	const farm = await smallFarm(api);
	const { id: beetId } = await api.fields.add({ name: 'Rookery', measuredHa: 5 });
	await api.fields.setCrop({ key: 'w', id: farm.fieldId, season: 2026, crop: 'Winter wheat', eppoCode: 'TRZAW' });
	await api.fields.setCrop({ key: 'b', id: beetId, season: 2026, crop: 'Sugar beet', eppoCode: 'BEAVA' });
	const weedKiller = await api.products.add({
		name: 'Weed killer',
		formulation: 'WG',
		unit: 'kg',
		packSizes: [1],
		actives: [{ substance: 'mesosulfuron-methyl', content: 30, contentUnit: 'g/kg', modeOfAction: 'HRAC 2' }],
		limits: [{ kind: 'crop', crops: ['TRZAW'] }],
	});
	const oil = await api.products.add({
		name: 'Oil',
		formulation: 'EC',
		unit: 'L',
		packSizes: [5],
		kind: 'oil adjuvant',
	});
	const products = [
		{ productId: weedKiller.id, dosePerHa: 0.3 },
		{ productId: oil.id, dosePerHa: 1 },
	];
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		name: 'Wheat, grass weeds',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId, areaHa: 10 }],
		products,
		date: '2026-04-15',
		overrideWhy: 'as the label allows',
	});
	await api.jobs.logLoad({
		key: 'log',
		jobId,
		load: 1,
		startedAt: '2026-04-15T07:00',
		finishedAt: '2026-04-15T08:00',
		operator: 'A. Marsh',
		allowShort: true,
	});
	const ask = (fieldId: string, part: object = {}) =>
		api.fills.carryOver({ sprayerId: farm.sprayerId, fieldIds: [fieldId], date: '2026-04-20', ...part });
	return { ...farm, beetId, jobId, products, ask };
}

test('before beet the weed killer of the last tank is named; on wheat, for its own job and for the same mix nothing is', async () => {
	const { api } = testBooks();
	const { ask, beetId, fieldId, jobId, products } = await sprayed(api);
	const answer = await ask(beetId);
	expect(answer.last).toMatchObject({ jobId, on: '2026-04-15', products: [{ name: 'Weed killer' }, { name: 'Oil' }] });
	expect([answer.rinsedOut, answer.notes]).toEqual([
		null,
		[
			{
				product: 'Weed killer',
				crops: ['Sugar beet'],
				herbicide: true,
				verdict: 'not on its label',
				say: 'Weed killer is not for Sugar beet by its label; a weed killer: a rest of it can mark or kill the crop.',
			},
		],
	]);
	expect((await ask(fieldId)).notes).toEqual([]);
	expect((await ask(beetId, { productIds: products.map(({ productId }) => productId) })).notes).toEqual([]);
	expect(await ask(beetId, { jobId })).toEqual({ last: null, rinsedOut: null, notes: [] });
});

test('a rinsing out after it is told with its factor; one before it is not', async () => {
	const { api } = testBooks();
	const { ask, beetId, sprayerId } = await sprayed(api);
	const rinse = (key: string, at: string) =>
		api.fills.rinseOut({
			key,
			sprayerId,
			at,
			residualL: 20,
			rinsesL: [100, 100, 100],
			washings: 'Long Piece',
			operator: 'A. Marsh',
		});
	await rinse('early', '2026-04-14T18:00');
	expect((await ask(beetId)).rinsedOut).toBeNull();
	await rinse('late', '2026-04-15T18:00');
	// Three times (20 + 100) ÷ 20.
	expect((await ask(beetId)).rinsedOut).toMatchObject({ factor: 216, washings: 'Long Piece', who: 'A. Marsh' });
});

test('the history of a sprayer says what had been in the tank before each cleaning', async () => {
	const { api } = testBooks();
	const { sprayerId, jobId } = await sprayed(api);
	await api.fills.cleanDown({ key: 'c', jobId, load: 1, tasks: ['hopper and bowl washed'], operator: 'A. Marsh' });
	const rinse = { sprayerId, residualL: 20, rinsesL: [100, 100], washings: 'Long Piece', operator: 'J. Wren' };
	await api.fills.rinseOut({ key: 'before', at: '2026-04-01T10:00', ...rinse });
	await api.fills.rinseOut({ key: 'after', at: '2026-04-15T18:00', ...rinse, note: 'with cleaner' });
	const all = await api.fills.cleanings({ sprayerId });
	expect(
		all.map(({ kind, who, tasks, factor, note, before }) => [kind, who, tasks, factor, note, before?.job ?? null]),
	).toEqual([
		['after filling', 'A. Marsh', ['hopper and bowl washed'], null, null, 'Wheat, grass weeds'],
		['sprayer rinsed out', 'J. Wren', [], 36, 'with cleaner', 'Wheat, grass weeds'],
		['sprayer rinsed out', 'J. Wren', [], 36, null, null],
	]);
	expect((await api.fills.cleanings({ from: '2026-04-10', to: '2026-04-20' })).length).toBe(1);
	expect(await api.fills.cleanings({ sprayerId: 'another' })).toEqual([]);
	const report = await api.season.read({ report: 'cleaning log', from: '2026-04-10', to: '2026-04-20' });
	expect(report.rows).toEqual([
		expect.objectContaining({
			date: '2026-04-15',
			before: 'Weed killer, Oil',
			waterL: 200,
			factor: 36,
			washings: 'Long Piece',
		}),
	]);
});

test('a sprayer nobody has is refused', async () => {
	const { api } = testBooks();
	expect((await refusal(api.fills.carryOver({ sprayerId: 'none', fieldIds: [] }))).code).toBe('not.found');
});
