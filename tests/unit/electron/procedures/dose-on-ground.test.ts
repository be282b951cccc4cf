import { expect, test } from 'vitest';
import { DATE, logWhole, morning, rinsed, sprayed, times } from './sprayed-job.ts';
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

test('totals and the frequency index are made of what lies on the ground, and say what stayed', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api);
	const period = { from: DATE, to: DATE };
	const index = async () =>
		(await api.season.read({ report: 'treatment frequency index', ...period })).totals?.['index'];
	const products = async () => (await api.season.read({ report: 'product totals', ...period })).rows;
	const actives = async () => (await api.season.read({ report: 'active substance totals', ...period })).rows;
	expect(await products()).toMatchObject([
		{ amount: expect.closeTo(15.1, 6), stayed: expect.closeTo(0.1, 6), meanDose: expect.closeTo(1, 6) },
	]);
	// 1 L/ha of 1.25 on every hectare.
	expect(await index()).toBeCloseTo(0.8, 6);
	// 15.1 L × 400 g/L brought out, 400 g on each hectare.
	expect(await actives()).toMatchObject([{ kg: expect.closeTo(6.04, 6), gPerHa: expect.closeTo(400, 4) }]);
	const { products: sums } = await api.season.statement(period);
	expect(sums).toMatchObject([{ onGround: expect.closeTo(15, 6) }]);

	const washings = { key: 'wash', jobId, ...rinsed, fields: [{ fieldId: longId, areaHa: 0.5 }], ...times };
	const { sprayedL } = await api.jobs.logWashings({ ...washings, rinsedOut: true });
	expect(sprayedL).toBe(300);
	// Washed out it lies on the ground, but for what three rinses of 100 L into 20 L leave: 1/216 of 0.1 L, less than is shown.
	expect(await products()).toMatchObject([{ stayed: null, meanDose: expect.closeTo((15.1 - 0.1 / 216) / 15, 5) }]);
	expect(await index()).toBeCloseTo((0.8 * (15.1 - 0.1 / 216)) / 15, 5);
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
