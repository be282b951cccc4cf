import { expect, test } from 'vitest';
import { DATE, logWhole, morning, sprayed } from './sprayed-job.ts';
import { testBooks } from './test-books.ts';

/** As much as the label allows, in one pass and over the season. */
const atTheLimit = [
	{ kind: 'singleDose', max: 1, source: 'label' },
	{ kind: 'totalDose', max: 2, per: 'season', source: 'label' },
];

test('what fills sump and lines is no dose: a job at the dose of the label keeps it on records, in plans and in the review', async () => {
	const { api } = testBooks();
	const { jobId, longId, productId } = await sprayed(api, { limits: atTheLimit, log: false });
	const { findings } = await api.jobs.logLoad({ key: 'log', jobId, ...morning, finishedAt: `${DATE}T09:00` });
	expect(findings).toEqual([]);
	const lines = await api.records.list({ jobId });
	// 15.1 L went into the tank, of which 0.1 L stays with 20 L of mix.
	expect(lines.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(15.1, 9);
	expect(lines.reduce((sum, { stayedInTank = 0 }) => sum + stayedInTank, 0)).toBeCloseTo(0.1, 6);
	for (const { dosePerHa, findings: kept } of lines) {
		expect(dosePerHa).toBeCloseTo(1, 6);
		expect(kept).toEqual([]);
	}
	const next = await api.limits.check({
		fields: [{ fieldId: longId }],
		products: [{ productId, dosePerHa: 1 }],
		date: '2026-05-20',
	});
	expect(next.find(({ kind }) => kind === 'totalDose')).toMatchObject({ verdict: 'ok', value: expect.closeTo(2, 6) });
	const review = await api.season.read({ report: 'limit review', from: DATE, to: DATE });
	expect(review.rows).toEqual([]);
	const sheet = await api.season.read({ report: 'job sheet', from: DATE, to: DATE });
	expect(sheet.rows.map((row) => row['dosePerHa'])).toEqual([expect.closeTo(1, 6), expect.closeTo(1, 6)]);
});

test('more ground than planned makes the dose smaller, less makes it larger, both without what stayed', async () => {
	const { api } = testBooks();
	const { jobId, longId, rookeryId } = await sprayed(api, { limits: atTheLimit, log: false });
	const { findings } = await api.jobs.logLoad({
		key: 'log',
		jobId,
		...morning,
		finishedAt: `${DATE}T09:00`,
		actual: {
			fields: [
				{ fieldId: longId, areaHa: 10 },
				{ fieldId: rookeryId, areaHa: 2 },
			],
		},
	});
	expect(findings.map(({ kind, say }) => [kind, say])).toContainEqual([
		'singleDose',
		'The dose is 1.25 L/ha; the label allows 1 L/ha.',
	]);
	const [line] = await api.records.list({ jobId });
	expect(line?.dosePerHa).toBeCloseTo(15 / 12, 6);
});

test('a load that was broken off put its share on the ground, and no more', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api, { limits: atTheLimit, log: false });
	const stopped = await api.jobs.logLoad({
		key: 'stop',
		jobId,
		...morning,
		finishedAt: `${DATE}T08:00`,
		actual: { fields: [{ fieldId: longId, areaHa: 6 }] },
		stopped: { why: 'breakdown' },
	});
	expect(stopped.findings).toEqual([]);
	await logWhole(api, jobId, 'on');
	const lines = await api.records.list({ jobId });
	expect(lines.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(15.1, 9);
	for (const { dosePerHa, findings } of lines) {
		expect(dosePerHa).toBeCloseTo(1, 6);
		expect(findings).toEqual([]);
	}
});
