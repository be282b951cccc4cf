import { expect, test } from 'vitest';
import { DATE, morning, sprayed } from './sprayed-job.ts';
import { testBooks } from './test-books.ts';

const PERIOD = { from: DATE, to: '2026-04-16' };
const nextDay = { load: 1, startedAt: '2026-04-16T06:00', finishedAt: '2026-04-16T06:30', operator: 'A. Marsh' };

test.each([
	['entered before the stop', 15.2, true],
	['taken over from the plan', undefined, false],
] as const)(
	'a load is gone on with after a stop: its mix is made up once, its amounts are %s',
	async (_, amount, said) => {
		const { api } = testBooks();
		const { jobId, longId, rookeryId, productId } = await sprayed(api, { log: false });
		await api.jobs.logLoad({
			...{ key: 'stop', jobId, ...morning, finishedAt: `${DATE}T09:00`, stopped: { why: 'rain' } },
			actual: {
				...(amount === undefined ? {} : { products: [{ productId, amount }] }),
				fields: [
					{ fieldId: longId, areaHa: 10 },
					{ fieldId: rookeryId, areaHa: 2 },
				],
			},
		});
		await api.jobs.logLoad({ key: 'on', jobId, ...nextDay });
		const lines = await api.records.list({ jobId });
		expect(lines.map(({ confirmed }) => confirmed)).toEqual([said, said, said]);
		expect(lines.reduce((sum, line) => sum + line.amount, 0)).toBeCloseTo(amount ?? 15.1, 9);
		const { farm } = await api.season.reconcile(PERIOD);
		expect(farm).toMatchObject({ loads: 1, confirmedLoads: said ? 1 : 0 });
		const log = await api.season.read({ report: 'operator log', ...PERIOD });
		expect(log.rows.map(({ load, state, newMixL }) => [load, state, newMixL])).toEqual([
			['1 of 1', 'broken off', 3020],
			['1 of 1', 'complete', null],
		]);
		expect(log.totals).toMatchObject({ newMixL: 3020, areaHa: 15 });
	},
);

test('the review holds each load against the limits, not their mean over the field', async () => {
	const { api } = testBooks();
	const { productId, longId, plan } = await sprayed(api, { log: false });
	const sprayer = await api.sprayers.add({ name: 'Small', capacityL: 1000, minimumL: 100 });
	const job = { ...plan, sprayerId: sprayer.id, fields: [{ fieldId: longId }] };
	const { id } = await api.jobs.add({ key: 'two', ...job });
	const log = (load: number, hour: string, amount: number) =>
		api.jobs.logLoad({
			...{ key: `l${load}`, jobId: id, load, startedAt: `${DATE}T${hour}:00`, finishedAt: `${DATE}T${hour}:30` },
			...{ operator: 'A. Marsh', actual: { products: [{ productId, amount }] } },
		});
	await log(1, '07', 4);
	const { findings } = await log(2, '08', 7);
	const [kept] = findings.filter(({ kind }) => kind === 'singleDose');
	const review = await api.season.read({ report: 'limit review', from: DATE, to: DATE });
	expect(kept?.say).toBe('The dose is 1.4 L/ha; the label allows 1.25 L/ha.');
	const second = (await api.records.list({ jobId: id })).find(({ load }) => load === 2);
	expect(review.rows.map(({ kind, say, entry }) => [kind, say, entry])).toEqual([
		['single dose', kept?.say, second?.seq],
	]);
});

test('a zone that is set later moves no record: job sheet, logs and US list have the times of the diary', async () => {
	const { api } = testBooks();
	await api.settings.save({ key: 'there', zone: 'Europe/Copenhagen' });
	await sprayed(api);
	await api.settings.save({ key: 'here', zone: 'Europe/London' });
	for (const report of ['spray diary', 'job sheet', 'US application list', 'operator log']) {
		const { rows } = await api.season.read({ report, from: DATE, to: DATE });
		expect([...new Set(rows.map(({ startedAt }) => startedAt))]).toEqual([`${DATE}T07:00:00+02:00`]);
	}
});

test('a job that rain broke off and that was finished the next day is one treatment of its field', async () => {
	const { api } = testBooks();
	const limits = [{ kind: 'totalDose', max: 2, per: 'season', source: 'label' }];
	const { jobId, longId, rookeryId, productId } = await sprayed(api, { limits, log: false });
	await api.jobs.logLoad({
		...{ key: 'stop', jobId, ...morning, finishedAt: `${DATE}T09:00`, stopped: { why: 'rain' } },
		actual: { fields: [{ fieldId: longId, areaHa: 4 }] },
	});
	await api.jobs.logLoad({
		...{ key: 'on', jobId, ...nextDay },
		actual: {
			fields: [
				{ fieldId: longId, areaHa: 6 },
				{ fieldId: rookeryId, areaHa: 5 },
			],
		},
	});
	const found = await api.limits.check({
		...{ fields: [{ fieldId: longId }], products: [{ productId, dosePerHa: 0.9 }], date: '2026-05-20' },
	});
	const of = (kind: string) => found.find((each) => each.kind === kind);
	expect(of('treatments')).toMatchObject({ verdict: 'ok', value: 2 });
	expect(of('totalDose')).toMatchObject({ verdict: 'ok', value: expect.closeTo(1.9, 2) });
	const used = await api.season.read({ report: 'limits used', from: '2026-01-01', to: '2026-06-30' });
	const shares = used.rows.filter(({ field }) => field === 'Long Piece').map((row) => [row['limit'], row['used']]);
	expect(shares).toContainEqual(['Copper, number of treatments', 1]);
});
