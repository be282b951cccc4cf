import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { RecordFile } from '../../../../shared/contract/records-file.ts';
import { reportNames } from '../../../../shared/contract/season.ts';
import { scratchFolder } from '../scratch.ts';
import { onHand, wholeFarm } from './machines-farm.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

const OPERATOR = 'A. Marsh';
const by = 'J. Wren';
const times = { startedAt: '2026-05-04T07:00:00Z', finishedAt: '2026-05-04T08:00:00Z', operator: OPERATOR };

describe('granules', () => {
	test('are planned as hopper fills, logged, recorded, drawn, held against the ground and taken back', async () => {
		const { api } = testBooks();
		const { fieldId, applicatorId, pelletsId } = await wholeFarm(api);
		const wish = {
			kind: 'granules' as const,
			sprayerId: applicatorId,
			fields: [{ fieldId, areaHa: 31 }],
			products: [{ productId: pelletsId, dosePerHa: 5 }],
			date: '2026-05-04',
		};
		const job = await api.jobs.add({ key: 'g', ...wish });
		expect(
			job.loads.map(({ hopperKg, totalL, waterL, measuredPours }) => [hopperKg, totalL, waterL, measuredPours]),
		).toEqual([
			[60, 0, 0, 0],
			[40, 0, 0, 0],
			[55, 0, 0, 1],
		]);
		expect(job.loads.map(({ ground }) => ground[0]?.areaHa)).toEqual([12, 8, 11]);
		expect(job.warnings).toEqual([]);
		const card = await api.jobs.card({ jobId: job.id, load: 1 });
		expect([card.fill, card.fillProblem, card.orderProblem, card.order[0]?.dose]).toEqual([
			null,
			null,
			null,
			{ value: 5, unit: 'kg/ha' },
		]);
		expect(card.cautions.join(' ')).toContain('Pick up spilled granules');
		for (const load of [1, 2, 3]) await api.jobs.logLoad({ key: `log-${load}`, jobId: job.id, load, ...times });
		expect(await onHand(api, pelletsId)).toBe(240 - 155);
		const records = await api.records.list({ jobId: job.id });
		expect(
			records.map(({ kind, useType, treatedHa, amount, dosePerHa, sprayVolumeLPerHa }) => [
				kind,
				useType,
				treatedHa,
				amount,
				dosePerHa,
				sprayVolumeLPerHa,
			]),
		).toContainEqual(['granules', 'treatment of surfaces', 12, 60, 5, null]);
		const before = await api.limits.check({
			fields: [{ fieldId, areaHa: 40 }],
			products: [{ productId: pelletsId, dosePerHa: 8 }],
			date: '2026-05-20',
		});
		expect(before.find(({ kind }) => kind === 'singleDose')?.verdict).toBe('block');
		const season = await api.season.reconcile({ from: '2026-03-01', to: '2026-06-30' });
		const balance = season.products.find(({ productId }) => productId === pelletsId);
		expect([balance?.ground, balance?.tank]).toEqual([155, 155]);
		expect(season.jobs.find(({ jobId }) => jobId === job.id)?.say).toContain('no mix');
		await api.jobs.reverseLoad({ key: 'back', jobId: job.id, load: 3, why: 'not done', by });
		expect(await onHand(api, pelletsId)).toBe(240 - 100);
		await api.jobs.logLoad({ key: 'log-3b', jobId: job.id, load: 3, ...times });
		const closed = await api.jobs.close({ key: 'c', id: job.id, sprayedHa: 30.6 });
		expect([closed.state, closed.kind]).toEqual(['closed', 'granules']);
	});

	test('want an applicator, one product and a solid by the kilogram', async () => {
		const { api } = testBooks();
		const { fieldId, sprayerId, applicatorId, pelletsId, suspensionId, granuleId } = await wholeFarm(api);
		const wish = { kind: 'granules' as const, fields: [{ fieldId }], date: '2026-05-04' };
		const one = { productId: pelletsId, dosePerHa: 5 };
		const preview = (over: object) => api.jobs.preview({ ...wish, sprayerId: applicatorId, products: [one], ...over });
		expect(await refusal(preview({ sprayerId }))).toMatchObject({
			code: 'job.wrongMachine',
			details: { needed: 'granule applicator', machine: 'Trailed', is: 'sprayer' },
		});
		const two = [one, { productId: granuleId, dosePerHa: 1 }];
		expect((await refusal(preview({ products: two }))).code).toBe('job.oneProduct');
		const liquid = [{ productId: suspensionId, dosePerHa: 1 }];
		expect((await refusal(preview({ products: liquid }))).code).toBe('job.notSpread');
		expect((await refusal(preview({ fields: [] }))).details).toMatchObject({ path: 'fields' });
		const seeded = [{ productId: pelletsId, dosePer100Kg: 5 }];
		expect((await refusal(preview({ products: seeded }))).code).toBe('load.doseUnclear');
		const dispersible = await preview({ products: [{ productId: granuleId, dosePerHa: 1 }] });
		expect(dispersible.warnings.map(({ code }) => code)).toEqual(['product.notGranule']);
		const bare = api.sprayers.add({ name: 'B', kind: 'granule applicator' });
		expect((await refusal(bare)).details).toMatchObject({ path: 'hopperKg' });
	});
});

