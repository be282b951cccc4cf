import { expect, test } from 'vitest';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

async function given(api: Api) {
	const farm = await smallFarm(api);
	const recommendation = await api.recommendations.add({
		key: 'given',
		adviser: 'C. Reed',
		certificateNo: 'ADV-118',
		reference: '26/41',
		givenOn: '2026-04-10',
		validUntil: '2026-04-24',
		fieldIds: [farm.fieldId],
		products: [{ productId: farm.suspensionId, dosePerHa: 1 }],
		sprayVolumeLPerHa: 100,
		reason: 'septoria',
		by: 'J. Wren',
	});
	const plan = {
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId, areaHa: 10 }],
		products: [{ productId: farm.suspensionId, dosePerHa: 1.25 }],
		date: '2026-04-25',
		recommendationId: recommendation.id,
	};
	return { ...farm, recommendation, plan };
}

test('it is kept with adviser, certificate, validity, and what was recommended', async () => {
	const { api } = testBooks();
	const { recommendation, fieldId, suspensionId } = await given(api);
	const { id: _, writtenAt, ...rest } = recommendation;
	expect(rest).toEqual({
		adviser: 'C. Reed',
		certificateNo: 'ADV-118',
		reference: '26/41',
		givenOn: '2026-04-10',
		validUntil: '2026-04-24',
		state: rest.state,
		crop: null,
		fields: [{ fieldId, name: 'Long Piece' }],
		products: [{ productId: suspensionId, name: 'Suspension', formulation: 'SC', unit: 'L', dosePerHa: 1 }],
		sprayVolumeLPerHa: 100,
		growthStage: null,
		reason: 'septoria',
		note: null,
		by: 'J. Wren',
		withdrawn: null,
		jobs: 0,
	});
	expect(writtenAt).toMatch(/^\d{4}-\d{2}-\d{2}T/);
	expect(await api.recommendations.list({})).toEqual([recommendation]);
});

test('the plan says where it departs, and the job keeps it, whatever becomes of the recommendation', async () => {
	const { api } = testBooks();
	const { plan, recommendation } = await given(api);
	const apart = [
		{ kind: 'date', say: '25 April 2026 is after 24 April 2026, until when it holds.' },
		{ kind: 'dose', say: 'Suspension: 1.25 L/ha instead of 1 (+25 %).' },
	];
	expect((await api.jobs.preview(plan)).deviations).toEqual(apart);
	const { recommendationId: __, ...free } = plan;
	expect((await api.jobs.preview(free)).deviations).toBeUndefined();
	const { id: jobId } = await api.jobs.add({ key: 'job', ...plan });
	const { id: other } = await api.jobs.add({ key: 'other', ...free });
	await api.recommendations.withdraw({ key: 'w', id: recommendation.id, why: 'wrong field', by: 'J. Wren' });
	const followed = await api.recommendations.ofJob({ jobId });
	expect(followed?.deviations).toEqual(apart);
	expect(followed?.recommendation).toMatchObject({
		id: recommendation.id,
		state: 'withdrawn',
		jobs: 1,
		withdrawn: { why: 'wrong field', by: 'J. Wren' },
	});
	expect(await api.recommendations.ofJob({ jobId: other })).toBeNull();
	expect((await api.jobs.preview(plan)).deviations?.[0]).toEqual({
		kind: 'withdrawn',
		say: 'The recommendation was withdrawn: wrong field.',
	});
});

test('it is withdrawn once and never deleted', async () => {
	const { api, book } = testBooks();
	const { recommendation, plan } = await given(api);
	await api.jobs.add({ key: 'job', ...plan });
	const withdraw = (key: string) =>
		api.recommendations.withdraw({ key, id: recommendation.id, why: 'wrong field', by: 'J. Wren' });
	await withdraw('once');
	expect(await refusal(withdraw('twice'))).toEqual({
		code: 'recommendation.withdrawn',
		details: { adviser: 'C. Reed', givenOn: '2026-04-10', why: 'wrong field' },
	});
	for (const table of ['recommendation', 'recommendation_withdrawal', 'job_recommendation'])
		expect(() => book.writer.sqlite.exec(`DELETE FROM ${table}`)).toThrow('only grow');
	expect((await api.recommendations.list({})).length).toBe(1);
});

test('what is missing, twice or unknown is said by name', async () => {
	const { api } = testBooks();
	const { suspensionId, fieldId } = await given(api);
	const add = (part: object) =>
		refusal(
			api.recommendations.add({
				key: 'x',
				adviser: 'C. Reed',
				givenOn: '2026-04-10',
				validUntil: '2026-04-24',
				fieldIds: [fieldId],
				products: [{ productId: suspensionId, dosePerHa: 1 }],
				...part,
			}),
		);
	const line = { productId: suspensionId, dosePerHa: 1 };
	expect([
		await add({ validUntil: '2026-04-09' }),
		await add({ fieldIds: [] }),
		await add({ products: [line, line] }),
		await add({ fieldIds: ['nowhere'] }),
		await add({ products: [{ productId: 'nothing', dosePerHa: 1 }] }),
	]).toEqual([
		{ code: 'input.invalid', details: { path: 'validUntil', why: 'is before the day it was given' } },
		{ code: 'input.invalid', details: { path: 'fieldIds', why: 'name the fields, or the crop it is for' } },
		{ code: 'input.invalid', details: { path: 'products[1].productId', why: 'the product stands twice' } },
		{ code: 'not.found', details: { what: 'field', id: 'nowhere' } },
		{ code: 'not.found', details: { what: 'product', id: 'nothing' } },
	]);
});
