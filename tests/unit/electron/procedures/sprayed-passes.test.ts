import { expect, test } from 'vitest';
import { type Api, refusal, testBooks } from './test-books.ts';

/* An invented field of some 9.9 ha with three jobs, each closed with the area the sprayer reported. */

const geometry = {
	type: 'Polygon' as const,
	coordinates: [
		[
			[0.1, 52.1],
			[0.1, 52.1028],
			[0.1046, 52.1028],
			[0.1046, 52.1],
			[0.1, 52.1],
		],
	],
};

async function farmWithField(api: Api) {
	const { id: fieldId } = await api.fields.add({ name: 'Mill Piece', mappedHa: 9.8, geometry });
	const { id: productId } = await api.products.add({
		name: 'Suspension',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
	});
	const { id: sprayerId } = await api.sprayers.add({ name: 'Trailed', capacityL: 3000, minimumL: 300 });
	await api.store.receive({ key: 'in', productId, packSize: 5, packs: 40, date: '2026-03-01' });
	return { fieldId, productId, sprayerId };
}

async function closedJob(
	api: Api,
	farm: Awaited<ReturnType<typeof farmWithField>>,
	closing: { date: string; sprayedHa: number; areaHa?: number; ranOutHa?: number },
) {
	const { date, areaHa, ...said } = closing;
	const job = await api.jobs.add({
		key: `plan ${date}`,
		sprayerId: farm.sprayerId,
		date,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId: farm.fieldId, ...(areaHa === undefined ? {} : { areaHa }) }],
		products: [{ productId: farm.productId, dosePerHa: 1 }],
	});
	await api.jobs.close({ key: `close ${date}`, id: job.id, ...said });
}

test('three closed jobs are three passes; the accepted figure and its reason stay with the field', async () => {
	const { api } = testBooks();
	const farm = await farmWithField(api);
	const measuredHa = (await api.fields.get({ id: farm.fieldId })).field.measuredHa ?? Number.NaN;
	for (const [index, off] of [-0.03, -0.02, -0.04].entries()) {
		await closedJob(api, farm, { date: `2026-04-0${index + 1}`, sprayedHa: measuredHa + off });
	}
	const before = await api.fields.get({ id: farm.fieldId });
	expect({
		passes: before.sprayed?.passes,
		verdict: before.sprayed?.verdict,
		off: (before.sprayed?.meanHa ?? 0) - measuredHa,
	}).toEqual({
		passes: 3,
		verdict: 'propose',
		off: expect.closeTo(-0.03, 9),
	});
	const after = await api.fields.chooseArea({
		key: 'accept',
		id: farm.fieldId,
		version: before.field.version,
		basis: 'sprayed',
		areaHa: before.sprayed?.meanHa ?? 0,
		why: before.sprayed?.say ?? '',
	});
	expect([after.field.loadForHa, after.loadForWhy, after.sprayed?.verdict]).toEqual([
		expect.closeTo(measuredHa - 0.03, 6),
		before.sprayed?.say,
		'as loaded',
	]);
});

test('machine area, half a field and a tank that ran out are no passes', async () => {
	const { api } = testBooks();
	const farm = await farmWithField(api);
	await closedJob(api, farm, { date: '2026-04-01', sprayedHa: 9.7 });
	await closedJob(api, farm, { date: '2026-04-02', sprayedHa: 4.9, areaHa: 5 });
	await closedJob(api, farm, { date: '2026-04-03', sprayedHa: 9.2, ranOutHa: 0.6 });
	const { measurements } = await api.fields.get({ id: farm.fieldId });
	const reported = measurements.filter(({ kind }) => kind === 'sprayed');
	expect(reported.map(({ areaHa, notCounted }) => [Number(areaHa.toFixed(6)), notCounted])).toEqual([
		[4.9, 'the job was for other ground than the field is now'],
		[9.7, undefined],
	]);
	const whole = reported[1];
	const marked = await api.fields.setOverlap({
		key: 'mark',
		id: farm.fieldId,
		measurementId: whole?.id ?? '',
		withOverlap: true,
	});
	expect([marked.sprayed, marked.measurements.find(({ id }) => id === whole?.id)?.kind]).toEqual([null, 'machine']);
	const back = await api.fields.setOverlap({
		key: 'back',
		id: farm.fieldId,
		measurementId: whole?.id ?? '',
		withOverlap: false,
	});
	expect(back.sprayed?.passes).toBe(1);
});

test('a job of several fields tells each of them its own area, and the sum is the job’s', async () => {
	const { api } = testBooks();
	const farm = await farmWithField(api);
	const { id: otherId } = await api.fields.add({ name: 'Brook', measuredHa: 4 });
	const plan = (key: string) =>
		api.jobs.add({
			key,
			sprayerId: farm.sprayerId,
			date: '2026-04-01',
			sprayVolumeLPerHa: 200,
			fields: [{ fieldId: farm.fieldId }, { fieldId: otherId }],
			products: [{ productId: farm.productId, dosePerHa: 1 }],
		});
	const both = [
		{ fieldId: farm.fieldId, sprayedHa: 9.7 },
		{ fieldId: otherId, sprayedHa: 3.98 },
	];
	const whole = await api.jobs.close({ key: 'c1', id: (await plan('p1')).id, fields: both });
	expect(whole.closing?.sprayedHa).toBeCloseTo(13.68, 9);
	const part = await api.jobs.close({ key: 'c2', id: (await plan('p2')).id, fields: both.slice(1), withOverlap: true });
	expect(part.closing).toMatchObject({ sprayedHa: null, fields: both.slice(1), withOverlap: true });
	const told = async (id: string) =>
		(await api.fields.get({ id })).measurements
			.filter(({ kind }) => kind === 'sprayed' || kind === 'machine')
			.map(({ kind, areaHa }) => `${kind} ${areaHa.toFixed(2)}`);
	expect(await told(farm.fieldId)).toEqual(['sprayed 9.70']);
	expect((await told(otherId)).sort()).toEqual(['machine 3.98', 'sprayed 3.98']);
	const third = (await plan('p3')).id;
	const twice = api.jobs.close({ key: 'c3', id: third, fields: [...both, ...both] });
	expect(await refusal(twice)).toMatchObject({ code: 'input.invalid', details: { why: 'a field is named twice' } });
	const strange = api.jobs.close({ key: 'c4', id: third, fields: [{ fieldId: 'elsewhere', sprayedHa: 2 }] });
	expect(await refusal(strange)).toMatchObject({ code: 'input.invalid', details: { path: 'fields' } });
});

test('only a reported area of this field can be marked', async () => {
	const { api } = testBooks();
	const farm = await farmWithField(api);
	expect(
		await refusal(api.fields.setOverlap({ key: 'k', id: farm.fieldId, measurementId: 'none', withOverlap: true })),
	).toEqual({ code: 'not.found', details: { what: 'reported area', id: 'none' } });
});