describe('liquid fertiliser', () => {
	test('from the store fills the tank: metered, drawn, recorded, with an order of its own', async () => {
		const { api } = testBooks();
		const { fieldId, sprayerId, suspensionId, granuleId, nitrogenId } = await wholeFarm(api);
		const job = await api.jobs.add({
			key: 'f',
			kind: 'spray in liquid fertiliser',
			sprayerId,
			sprayVolumeLPerHa: 200,
			carrier: { productId: nitrogenId },
			fields: [{ fieldId, areaHa: 15 }],
			products: [
				{ productId: suspensionId, dosePerHa: 2 },
				{ productId: granuleId, dosePerHa: 1 },
			],
			date: '2026-05-04',
		});
		const [load] = job.loads;
		expect([job.loads.length, load?.totalL, load?.waterL, load?.carrierL, load?.displacementL]).toEqual([
			1, 3000, 0, 2959.5, 40.5,
		]);
		expect(load?.products.map(({ name, amount }) => [name, amount])).toEqual([
			['Suspension', 30],
			['Granule', 15],
			['Nitrogen 28', 2959.5],
		]);
		const { plan } = await api.jobs.get({ id: job.id });
		expect(plan.carrier).toMatchObject({ name: 'Nitrogen 28', litres: 2959.5, lPerHa: 197.3 });
		expect(Number(plan.carrier?.sprayVolumeAsWaterLPerHa.toFixed(1))).toBe(225.9);
		const card = await api.jobs.card({ jobId: job.id, load: 1 });
		expect(card.order.map(({ name }) => name)).toEqual(['Granule', 'Suspension']);
		expect(card.order[0]?.why).toContain('slurry with plain water');
		expect(card.fill?.meterStops.at(-1)?.atMeterL).toBe(2960);
		expect(card.cautions.join(' ')).toContain('jar test');
		await api.jobs.logLoad({ key: 'l', jobId: job.id, load: 1, ...times, actual: { meteredL: 2950 } });
		expect(await onHand(api, nitrogenId)).toBe(10_000 - 2950);
		const records = await api.records.list({ jobId: job.id });
		expect(records.map(({ product, carrier }) => [product, carrier]).sort()).toEqual([
			['Granule', 'Nitrogen 28'],
			['Nitrogen 28', 'Nitrogen 28'],
			['Suspension', 'Nitrogen 28'],
		]);
		const fertiliser = records.find(({ product }) => product === 'Nitrogen 28');
		expect(fertiliser?.missing).not.toContain('authorisation number');
		await api.jobs.reverseLoad({ key: 'r', jobId: job.id, load: 1, why: 'wrong', by });
		expect(await onHand(api, nitrogenId)).toBe(10_000);
		await api.season.reconcile({ from: '2026-03-01', to: '2026-06-30' });
	});

	test('as bulk is only noted, with water to make up the volume', async () => {
		const { api } = testBooks();
		const { fieldId, sprayerId, suspensionId } = await wholeFarm(api);
		const wish = {
			kind: 'spray in liquid fertiliser' as const,
			sprayerId,
			sprayVolumeLPerHa: 200,
			fields: [{ fieldId, areaHa: 15 }],
			products: [{ productId: suspensionId, dosePerHa: 2 }],
			date: '2026-05-04',
		};
		const bulk = { name: 'Bulk nitrogen', densityKgPerL: 1.28, lPerHa: 100 };
		const plan = await api.jobs.preview({ ...wish, carrier: bulk });
		expect(plan.loads.map(({ carrierL, waterL, products }) => [carrierL, waterL, products.length])).toEqual([
			[1500, 1470, 1],
		]);
		expect(plan.carrier).toMatchObject({ productId: null, kg: 1920 });
		// What may be short is made up with fertiliser and water as the loads are.
		const { topUp } = plan.end ?? {};
		const shortHa = plan.end?.shortHa ?? 0;
		expect(shortHa).toBeGreaterThan(0);
		expect(topUp?.carrier).toEqual({ name: 'Bulk nitrogen', litres: expect.closeTo(shortHa * 100, 6) });
		expect((topUp?.waterL ?? 0) / shortHa).toBeCloseTo(98, 0);
		const all = await api.jobs.preview({ ...wish, carrier: { name: 'Bulk nitrogen', densityKgPerL: 1.28 } });
		expect([all.end?.topUp?.waterL, (all.end?.topUp?.carrier?.litres ?? 0) / shortHa]).toEqual([
			0,
			expect.closeTo(198, 0),
		]);
		const metered = await api.jobs.add({ key: 'bulk', ...wish, carrier: bulk });
		await api.jobs.logLoad({ key: 'b1', jobId: metered.id, load: 1, ...times, actual: { meteredL: 1520 } });
		expect((await api.jobs.get({ id: metered.id })).plan.end?.expectedL).toBe(20);
		expect((await refusal(api.jobs.preview({ ...wish, carrier: { ...bulk, lPerHa: 199 } }))).code).toBe(
			'load.noRoomForCarrier',
		);
		const lacking = async (carrier?: object) =>
			(await refusal(api.jobs.preview({ ...wish, ...(carrier ? { carrier } : {}) }))).details;
		expect([await lacking(), await lacking({ densityKgPerL: 1.2 }), await lacking({ name: 'Bulk' })]).toMatchObject([
			{ path: 'carrier' },
			{ path: 'carrier.name' },
			{ path: 'carrier.densityKgPerL' },
		]);
	});

	test('neat: tank loads of the product alone', async () => {
		const { api } = testBooks();
		const { fieldId, sprayerId, nitrogenId } = await wholeFarm(api);
		const job = await api.jobs.add({
			key: 'n',
			kind: 'neat liquid',
			sprayerId,
			fields: [{ fieldId, areaHa: 30 }],
			products: [{ productId: nitrogenId, dosePerHa: 200 }],
			strategy: 'full',
			date: '2026-05-04',
		});
		expect(job.loads.map(({ totalL, waterL, products }) => [totalL, waterL, products[0]?.amount])).toEqual([
			[4000, 0, 4000],
			[2000, 0, 2000],
		]);
		expect((await api.jobs.get({ id: job.id })).sprayVolumeLPerHa).toBe(200);
		expect((await api.jobs.card({ jobId: job.id, load: 1 })).fill).toBe(null);
		await api.jobs.logLoad({ key: 'n1', jobId: job.id, load: 1, ...times });
		expect(await onHand(api, nitrogenId)).toBe(6000);
		expect((await api.season.reconcile({ from: '2026-03-01', to: '2026-06-30' })).jobs.length).toBe(1);
	});
});

