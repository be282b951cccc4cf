import { expect, test } from 'vitest';
import { smallFarm, testBooks } from './test-books.ts';

const wanted = (farm: Awaited<ReturnType<typeof smallFarm>>) => ({
	sprayerId: farm.sprayerId,
	sprayVolumeLPerHa: 150,
	fields: [{ fieldId: farm.fieldId }],
	products: [{ productId: farm.suspensionId, dosePerHa: 1.25 }],
	strategy: 'full' as const,
	date: '2026-04-15',
});

test('a plan says what to expect at its end, from area, meter and measuring step', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const { end } = await api.jobs.preview(wanted(farm));
	// 40 ha of a typed area: 0.5 % of it at 150 L/ha = 30 L; two fills of 4,000 and 2,000 L by a meter good to 2 %.
	const meterL = Math.hypot(0.02 * Math.hypot(4000, 2000), 0.005 * 6000);
	// Two readings in whole litres; one product measured out, in load 1, in steps of 0.01 L.
	const stepL = Math.hypot(Math.sqrt(2 / 12), 0.01 / Math.sqrt(12));
	const range = 2 * Math.hypot(30, meterL, stepL);
	expect(end).toEqual({
		expectedL: 0,
		lowL: expect.closeTo(-range, 6),
		highL: expect.closeTo(range, 6),
		shortHa: expect.closeTo(range / 150, 8),
		sigma: { areaL: 30, meterL: expect.closeTo(meterL, 9), stepL: expect.closeTo(stepL, 9) },
		unsprayableL: 0,
		smallerLast: { load: 2, totalL: 2000, smallerL: expect.closeTo(2000 - range, 6) },
		topUp: expect.objectContaining({ areaHa: expect.closeTo(range / 150, 8) }),
		washings: {
			leftL: expect.closeTo(range, 6),
			onSprayedHa: null,
			limitedBy: null,
			keptBackHa: expect.closeTo(range / 150, 8),
			unknown: ['Suspension'],
			fields: [
				{
					fieldId: farm.fieldId,
					field: 'Long Piece',
					sprayedHa: 40,
					leastHa: 0,
					limitedBy: null,
					unknown: ['Suspension'],
					notForCrop: [],
				},
			],
		},
	});
});

test('a better meter narrows the range', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const before = await api.jobs.preview(wanted(farm));
	await api.settings.save({ key: 'meter', meterErrorPercent: 0.5 });
	const after = await api.jobs.preview(wanted(farm));
	expect(after.end?.highL ?? 0).toBeLessThan((before.end?.highL ?? 0) / 2);
});

test('what the meter said of a logged load moves what is expected at the end', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const { id, loads } = await api.jobs.add({ key: 'job', ...wanted(farm) });
	await api.jobs.logLoad({
		key: 'log',
		jobId: id,
		load: 1,
		startedAt: '2026-04-15T07:00:00Z',
		finishedAt: '2026-04-15T08:00:00Z',
		operator: 'A. Marsh',
		actual: { meteredL: (loads[0]?.waterL ?? 0) - 45 },
	});
	const { plan } = await api.jobs.get({ id });
	expect(plan.end?.expectedL).toBeCloseTo(-45, 6);
	expect(plan.end?.smallerLast?.load ?? 2).toBe(2);
});
