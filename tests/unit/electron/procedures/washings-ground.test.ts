import { expect, test } from 'vitest';
import { DATE, logWhole, rinsed, sprayed, times } from './sprayed-job.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

/** A square of about 10 ha, with a strip of 5 m along its southern edge. */
const corners = [
	[10, 50],
	[10.0044, 50],
	[10.0044, 50.00285],
	[10, 50.00285],
];
const square = (points: readonly (readonly number[])[]) => ({
	type: 'Polygon' as const,
	coordinates: [[...points, points[0] ?? []].map((point) => [...point])],
});
/** From the southern edge inwards, 50 m wide and 100 m deep. */
const bySouth = square([
	[10.001, 50.00001],
	[10.0017, 50.00001],
	[10.0017, 50.0009],
	[10.001, 50.0009],
]);

async function withBoundary(api: Api, fieldId: string): Promise<void> {
	const { field } = await api.fields.get({ id: fieldId });
	await api.fields.setBoundary({
		key: 'b',
		id: fieldId,
		version: field.version,
		geometry: square(corners),
		source: 'drawn',
	});
	await api.fields.addStrip({
		key: 's',
		id: fieldId,
		kind: 'strip',
		label: 'Ditch',
		widthM: 5,
		edges: [{ ring: 0, edge: 0 }],
	});
}

test('the weather they were sprayed out in stands on their record, and the record lacks it no more', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api);
	const weather = { windSpeedKmh: 8, windDirection: 'SW', temperatureC: 14, humidityPercent: 70 };
	const fields = [{ fieldId: longId, areaHa: 0.5 }];
	await api.jobs.logWashings({ key: 'w', jobId, ...rinsed, fields, ...times, weather });
	const own = (await api.records.list({ jobId })).find(({ washings }) => washings !== null);
	expect(own?.weather).toEqual(weather);
	expect(own?.missing).not.toContain('wind');
	expect((await api.jobs.get({ id: jobId })).washings[0]?.weather).toEqual(weather);
});

test('ground that is drawn on a strip, or is larger than it is said to be, is asked about and kept', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api);
	await withBoundary(api, longId);
	const ahead = (areaHa: number) =>
		api.jobs.washingsAhead({ jobId, ...rinsed, date: DATE, fields: [{ fieldId: longId, areaHa, ground: bySouth }] });
	const { areaHa } = await api.fields.measure({ geometry: bySouth });
	expect((await ahead(areaHa)).findings.map(({ say }) => say)).toEqual([
		expect.stringMatching(/^0\.0\d ha of what is drawn lie on the no-spray strip Ditch: washings must keep off it\.$/),
	]);
	expect((await ahead(areaHa * 2)).findings.map(({ say }) => say)).toContainEqual(
		expect.stringContaining('The part of Long Piece that is drawn has 0.50 ha'),
	);
	await api.jobs.logWashings({
		...{ key: 'w', jobId, ...rinsed, ...times },
		fields: [{ fieldId: longId, areaHa, ground: bySouth }],
	});
	expect((await api.jobs.get({ id: jobId })).washings[0]?.fields[0]).toMatchObject({ onJob: null, ground: bySouth });
	const own = (await api.records.list({ jobId })).find(({ washings }) => washings !== null);
	expect(own?.findings).toEqual([expect.stringContaining('no-spray strip Ditch')]);
	const bow = square([corners[0] ?? [], corners[2] ?? [], corners[1] ?? [], corners[3] ?? []]);
	const outside = square(corners.map(([lon = 0, lat = 0]) => [lon + 0.01, lat]));
	const shown = await api.jobs.washingsAhead({
		...{ jobId, ...rinsed, date: DATE },
		fields: [{ fieldId: longId, areaHa: 1, ground: outside }],
	});
	expect(shown.findings.map(({ say }) => say)).toContainEqual(expect.stringContaining('lie outside Long Piece'));
	const refused = refusal(api.jobs.washingsAhead({ jobId, fields: [{ fieldId: longId, areaHa: 1, ground: bow }] }));
	expect((await refused).code).toBe('geometry.invalid');
});

test('over the ground of another job they are held against what lies there, and treat it no second time', async () => {
	const { api } = testBooks();
	const { jobId, longId, rookeryId, productId, plan } = await sprayed(api);
	const { id: otherId } = await api.jobs.add({
		...{ ...plan, key: 'other', name: 'Half dose', fields: [{ fieldId: rookeryId }] },
		products: [{ productId, dosePerHa: 0.5 }],
	});
	await logWhole(api, otherId, 'other');
	const at = { fieldId: rookeryId, areaHa: 0.5, onJobId: otherId };
	const ahead = await api.jobs.washingsAhead({ jobId, ...rinsed, date: DATE, fields: [at] });
	const [room] = ahead.fields;
	// 0.0995 L ÷ (1.25 − 0.5) L/ha, and not ÷ (1.25 − 1) as on the ground of this job; what stayed there is no dose.
	expect(room?.leastHa).toBeCloseTo(0.0995 / 0.75, 3);
	expect(room?.otherJobs.map(({ jobId: id }) => id)).toEqual([otherId]);
	await api.jobs.logWashings({ key: 'w', jobId, ...rinsed, fields: [at], ...times });
	const own = (await api.records.list({ jobId })).find(({ washings }) => washings !== null);
	expect(own).toMatchObject({ field: 'Rookery', treatedHa: 0, washings: { areaHa: 0.5 } });
	expect((await api.jobs.get({ id: jobId })).washings[0]?.fields[0]?.onJob).toBe('Half dose');
	const wrong = { fieldId: longId, areaHa: 0.5, onJobId: otherId };
	const asked = await api.jobs.washingsAhead({ jobId, ...rinsed, date: DATE, fields: [wrong] });
	expect(asked.findings.map(({ say }) => say)).toContainEqual(
		'The job Half dose sprayed nothing on Long Piece: it is unsprayed ground.',
	);
	const bare = { ...wrong, over: 'unsprayed ground' as const };
	expect((await refusal(api.jobs.washingsAhead({ jobId, fields: [bare] }))).details).toMatchObject({
		path: 'fields[0].onJobId',
	});
});

test('washings within the readings at the end are taken off, so that rate, meter and ground are those of the job', async () => {
	const period = { from: '2026-01-01', to: '2026-12-31' };
	const ratios = async (close: object) => {
		const { api } = testBooks();
		const { jobId, longId } = await sprayed(api);
		const fields = [{ fieldId: longId, areaHa: 0.5 }];
		await api.jobs.logWashings({ key: 'w', jobId, ...rinsed, fields, ...times });
		await api.jobs.close({ key: 'c', id: jobId, ...close });
		const { areaRatio, meterRatio, rateRatio } = (await api.season.reconcile(period)).jobs[0] ?? {};
		return [areaRatio, meterRatio, rateRatio].map((ratio) => Number(ratio?.toFixed(9)));
	};
	// 3,020 L mixed, 20 of them left with sump and lines: 3,000 L on 15 ha. The washings were 300 L on 0.5 ha.
	expect(await ratios({ sprayedHa: 15, controllerL: 3000 })).toEqual([1, 1, 1]);
	const within = { washings: { litres: 300, areaHa: 0.5 } };
	expect(await ratios({ sprayedHa: 15.5, controllerL: 3300, leftL: 20, ...within })).toEqual([1, 1, 1]);
	const { api } = testBooks();
	const { jobId } = await sprayed(api);
	expect((await refusal(api.jobs.close({ key: 'c', id: jobId, controllerL: 200, ...within }))).details).toMatchObject({
		path: 'washings.litres',
	});
});