describe('seed', () => {
	async function treated(api: Api) {
		const farm = await wholeFarm(api);
		const { id: otherId } = await api.fields.add({ name: 'Mill Bank', mappedHa: 12, measuredHa: 12 });
		for (const id of [farm.fieldId, otherId]) {
			await api.fields.setCrop({ key: `crop-${id}`, id, season: 2027, crop: 'Winter wheat', eppoCode: 'TRZAW' });
		}
		const wish = {
			kind: 'seed treatment' as const,
			sprayerId: farm.treaterId,
			seed: { amount: 4000, unit: 'kg' as const, crop: 'Winter wheat', eppoCode: 'TRZAW', lot: '26-4' },
			fields: [],
			products: [{ productId: farm.dressingId, dosePer100Kg: 0.2 }],
			date: '2026-10-20',
		};
		return { ...farm, otherId, wish };
	}
	const seedTimes = { startedAt: '2026-10-20T07:00:00Z', finishedAt: '2026-10-20T08:00:00Z', operator: OPERATOR };

	test('is treated in batches, recorded as seed without ground, and counts where it is sown', async () => {
		const { api } = testBooks();
		const { fieldId, otherId, dressingId, wish } = await treated(api);
		const job = await api.jobs.add({ key: 's', ...wish });
		expect(job.loads.map(({ seed, areaHa, products }) => [seed, areaHa, products[0]?.amount]).at(0)).toEqual([
			1500, 0, 3,
		]);
		expect(job.loads.reduce((sum, { seed }) => sum + (seed ?? 0), 0)).toBe(4000);
		expect([job.warnings, job.limits]).toEqual([[], []]);
		for (const { load } of job.loads) await api.jobs.logLoad({ key: `l${load}`, jobId: job.id, load, ...seedTimes });
		expect(await onHand(api, dressingId)).toBe(22);
		const [first] = await api.records.list({ jobId: job.id });
		expect(first).toMatchObject({
			fieldId: null,
			field: 'seed, lot 26-4',
			treatedHa: 0,
			useType: 'seed or plant reproductive material',
			dosePerHa: null,
			crop: 'Winter wheat',
			eppoCode: 'TRZAW',
			seed: { unit: 'kg', lot: '26-4', dose: 0.2 },
			missing: ['authorisation number'],
		});
		const toSow = { jobId: job.id, date: '2026-10-25', by };
		const sown = await api.jobs.sow({ key: 'w1', ...toSow, fields: [{ fieldId, areaHa: 10, seed: 1800 }] });
		expect(sown.findings).toEqual([]);
		// 0.2 L/100 kg × 180 kg/ha = 0.36 L/ha of 25 g/L: 9 g/ha; 12 are allowed.
		const more = await api.jobs.sow({ key: 'w2', ...toSow, fields: [{ fieldId: otherId, areaHa: 5, seed: 2000 }] });
		expect(more.findings.map(({ kind, verdict, field, value }) => [kind, verdict, field, value])).toEqual([
			['activeSubstance', 'block', 'Mill Bank', 20],
		]);
		const check = await api.limits.check({
			fields: [{ fieldId, areaHa: 40 }],
			products: [{ productId: dressingId, dosePerHa: 0.2 }],
			date: '2026-11-20',
		});
		const substance = check.find(({ kind }) => kind === 'activeSubstance');
		expect(substance).toMatchObject({ value: 14, records: sown.sowingIds });
		const autumn = { from: '2026-10-01', to: '2026-10-31' };
		const review = await api.season.read({ report: 'limit review', ...autumn });
		expect(review.rows.map(({ verdict, date, field, product, kind }) => [verdict, date, field, product, kind])).toEqual(
			[['exceeded', '2026-10-25', 'Mill Bank', 'Dressing', 'active substance in all']],
		);
		const used = await api.season.read({ report: 'limits used', from: '2026-10-01', to: '2026-12-31' });
		expect(used.rows.map(({ field, used }) => [field, used])).toEqual([
			['Long Piece', 9],
			['Mill Bank', 20],
		]);
		const { sowings, fields, state, products } = await api.jobs.get({ id: job.id });
		expect([state, sowings.length, fields, products[0]?.dose, products[0]?.dosePerHa]).toEqual([
			'done',
			2,
			[],
			{ value: 0.2, unit: 'L/100 kg' },
			null,
		]);
		const over = api.jobs.sow({ key: 'w3', ...toSow, fields: [{ fieldId, areaHa: 5, seed: 201 }] });
		expect(await refusal(over)).toEqual({
			code: 'seed.moreThanTreated',
			details: { sown: 201, left: 200, unit: 'kg' },
		});
		const back = { jobId: job.id, load: 1, why: 'w', by };
		expect((await refusal(api.jobs.reverseLoad({ key: 'b', ...back }))).code).toBe('job.seedSown');
		for (const { id: sowingId } of sowings)
			await api.jobs.unsow({ key: sowingId, jobId: job.id, sowingId, why: 'w', by });
		expect((await api.jobs.get({ id: job.id })).sowings).toEqual([]);
		await api.jobs.reverseLoad({ key: 'b', ...back });
		expect(await onHand(api, dressingId)).toBe(25);
		const season = await api.season.reconcile({ from: '2026-03-01', to: '2026-12-31' });
		const balance = season.products.find(({ productId }) => productId === dressingId);
		expect([balance?.ground, balance?.tank]).toEqual([5, 5]);
	});

	test('planned for its fields it is held against their limits; alone against the label', async () => {
		const { api } = testBooks();
		const { fieldId, dressingId, treaterId, fieldId: id, suspensionId, wish } = await treated(api);
		const sownThere = { ...wish, fields: [{ fieldId, areaHa: 10 }] };
		expect(
			(await api.jobs.preview(sownThere)).limits.map(({ kind, verdict, value }) => [kind, verdict, value]),
		).toEqual([['activeSubstance', 'block', 20]]);
		const strong = [{ productId: dressingId, dosePer100Kg: 0.3 }];
		const doses = await api.jobs.preview({ ...sownThere, fields: [{ fieldId, areaHa: 40 }], products: strong });
		expect(doses.limits.map(({ kind, verdict, value, unit }) => [kind, verdict, value, unit])).toEqual([
			['singleDose', 'block', 0.3, 'L/100 kg'],
		]);
		const barley = { ...wish.seed, crop: 'Winter barley', eppoCode: 'HORVW' };
		const alone = await api.jobs.preview({ ...wish, seed: barley, products: strong });
		expect(alone.warnings.map(({ code }) => code)).toEqual(['seed.doseAboveLabel', 'seed.cropNotOnLabel']);
		const spray = await api.jobs.preview({ ...wish, products: [{ productId: suspensionId, dosePer100Kg: 0.1 }] });
		expect(spray.warnings.map(({ code }) => code)).toEqual(['product.notForSeed']);
		const units = { amount: 30, unit: 'unit' as const, crop: 'Sugar beet' };
		const beet = await api.jobs.preview({
			...wish,
			seed: units,
			products: [{ productId: suspensionId, dosePerUnit: 0.06 }],
		});
		expect(beet.loads.map(({ seed, products }) => [seed, products[0]?.amount])).toEqual([[30, 1.8]]);
		const { seed: _, ...bare } = wish;
		expect((await refusal(api.jobs.preview({ ...bare, sprayerId: treaterId }))).details).toMatchObject({
			path: 'seed',
		});
		const job = await api.jobs.add({ key: 'spray', ...wish });
		const broken = { jobId: job.id, load: 1, ...seedTimes, stopped: { why: 'breakdown' } };
		expect((await refusal(api.jobs.logLoad({ key: 'x', ...broken }))).details).toMatchObject({ path: 'actual.seed' });
		await api.jobs.logLoad({
			key: 'y',
			...broken,
			actual: { seed: 500, products: [{ productId: dressingId, amount: 1 }] },
		});
		await api.jobs.logLoad({ key: 'z', jobId: job.id, load: 1, ...seedTimes });
		const records = await api.records.list({ jobId: job.id });
		expect(records.map(({ seed, amount }) => [seed?.amount, amount]).sort()).toEqual([
			[1000, 2],
			[500, 1],
		]);
		const noSeed = await api.jobs.add({
			key: 'plain',
			sprayerId: (await api.sprayers.list({})).find(({ kind }) => kind === 'sprayer')?.id ?? '',
			sprayVolumeLPerHa: 100,
			fields: [{ fieldId: id, areaHa: 1 }],
			products: [{ productId: suspensionId, dosePerHa: 1 }],
		});
		const sowNone = api.jobs.sow({
			key: 'n',
			jobId: noSeed.id,
			date: '2026-10-25',
			by,
			fields: [{ fieldId, seed: 1 }],
		});
		expect((await refusal(sowNone)).code).toBe('job.noSeed');
	});

	test('stands in the record file with its quantity, and in every report without ground', async () => {
		const { api } = testBooks();
		const { wish } = await treated(api);
		const job = await api.jobs.add({ key: 's', ...wish });
		for (const { load } of job.loads) await api.jobs.logLoad({ key: `l${load}`, jobId: job.id, load, ...seedTimes });
		const path = join(scratchFolder(), 'records.json');
		await api.season.recordFile({ from: '2026-10-01', to: '2026-10-31', path });
		const file = JSON.parse(readFileSync(path, 'utf8')) as RecordFile;
		expect(file.records[0]).toMatchObject({
			useType: 'seed or plant reproductive material',
			dose: { value: 0.2, unit: 'L/100 kg' },
			treatedArea: null,
			treatedSeed: { unit: 'kg', lot: '26-4' },
			location: { field: 'seed, lot 26-4', code: null, point: null },
			sprayVolume: null,
			crop: { name: 'Winter wheat', eppoCode: 'TRZAW' },
		});
		for (const report of reportNames) {
			const made = await api.season.read({ report, from: '2026-10-01', to: '2026-10-31' });
			expect(JSON.stringify(made.rows), report).not.toMatch(/Infinity|NaN/);
		}
		const totals = await api.season.read({ report: 'product totals', from: '2026-10-01', to: '2026-10-31' });
		expect(totals.rows).toMatchObject([{ product: 'Dressing', amount: 8, onSeed: 8, treatedHa: null, meanDose: null }]);
	});
});

