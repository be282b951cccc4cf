import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { RecordFile } from '../../../../shared/contract/records-file.ts';
import { DATE, logWhole, sprayed } from './sprayed-job.ts';
import { refusal, testBooks } from './test-books.ts';

const YEAR = { from: '2026-01-01', to: '2026-12-31' };
const MISSING = '01920000-0000-7000-8000-000000000000';

test('a contractor hands over one job, or the jobs of one customer, on the sheet and in the record file', async () => {
	const { api } = testBooks();
	const { jobId, longId, plan } = await sprayed(api);
	const work = { ...plan, fields: [{ fieldId: longId }], products: [{ ...plan.products[0], dosePerHa: 0.2 }] };
	const { id } = await api.jobs.add({ key: 'b', ...work, customer: 'Bank Estates', growthStage: '31' } as never);
	await logWhole(api, id, 'for a customer');
	const sheet = async (of: object) =>
		(await api.season.read({ report: 'job sheet', ...YEAR, ...of })) as never as Sheet;
	const fields = async (of: object) => (await sheet(of)).rows.map(({ field, customer }) => [field, customer]);
	expect(await fields({})).toHaveLength(3);
	expect(await fields({ customer: 'Bank Estates' })).toEqual([['Long Piece', 'Bank Estates']]);
	expect(await sheet({ jobId: id })).toMatchObject({
		...{ from: DATE, to: DATE },
		rows: [{ field: 'Long Piece', eppoCode: 'TRZAW', growthStage: '31' }],
	});
	const filed = async (of: object) => {
		const { path, records } = await api.season.recordFile({ ...YEAR, ...of });
		const file = JSON.parse(readFileSync(path, 'utf8')) as RecordFile;
		expect(file.records).toHaveLength(records);
		return [file.from, file.to, file.records.map(({ location }) => location.field)];
	};
	expect(await filed({ customer: 'Bank Estates' })).toEqual([YEAR.from, YEAR.to, ['Long Piece']]);
	expect(await filed({ jobId })).toEqual([DATE, DATE, ['Rookery', 'Long Piece']]);
	expect(await refusal(api.season.recordFile({ ...YEAR, jobId: MISSING }))).toMatchObject({ code: 'not.found' });
});

type Sheet = { readonly rows: readonly Record<string, unknown>[] };

test('the sheet tells what to wait for and between what winds a field was sprayed', async () => {
	const { api } = testBooks();
	const limits = [
		{ kind: 'reentry', min: 24, source: 'label' },
		{ kind: 'harvestInterval', min: 35, source: 'label' },
	];
	const { longId, plan } = await sprayed(api, { limits, log: false });
	const { id: sprayerId } = await api.sprayers.add({ name: 'Small', capacityL: 1000, minimumL: 100 });
	const { id: jobId } = await api.jobs.add({ key: 'two', ...plan, sprayerId, fields: [{ fieldId: longId }] });
	for (const [load, hour, windSpeedKmh, windDirection] of [
		[1, '07', 6, 'W'],
		[2, '08', 9, 'SW'],
	] as const) {
		await api.jobs.logLoad({
			...{ key: hour, jobId, load, operator: 'A. Marsh', weather: { windSpeedKmh, windDirection } },
			...{ startedAt: `${DATE}T${hour}:00`, finishedAt: `${DATE}T${hour}:30` },
		});
	}
	const { rows } = await api.season.read({ report: 'job sheet', ...YEAR, jobId });
	expect(rows).toMatchObject([
		{
			...{ windSpeedKmh: 6, windUpToKmh: 9, windDirection: 'W, SW', harvestFrom: '2026-05-20' },
			noEntryUntil: '16 April 2026 08:30',
		},
	]);
});

test('writing the record file says how many records came late, and of how many the field is nowhere', async () => {
	const { api } = testBooks();
	const { longId } = await sprayed(api);
	expect(await api.season.recordFile(YEAR)).toMatchObject({ records: 2, late: 2, unplaced: 2 });
	const [field] = (await api.fields.list({})).filter(({ id }) => id === longId);
	await api.fields.update({ key: 'code', id: longId, version: field?.version ?? 0, code: 'SU 1234 0567' });
	expect(await api.season.recordFile(YEAR)).toMatchObject({ records: 2, unplaced: 1 });
});
