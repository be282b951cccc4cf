import { describe, expect, test } from 'vitest';
import { onHand, wholeFarm } from './machines-farm.ts';
import { refusal, testBooks } from './test-books.ts';

const OPERATOR = 'A. Marsh';
const times = { startedAt: '2026-05-04T07:00:00Z', finishedAt: '2026-05-04T08:00:00Z', operator: OPERATOR };
const later = { startedAt: '2026-05-06T07:00:00Z', finishedAt: '2026-05-06T08:00:00Z', operator: OPERATOR };

describe('the rest of a job that was stopped is planned again', () => {
	test('granules: what is left in the hopper goes into the next fill', async () => {
		const { api } = testBooks();
		const { fieldId, applicatorId, pelletsId } = await wholeFarm(api);
		const job = await api.jobs.add({
			key: 'g',
			kind: 'granules',
			sprayerId: applicatorId,
			fields: [{ fieldId, areaHa: 31 }],
			products: [{ productId: pelletsId, dosePerHa: 5 }],
			strategy: 'full',
			date: '2026-05-04',
		});
		expect(job.loads.map(({ hopperKg }) => hopperKg)).toEqual([70, 70, 15]);
		await api.jobs.logLoad({
			key: 'l1',
			jobId: job.id,
			load: 1,
			...times,
			actual: { fields: [{ fieldId, areaHa: 10 }] },
			stopped: { why: 'rain' },
		});
		const rest = {
			id: job.id,
			fields: [{ fieldId, areaHa: 21 }],
			date: '2026-05-06',
			carryFrom: 1,
			leftInHopperKg: 20,
		};
		const preview = await api.jobs.previewRest({ ...rest, strategy: 'full' });
		expect(
			preview.loads.map(({ load, areaHa, hopperKg, inHopperKg, products }) => [
				load,
				areaHa,
				hopperKg,
				inHopperKg,
				products[0]?.amount,
			]),
		).toEqual([
			[2, 14, 70, 20, 50],
			[3, 7, 35, undefined, 35],
		]);
		const planned = await api.jobs.replan({ key: 'r', version: 1, ...rest, strategy: 'full', why: 'rain' });
		expect(planned.plan.totals.products[0]?.amount).toBe(155);
		expect([planned.date, planned.state, planned.plan.startsAt]).toEqual(['2026-05-06', 'in progress', 2]);
		for (const load of [2, 3]) await api.jobs.logLoad({ key: `n${load}`, jobId: job.id, load, ...later });
		expect(await onHand(api, pelletsId)).toBe(240 - 155);
		const records = await api.records.list({ jobId: job.id });
		expect(records.map(({ treatedHa, amount }) => [treatedHa, amount]).sort()).toEqual([
			[10, 50],
			[14, 70],
			[7, 35],
		]);
		const litres = await refusal(api.jobs.previewRest({ ...rest, leftInTankL: 20 }));
		expect([litres.code, litres.details]).toMatchObject(['load.noMixKept', { load: 1 }]);
	});

	test('liquid fertiliser as the carrier: the mix left is carried on, water and fertiliser follow', async () => {
		const { api } = testBooks();
		const { fieldId, sprayerId, nitrogenId, suspensionId } = await wholeFarm(api);
		const wish = {
			kind: 'spray in liquid fertiliser' as const,
			sprayerId,
			sprayVolumeLPerHa: 200,
			fields: [{ fieldId, areaHa: 30 }],
			products: [{ productId: suspensionId, dosePerHa: 2 }],
			strategy: 'full' as const,
			date: '2026-05-04',
		};
		const stop = { ...times, actual: { fields: [{ fieldId, areaHa: 15 }] }, stopped: { why: 'rain', mixLeftL: 1000 } };
		const job = await api.jobs.add({ key: 's', ...wish, carrier: { productId: nitrogenId } });
		expect(job.loads.map(({ totalL }) => totalL)).toEqual([4000, 2000]);
		await api.jobs.logLoad({ key: 'l1', jobId: job.id, load: 1, ...stop });
		const rest = {
			fields: [{ fieldId, areaHa: 15 }],
			date: '2026-05-06',
			carryFrom: 1,
			leftInTankL: 1000,
			why: 'rain',
		};
		const again = await api.jobs.replan({ key: 'r', id: job.id, version: 1, ...rest });
		const load = again.plan.loads.find((each) => each.load === 2);
		expect([load?.totalL, load?.carriedInL, load?.newMixL, load?.carrierL, load?.waterL]).toEqual([
			3000, 1000, 2000, 1980, 0,
		]);
		expect(again.plan.carrier?.litres).toBe(3960 + 1980);
		await api.jobs.logLoad({ key: 'l2', jobId: job.id, load: 2, ...later });
		const records = await api.records.list({ jobId: job.id });
		expect(records.reduce((sum, { product, amount }) => sum + (product === 'Nitrogen 28' ? amount : 0), 0)).toBe(5940);
		expect(again.products.map(({ name }) => name)).toEqual(['Suspension', 'Nitrogen 28']);

		const carrier = { name: 'Bulk nitrogen', densityKgPerL: 1.28, lPerHa: 100 };
		const bulk = await api.jobs.add({ key: 'b', ...wish, carrier });
		await api.jobs.logLoad({ key: 'b1', jobId: bulk.id, load: 1, ...stop, allowShort: true });
		const { plan } = await api.jobs.replan({ key: 'br', id: bulk.id, version: 1, ...rest });
		expect(plan.loads.map(({ carrierL, waterL }) => [carrierL, waterL])).toEqual([
			[2000, 1960],
			[1000, 980],
		]);
		expect(plan.carrier).toMatchObject({ name: 'Bulk nitrogen', lPerHa: 100, litres: 3000, kg: 3840 });
	});

	test('seed: the batch broken off is over with what was treated, the rest is split anew', async () => {
		const { api } = testBooks();
		const { fieldId, treaterId, dressingId } = await wholeFarm(api);
		await api.fields.setCrop({ key: 'crop', id: fieldId, season: 2026, crop: 'Winter wheat', eppoCode: 'TRZAW' });
		const job = await api.jobs.add({
			key: 's',
			kind: 'seed treatment',
			sprayerId: treaterId,
			seed: { amount: 4000, unit: 'kg', crop: 'Winter wheat', eppoCode: 'TRZAW' },
			fields: [{ fieldId, areaHa: 40 }],
			products: [{ productId: dressingId, dosePer100Kg: 0.2 }],
			strategy: 'full',
			date: '2026-05-04',
		});
		expect(job.loads.map(({ seed }) => seed)).toEqual([1500, 1500, 1000]);
		// What is not said follows the seed: 0.2 L/100 kg × 600 kg.
		const broken = {
			key: 'l1',
			jobId: job.id,
			load: 1,
			...times,
			actual: { seed: 600 },
			stopped: { why: 'breakdown' },
		};
		const { drawn } = await api.jobs.logLoad(broken);
		expect(drawn).toEqual([{ productId: dressingId, amount: 1.2 }]);
		const rest = { id: job.id, seed: 3400, carryFrom: 1, date: '2026-05-06' };
		const preview = await api.jobs.previewRest({ ...rest, strategy: 'full' });
		expect(preview.loads.map(({ load, seed, products }) => [load, seed, products[0]?.amount])).toEqual([
			[2, 1500, 3],
			[3, 1500, 3],
			[4, 400, 0.8],
		]);
		const planned = await api.jobs.replan({ key: 'r', version: 1, ...rest, strategy: 'full', why: 'breakdown' });
		expect([planned.seed?.amount, planned.plan.totals.products[0]?.amount, planned.plan.totals.areaHa]).toEqual([
			4000, 8, 40,
		]);
		expect(planned.fields.map(({ areaHa }) => areaHa)).toEqual([40]);
		expect(planned.products[0]?.dosePerHa).toBe(0.2);
		for (const load of [2, 3, 4]) await api.jobs.logLoad({ key: `n${load}`, jobId: job.id, load, ...later });
		expect(await onHand(api, dressingId)).toBe(30 - 8);
		const records = await api.records.list({ jobId: job.id });
		expect(records.map(({ seed }) => seed?.amount).sort()).toEqual([1500, 1500, 400, 600]);
		expect((await api.jobs.get({ id: job.id })).state).toBe('done');
	});

	test('and says what belongs to which kind', async () => {
		const { api } = testBooks();
		const { fieldId, sprayerId, applicatorId, treaterId, pelletsId, suspensionId, dressingId } = await wholeFarm(api);
		const details = async (asked: Promise<unknown>) => (await refusal(asked)).details;
		const fields = [{ fieldId, areaHa: 10 }];
		const spray = {
			sprayerId,
			sprayVolumeLPerHa: 100,
			fields,
			products: [{ productId: suspensionId, dosePerHa: 1 }],
		};
		const spread = {
			kind: 'granules' as const,
			sprayerId: applicatorId,
			fields,
			products: [{ productId: pelletsId, dosePerHa: 5 }],
		};
		expect(await details(api.jobs.preview({ ...spray, leftInHopperKg: 5 }))).toMatchObject({ path: 'leftInHopperKg' });
		expect(await details(api.jobs.preview({ ...spread, leftInTankL: 5 }))).toMatchObject({ path: 'leftInTankL' });
		const sprayed = await api.jobs.add({ key: 'w', ...spray });
		expect(await details(api.jobs.previewRest({ id: sprayed.id, fields, seed: 5 }))).toMatchObject({ path: 'seed' });
		expect(await details(api.jobs.previewRest({ id: sprayed.id }))).toMatchObject({ path: 'fields' });
		const seeded = await api.jobs.add({
			key: 's',
			kind: 'seed treatment',
			sprayerId: treaterId,
			seed: { amount: 100, unit: 'kg', crop: 'Winter wheat', eppoCode: 'TRZAW' },
			fields: [],
			products: [{ productId: dressingId, dosePer100Kg: 0.2 }],
		});
		expect(await details(api.jobs.previewRest({ id: seeded.id }))).toMatchObject({ path: 'seed' });
		expect(await details(api.jobs.previewRest({ id: seeded.id, seed: 5, fields }))).toMatchObject({ path: 'fields' });
		const spreadJob = await api.jobs.add({ key: 'g', ...spread });
		const enough = await refusal(api.jobs.previewRest({ id: spreadJob.id, fields, leftInHopperKg: 60 }));
		expect(enough).toMatchObject({ code: 'job.nothingToMix', details: { left: 60, unit: 'kg' } });
	});
});