test('a change to a machine or a product keeps what it leaves out', async () => {
	const { api } = testBooks();
	const { sprayerId, applicatorId, pelletsId } = await wholeFarm(api);
	const one = async (id: string) => (await api.sprayers.list({})).find((row) => row.id === id);
	const before = await one(sprayerId);
	const set = await api.sprayers.update({ key: 'u1', id: sprayerId, version: before?.version ?? 0, openAndPourS: 25 });
	await api.sprayers.update({ key: 'u2', id: sprayerId, version: set.version, name: 'Trailed 4000' });
	expect(await one(sprayerId)).toEqual({ ...before, name: 'Trailed 4000', openAndPourS: 25, version: 3 });
	await api.sprayers.update({ key: 'u3', id: applicatorId, version: 1, hopperKg: 90 });
	expect(await one(applicatorId)).toMatchObject({ kind: 'granule applicator', hopperKg: 90, capacityL: 0 });
	await api.products.update({ key: 'u4', id: pelletsId, version: 1, storage: 'dry' });
	const pellets = (await api.products.list({})).find(({ id }) => id === pelletsId);
	expect([pellets?.limits.length, pellets?.storage]).toEqual([1, 'dry']);
});

test('recipes and the last jobs are starting points for every kind', async () => {
	const { api } = testBooks();
	const { fieldId, applicatorId, treaterId, sprayerId, pelletsId, dressingId, suspensionId, nitrogenId } =
		await wholeFarm(api);
	const carrier = { productId: nitrogenId, lPerHa: 100 };
	const onSeed = [{ productId: dressingId, dosePer100Kg: 0.2 }];
	const spread = [{ productId: pelletsId, dosePerHa: 5 }];
	const mixes = [
		{ name: 'A pellets', kind: 'granules' as const, products: spread },
		{ name: 'B seed', kind: 'seed treatment' as const, seedUnit: 'kg' as const, products: onSeed },
		{
			name: 'C in nitrogen',
			kind: 'spray in liquid fertiliser' as const,
			sprayVolumeLPerHa: 200,
			carrier,
			products: [{ productId: suspensionId, dosePerHa: 2 }],
		},
		{ name: 'D neat', kind: 'neat liquid' as const, products: [{ productId: nitrogenId, dosePerHa: 200 }] },
	];
	for (const mix of mixes) await api.recipes.save({ key: mix.name, ...mix });
	const fields = [{ fieldId, areaHa: 10 }];
	await api.jobs.add({ key: 'g', kind: 'granules', sprayerId: applicatorId, fields, products: spread });
	const seed = { amount: 100, unit: 'kg' as const, crop: 'Winter wheat', eppoCode: 'TRZAW' };
	await api.jobs.add({ key: 's', kind: 'seed treatment', sprayerId: treaterId, seed, fields: [], products: onSeed });
	const [, , inNitrogen] = mixes;
	if (inNitrogen?.kind === 'spray in liquid fertiliser') {
		const { name: _, ...wish } = inNitrogen;
		await api.jobs.add({ key: 'n', ...wish, sprayerId, fields });
	}
	const { recipes, lastJobs } = await api.recipes.list({});
	expect(
		recipes.map(({ name, kind, sprayVolumeLPerHa, carrier: by, seedUnit, products }) => [
			name,
			kind,
			sprayVolumeLPerHa,
			by,
			seedUnit,
			products.map(({ dose }) => dose),
		]),
	).toEqual([
		['A pellets', 'granules', 0, null, null, [{ value: 5, unit: 'kg/ha' }]],
		['B seed', 'seed treatment', 0, null, 'kg', [{ value: 0.2, unit: 'L/100 kg' }]],
		['C in nitrogen', 'spray in liquid fertiliser', 200, carrier, null, [{ value: 2, unit: 'L/ha' }]],
		['D neat', 'neat liquid', 0, null, null, [{ value: 200, unit: 'L/ha' }]],
	]);
	expect(
		new Map(lastJobs.map(({ kind, carrier: by, seedUnit, products }) => [kind, [by, seedUnit, products.length]])),
	).toEqual(
		new Map<string, unknown>([
			['granules', [null, null, 1]],
			['seed treatment', [null, 'kg', 1]],
			['spray in liquid fertiliser', [{ ...carrier, densityKgPerL: 1.28 }, null, 1]],
		]),
	);
	const lacking = async (mix: object) =>
		(await refusal(api.recipes.save({ key: JSON.stringify(mix), name: 'X', products: spread, ...mix }))).details;
	expect([
		await lacking({}),
		await lacking({ kind: 'granules', sprayVolumeLPerHa: 100 }),
		await lacking({ kind: 'spray in liquid fertiliser', sprayVolumeLPerHa: 100 }),
		await lacking({ kind: 'seed treatment' }),
		await lacking({ kind: 'granules', seedUnit: 'kg' }),
	]).toMatchObject([
		{ path: 'sprayVolumeLPerHa' },
		{ path: 'sprayVolumeLPerHa' },
		{ path: 'carrier' },
		{ path: 'seedUnit' },
		{ path: 'seedUnit' },
	]);
});

