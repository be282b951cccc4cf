import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { RecordFile } from '../../../../shared/contract/records-file.ts';
import { scratchFolder } from '../scratch.ts';
import { wholeFarm } from './machines-farm.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

const OPERATOR = 'A. Marsh';
const times = { startedAt: '2026-10-20T07:00:00Z', finishedAt: '2026-10-20T08:00:00Z', operator: OPERATOR };
const slurry = { value: 800, unit: 'mL/100 kg' as const };

/** 4 t of wheat in batches of 1.5 t, 0.2 L of dressing and 0.8 L of slurry to 100 kg. */
async function toTreat(api: Api) {
	const { treaterId, dressingId } = await wholeFarm(api);
	return {
		dressingId,
		wish: {
			kind: 'seed treatment' as const,
			sprayerId: treaterId,
			seed: { amount: 4000, unit: 'kg' as const, crop: 'Winter wheat', eppoCode: 'TRZAW', lot: '26-4', slurry },
			fields: [],
			products: [{ productId: dressingId, dosePer100Kg: 0.2 }],
			strategy: 'full' as const,
			date: '2026-10-20',
		},
	};
}

test('the water of a slurry is planned, on the card, measured in the yard, logged, recorded and filed', async () => {
	const { api } = testBooks();
	const { wish } = await toTreat(api);
	const { id: jobId, loads } = await api.jobs.add({ key: 's', ...wish });
	expect(loads.map(({ seed, slurryL, waterL, totalL }) => [seed, slurryL, waterL, totalL])).toEqual([
		[1500, 12, 9, 0],
		[1500, 12, 9, 0],
		[1000, 8, 6, 0],
	]);
	const job = await api.jobs.get({ id: jobId });
	expect([job.plan.totals.waterL, job.plan.totals.mixL, job.seed?.slurry]).toEqual([24, 0, slurry]);
	const card = await api.jobs.card({ jobId, load: 1 });
	expect([card.plan.waterL, card.seed?.slurry]).toEqual([9, slurry]);
	const of = { jobId, load: 1 };
	const sheet = await api.fills.sheet(of);
	expect(sheet.portions?.map(({ product, size, unit }) => [product, size, unit])).toEqual([
		['Water', 9, 'L'],
		['Dressing', 3, 'L'],
	]);
	const at = '2026-10-20T06:00:00Z';
	await api.fills.step({ key: 'f0', ...of, at, what: 'begun' });
	for (const container of [1, 2]) {
		await api.fills.step({ key: `f${container}`, ...of, at, what: 'container done', container });
	}
	expect(await api.fills.log({ key: 'fl', ...of, operator: OPERATOR, at })).toMatchObject({
		meteredL: 9,
		containers: 1,
	});
	await api.jobs.logLoad({ key: 'l1', jobId, load: 1, ...times, actual: { meteredL: 9.4 } });
	await api.jobs.logLoad({ key: 'l2', jobId, load: 2, ...times });
	const records = await api.records.list({ jobId });
	expect(records.map(({ load, seed }) => [load, seed?.waterL]).sort()).toEqual([
		[1, 9.4],
		[2, 9],
	]);
	const diary = await api.season.read({ report: 'spray diary', from: '2026-10-01', to: '2026-10-31' });
	expect(diary.rows.map(({ seed }) => seed).sort()).toEqual(['1500 kg, 9 L of water', '1500 kg, 9.4 L of water']);
	const path = join(scratchFolder(), 'records.json');
	await api.season.recordFile({ from: '2026-10-01', to: '2026-10-31', path });
	const filed = JSON.parse(readFileSync(path, 'utf8')) as RecordFile;
	expect(filed.records.map(({ treatedSeed }) => treatedSeed?.water?.value).sort()).toEqual([9, 9.4]);
});

test('a batch that was broken off has had its share of the water, the rest is planned anew', async () => {
	const { api } = testBooks();
	const { wish } = await toTreat(api);
	const { id } = await api.jobs.add({ key: 's', ...wish });
	await api.jobs.logLoad({
		key: 'l1',
		jobId: id,
		load: 1,
		...times,
		actual: { seed: 500 },
		stopped: { why: 'breakdown' },
	});
	const again = await api.jobs.replan({
		key: 'r',
		id,
		version: 1,
		seed: 3500,
		carryFrom: 1,
		strategy: 'full',
		why: 'b',
	});
	expect(again.plan.loads.map(({ load, seed, slurryL, waterL }) => [load, seed, slurryL, waterL])).toEqual([
		[1, 500, 4, 3],
		[2, 1500, 12, 9],
		[3, 1500, 12, 9],
		[4, 500, 4, 3],
	]);
	expect(again.plan.totals.waterL).toBe(24);
	const [record] = await api.records.list({ jobId: id });
	expect(record?.seed).toMatchObject({ amount: 500, waterL: 3 });
});

