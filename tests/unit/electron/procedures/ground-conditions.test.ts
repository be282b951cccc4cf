import { expect, test } from 'vitest';
import { addDays } from '../../../../shared/basics/calendar.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const DATE = addDays(new Date().toISOString().slice(0, 10), -3);
const PERIOD = { from: addDays(DATE, -30), to: addDays(DATE, 30) };
const CONDITION = 'drained land';

/** The small farm with a second field; the label of the suspension keeps off drained land. */
async function farmOffDrains(api: Api, fromMemory = false) {
	const farm = await smallFarm(api);
	const { id: secondId } = await api.fields.add({ name: 'Mill Bank', measuredHa: 8 });
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === farm.suspensionId) ?? {};
	const limits = [{ kind: 'site' as const, condition: CONDITION, fromMemory }];
	await api.products.update({ key: 'limits', id: farm.suspensionId, version, limits });
	return { ...farm, secondId };
}

function wanted({ fieldId, secondId, suspensionId, sprayerId }: Awaited<ReturnType<typeof farmOffDrains>>) {
	return {
		...{ sprayerId, sprayVolumeLPerHa: 100, date: DATE },
		fields: [
			{ fieldId, areaHa: 10 },
			{ fieldId: secondId, areaHa: 8 },
		],
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	};
}

const sites = (limits: readonly { kind: string; verdict: string; field?: string | undefined }[]) =>
	limits.filter(({ kind }) => kind === 'site').map(({ field, verdict }) => [field, verdict]);

const answer = (api: Api, key: string, fields: { fieldId: string; holds: boolean | null }[]) =>
	api.limits.answerCondition({ key, condition: CONDITION, fields });

test('a condition is asked once a field, stops where it holds, and is looked back at with the season', async () => {
	const { api } = testBooks();
	const farm = await farmOffDrains(api);
	const { fieldId, secondId } = farm;
	const plan = async () => sites((await api.jobs.preview(wanted(farm))).limits);
	expect(await plan()).toEqual([
		['Long Piece', 'ask'],
		['Mill Bank', 'ask'],
	]);
	const { id } = await api.jobs.add({ key: 'job', ...wanted(farm) });
	const times = { startedAt: `${DATE}T08:00:00`, finishedAt: `${DATE}T09:00:00`, operator: 'Ada' };
	await api.jobs.logLoad({ key: 'log', jobId: id, load: 1, ...times });
	const review = async () =>
		(await api.season.read({ report: 'limit review', ...PERIOD })).rows.map(({ field, verdict, kind, limit }) => [
			...[field, verdict, kind, limit],
		]);
	expect(await review()).toEqual([
		['Long Piece', 'to be answered', 'condition of the ground', CONDITION],
		['Mill Bank', 'to be answered', 'condition of the ground', CONDITION],
	]);

	expect(
		await answer(api, 'a', [
			{ fieldId, holds: true },
			{ fieldId: secondId, holds: false },
		]),
	).toEqual({ fields: 2 });
	expect(await plan()).toEqual([['Long Piece', 'block']]);
	const { code, details } = await refusal(api.jobs.add({ key: 'next', ...wanted(farm) }));
	expect([code, (details as { why: string }).why]).toEqual([
		'job.blocked',
		'On Long Piece: Not allowed on this ground: drained land. The register says that it holds there.',
	]);
	expect(await review()).toEqual([['Long Piece', 'exceeded', 'condition of the ground', CONDITION]]);
});

test('entered from memory it warns, and the reason that is asked for names the field', async () => {
	const { api } = testBooks();
	const farm = await farmOffDrains(api, true);
	await answer(api, 'a', [{ fieldId: farm.secondId, holds: true }]);
	const { toAnswer } = await api.jobs.preview(wanted(farm));
	expect(toAnswer.map(({ say }) => say)).toEqual([
		'Suspension on Mill Bank: Not allowed on this ground: drained land. The register says that it holds there. This limit was entered from memory: check the label.',
	]);
});

test('an answer is changed and taken back; what was said before stays in the book of changes', async () => {
	const { api } = testBooks();
	const { fieldId } = await farmOffDrains(api);
	const asked = async () => api.limits.conditions({ fieldId });
	expect(await asked()).toEqual([{ condition: CONDITION, holds: null, products: ['Suspension'] }]);
	await answer(api, 'a', [{ fieldId, holds: true }]);
	expect(await answer(api, 'again', [{ fieldId, holds: true }])).toEqual({ fields: 0 });
	await answer(api, 'b', [{ fieldId, holds: false }]);
	expect(await asked()).toEqual([{ condition: CONDITION, holds: false, products: ['Suspension'] }]);
	await answer(api, 'c', [{ fieldId, holds: null }]);
	expect((await asked()).map(({ holds }) => holds)).toEqual([null]);
	const answers = (await api.upkeep.audit({})).filter(({ procedure }) => procedure === 'limits.answerCondition');
	expect(answers.map(({ changes }) => changes.match(/"holds":(true|false)/g))).toEqual([
		['"holds":false'],
		['"holds":true', '"holds":false'],
		null,
		['"holds":true'],
	]);
	expect((await refusal(answer(api, 'd', [{ fieldId: 'nobody', holds: true }]))).code).toBe('not.found');
	expect((await refusal(api.limits.conditions({ fieldId: 'nobody' }))).code).toBe('not.found');
});

test('an answer no label asks for any more stays to be read', async () => {
	const { api } = testBooks();
	const { fieldId, granuleId } = await farmOffDrains(api);
	await api.limits.answerCondition({ key: 'a', condition: 'sandy soil', fields: [{ fieldId, holds: true }] });
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === granuleId) ?? {};
	const limits = [{ kind: 'site' as const, condition: 'Drained land' }];
	await api.products.update({ key: 'granule', id: granuleId, version, limits });
	expect(await api.limits.conditions({ fieldId })).toEqual([
		{ condition: 'Drained land', holds: null, products: ['Granule', 'Suspension'] },
		{ condition: 'sandy soil', holds: true, products: [] },
	]);
});