test('a recommendation is followed by seed treatment too: the product counts, its dose once the ground is known', async () => {
	const { api } = testBooks();
	const { fieldId, treaterId, dressingId } = await wholeFarm(api);
	const { id: recommendationId } = await api.recommendations.add({
		key: 'r',
		adviser: 'C. Reed',
		givenOn: '2026-10-01',
		validUntil: '2026-10-31',
		fieldIds: [fieldId],
		products: [{ productId: dressingId, dosePerHa: 0.4 }],
	});
	const wish = {
		kind: 'seed treatment' as const,
		sprayerId: treaterId,
		seed: { amount: 4000, unit: 'kg' as const, crop: 'Winter wheat', eppoCode: 'TRZAW' },
		products: [{ productId: dressingId, dosePer100Kg: 0.2 }],
		date: '2026-10-20',
		recommendationId,
	};
	expect((await api.jobs.preview({ ...wish, fields: [] })).deviations).toEqual([]);
	const sown = await api.jobs.preview({ ...wish, fields: [{ fieldId, areaHa: 40 }] });
	expect(sown.deviations?.map(({ say }) => say)).toEqual(['Dressing: 0.2 L/ha instead of 0.4 (−50 %).']);
	const job = await api.jobs.add({ key: 'j', ...wish, fields: [] });
	const { recommendationId: _, ...changed } = wish;
	await api.jobs.change({ key: 'c', id: job.id, version: 1, ...changed, fields: [{ fieldId, areaHa: 40 }] });
	expect((await api.recommendations.ofJob({ jobId: job.id }))?.deviations.map(({ kind }) => kind)).toEqual(['dose']);
});