test('a slurry too small for its products is refused by name, one said to units of seed too', async () => {
	const { api } = testBooks();
	const { wish } = await toTreat(api);
	const preview = (said: object) =>
		api.jobs.preview({ ...wish, seed: { ...wish.seed, slurry: said as typeof slurry } });
	expect(await refusal(preview({ value: 150, unit: 'mL/100 kg' }))).toMatchObject({
		code: 'seed.slurryTooSmall',
		details: { path: 'seed.slurry', slurryL: 0.15, productL: 0.2 },
	});
	expect((await refusal(preview({ value: 90, unit: 'mL/unit' }))).details).toMatchObject({ path: 'seed.slurry.unit' });
	const unusual = await preview({ value: 800, unit: 'L/100 kg' });
	expect(unusual.warnings.map(({ code }) => code)).toEqual(['seed.slurryUnusual']);
});

test('a recipe and the last job bring the slurry volume along', async () => {
	const { api } = testBooks();
	const { wish, dressingId } = await toTreat(api);
	await api.jobs.add({ key: 's', ...wish });
	const mix = {
		kind: 'seed treatment' as const,
		seedUnit: 'kg' as const,
		products: [{ productId: dressingId, dosePer100Kg: 0.2 }],
	};
	await api.recipes.save({ key: 'r', name: 'Wheat', ...mix, slurry });
	const { recipes, lastJobs } = await api.recipes.list({});
	expect([recipes[0]?.slurry, lastJobs[0]?.slurry]).toEqual([slurry, slurry]);
	const wrong = api.recipes.save({ key: 'w', name: 'X', ...mix, slurry: { value: 9, unit: 'mL/unit' } });
	expect((await refusal(wrong)).details).toMatchObject({ path: 'slurry.unit' });
});

test('several products go into a slurry as their labels say, else as entered, and the card says that it is so', async () => {
	const { api } = testBooks();
	const { wish, dressingId } = await toTreat(api);
	const add = async (product: { name: string; before?: string[]; after?: string[] }) =>
		(await api.products.add({ formulation: 'FS', unit: 'L', packSizes: [5], ...product })).id;
	const dye = await add({ name: 'Dye' });
	const { name: dressing = '' } = (await api.products.list({})).find(({ id }) => id === dressingId) ?? {};
	const sticker = await add({ name: 'Sticker', before: ['Dye'] });
	const dose = 0.05;
	const products = [
		{ productId: dye, dosePer100Kg: dose },
		{ productId: dressingId, dosePer100Kg: 0.2 },
	];
	const plain = await api.jobs.add({ key: 'p', ...wish, products });
	const asEntered = await api.jobs.card({ jobId: plain.id, load: 1 });
	expect(asEntered.order.map(({ name, why, source }) => [name, why, source])).toEqual([
		['Dye', '', ''],
		[dressing, '', ''],
	]);
	expect(asEntered.cautions[0]).toContain('as entered');
	const by = await api.jobs.add({
		key: 's',
		...wish,
		products: [...products, { productId: sticker, dosePer100Kg: dose }],
	});
	const byLabel = await api.jobs.card({ jobId: by.id, load: 1 });
	expect(byLabel.order.map(({ name, why, source }) => [name, why, source])).toEqual([
		['Sticker', 'Its label says before Dye.', 'label'],
		['Dye', '', ''],
		[dressing, '', ''],
	]);
	const { portions } = await api.fills.sheet({ jobId: by.id, load: 1 });
	expect([...new Set(portions?.map(({ product }) => product))]).toEqual(['Water', 'Sticker', 'Dye', dressing]);
	await api.products.update({ key: 'c', id: dye, version: 1, before: ['Sticker'] });
	expect((await api.jobs.card({ jobId: by.id, load: 1 })).orderProblem).toContain('Sticker before Dye');
});
