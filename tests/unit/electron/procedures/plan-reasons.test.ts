import { expect, test } from 'vitest';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

/** A limit entered from memory warns where it would block. */
async function warnedJob(api: Api) {
	const farm = await smallFarm(api);
	const limits = [{ kind: 'singleDose' as const, max: 1, source: 'from memory', fromMemory: true }];
	await api.products.update({ key: 'limit', id: farm.suspensionId, version: 1, limits });
	const wanted = {
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 150,
		fields: [{ fieldId: farm.fieldId }],
		products: [{ productId: farm.suspensionId, dosePerHa: 1.25 }],
		date: '2026-04-15',
	};
	return { ...farm, wanted };
}

const LOG = { load: 1, startedAt: '2026-04-15T07:00:00Z', finishedAt: '2026-04-15T08:00:00Z', operator: 'A. Marsh' };

test('a job against a warning is saved only with a reason, which stays on the job and on its records', async () => {
	const { api } = testBooks();
	const { wanted } = await warnedJob(api);
	const { toAnswer } = await api.jobs.preview(wanted);
	expect(toAnswer).toEqual([{ from: 'limit', say: expect.stringContaining('Suspension: ') }]);
	expect((await refusal(api.jobs.add({ key: 'bare', ...wanted }))).code).toBe('job.reasonNeeded');
	const why = 'The label of this year allows 1.5 L/ha.';
	const { id } = await api.jobs.add({ key: 'job', ...wanted, overrideWhy: why });
	expect((await api.jobs.get({ id })).overrideWhy).toBe(why);
	await api.jobs.logLoad({ key: 'log', jobId: id, ...LOG });
	const [record] = await api.records.list({});
	expect(record).toMatchObject({ overrideWhy: why, findings: [expect.stringContaining('dose')] });
});

test('a warning that came up after saving asks for the reason before the card is printed', async () => {
	const { api } = testBooks();
	const { suspensionId, wanted } = await warnedJob(api);
	await api.products.update({ key: 'none', id: suspensionId, version: 2, limits: [] });
	const { id } = await api.jobs.add({ key: 'job', ...wanted });
	const limits = [{ kind: 'singleDose' as const, max: 1, source: 'from memory', fromMemory: true }];
	await api.products.update({ key: 'again', id: suspensionId, version: 3, limits });
	expect((await refusal(api.jobs.printCard({ jobId: id }))).code).toBe('job.reasonNeeded');
	const kept = await api.jobs.giveReason({ key: 'why', id, why: 'Asked the adviser.', by: 'J. Wren' });
	expect(kept.overrideWhy).toBe('Asked the adviser.');
	expect((await refusal(api.jobs.printCard({ jobId: id }))).code).not.toBe('job.reasonNeeded');
});

test('a limit that blocks stops plan and card, never the log of what happened', async () => {
	const { api } = testBooks();
	const { suspensionId, wanted } = await warnedJob(api);
	await api.products.update({ key: 'none', id: suspensionId, version: 2, limits: [] });
	const { id } = await api.jobs.add({ key: 'job', ...wanted });
	const limits = [{ kind: 'singleDose' as const, max: 1 }];
	await api.products.update({ key: 'label', id: suspensionId, version: 3, limits });
	const reason = { overrideWhy: 'It has to go on.' };
	expect((await refusal(api.jobs.add({ key: 'second', ...wanted, ...reason }))).code).toBe('job.blocked');
	expect((await refusal(api.jobs.printCard({ jobId: id }))).code).toBe('job.blocked');
	const logged = await api.jobs.logLoad({ key: 'log', jobId: id, ...LOG });
	expect(logged.findings.map(({ verdict }) => verdict)).toContain('block');
});

test('a load below the sprayer’s least is a planning warning to answer', async () => {
	const { api } = testBooks();
	const { wanted, fieldId, granuleId } = await warnedJob(api);
	const small = { ...wanted, fields: [{ fieldId, areaHa: 1 }], products: [{ productId: granuleId, dosePerHa: 0.5 }] };
	const { toAnswer } = await api.jobs.preview(small);
	expect(toAnswer).toEqual([{ from: 'planning', say: expect.stringContaining('below the smallest load') }]);
});

test('times to keep out or to keep livestock off are told with the job, and ask for no reason', async () => {
	const { api } = testBooks();
	const { suspensionId, fieldId, wanted } = await warnedJob(api);
	const limits = [
		{ kind: 'reentry' as const, min: 24 },
		{ kind: 'livestock' as const, min: 7 },
	];
	await api.products.update({ key: 'waits', id: suspensionId, version: 2, limits });
	expect((await api.jobs.preview(wanted)).toAnswer).toEqual([]);
	const job = await api.jobs.add({ key: 'job', ...wanted });
	expect(job.limits.filter(({ verdict }) => verdict === 'warn').map(({ kind }) => kind)).toEqual([
		'reentry',
		'livestock',
	]);
	const logged = await api.jobs.logLoad({ key: 'log', jobId: job.id, ...LOG });
	expect(logged.findings.map(({ kind, fieldId: on }) => [kind, on])).toEqual([
		['reentry', fieldId],
		['livestock', fieldId],
	]);
	const [record] = await api.records.list({});
	expect(record).toMatchObject({ overrideWhy: null, findings: [] });
});