test('a hopper is filled bag by bag: begun, counted, taken back, logged without a meter', async () => {
	const { api } = testBooks();
	const { fieldId, applicatorId, pelletsId, sprayerId, suspensionId } = await wholeFarm(api);
	const fields = [{ fieldId, areaHa: 10 }];
	const { id: jobId } = await api.jobs.add({
		key: 'g',
		kind: 'granules',
		sprayerId: applicatorId,
		fields,
		products: [{ productId: pelletsId, dosePerHa: 5 }],
	});
	const of = { jobId, load: 1 };
	const sheet = await api.fills.sheet(of);
	expect([sheet.given, sheet.portions?.map(({ product, size }) => [product, size])]).toEqual([
		null,
		[
			['Pellets', 20],
			['Pellets', 20],
			['Pellets', 10],
		],
	]);
	const at = (seconds: number) => new Date(Date.parse('2026-05-04T06:00:00Z') + seconds * 1000).toISOString();
	expect((await refusal(api.fills.log({ key: 'early', ...of, operator: OPERATOR }))).code).toBe('fill.notBegun');
	await api.fills.step({ key: 's0', ...of, at: at(0), what: 'begun' });
	const again = { ...of, at: at(1), what: 'begun' as const };
	expect((await refusal(api.fills.step({ key: 's1', ...again }))).code).toBe('fill.stepStands');
	for (const container of [1, 2, 3]) {
		await api.fills.step({ key: `c${container}`, ...of, at: at(60 * container), what: 'container done', container });
	}
	const none = { ...of, at: at(300), what: 'container done' as const, container: 4 };
	expect((await refusal(api.fills.step({ key: 'c4', ...none }))).code).toBe('fill.stepStands');
	const inlet = api.fills.step({ key: 'i', ...of, at: at(300), what: 'inlet opened' });
	expect((await refusal(inlet)).details).toMatchObject({ path: 'what', why: 'this fill has no inlet' });
	const logged = await api.fills.log({ key: 'log', ...of, operator: OPERATOR, at: at(400) });
	expect(logged).toMatchObject({ meteredL: 0, runningS: 0, containers: 3, handlingS: 120, stopsS: [] });

	const spray = await api.jobs.add({
		key: 'w',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields,
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	});
	const tank = { jobId: spray.id, load: 1 };
	expect((await refusal(api.fills.step({ key: 't', ...tank, at: at(0), what: 'begun' }))).details).toMatchObject({
		path: 'what',
	});
	await api.fills.step({ key: 't1', ...tank, at: at(0), what: 'inlet opened' });
	const noMeter = api.fills.log({ key: 't2', ...tank, operator: OPERATOR });
	expect((await refusal(noMeter)).details).toMatchObject({ path: 'meteredL' });
});
