import { expect, test } from 'vitest';
import { jobBalance, jobReadings } from '../../../../../shared/core/reconcile/job-ratios.ts';
import { type SeasonJob, USUAL_NOISE } from '../../../../../shared/core/reconcile/season-books.ts';

const job: SeasonJob = {
	jobId: 'j',
	name: 'Job',
	date: '2027-04-15',
	sprayerId: 's',
	sprayer: 'Sprayer',
	sprayVolumeLPerHa: 200,
	areaLoadedForHa: 40,
	fields: [
		{ fieldId: 'f', name: 'Field', areaHa: 30, areaSigmaHa: 0.3 },
		{ fieldId: 'g', name: 'Other', areaHa: 10, areaSigmaHa: null },
	],
	counterHa: 40.4,
	controllerL: 8000,
	leftL: 120,
	ranOutHa: null,
	carriedInL: 100,
	mixedL: 8200,
	rinseL: 50,
	unsprayableL: 20,
	spilledL: 10,
};
const fills = { newMixL: [4000, 4200], pourSigmaL: 0.1 };

test('sprayed = carried in + mixed + rinse − left − unsprayable − spilled, and every reported figure gives a ratio', () => {
	const balance = jobBalance(job, fills, USUAL_NOISE);
	// Area 0.3 ha and 0.5 % of 10 ha, at 200 L/ha; each fill 2 %; the meter 0.5 %; two readings in whole litres; pours.
	const sigma = Math.hypot(200 * Math.hypot(0.3, 0.05), 0.02 * Math.hypot(4000, 4200), 41, Math.sqrt(2 / 12), 0.1);
	expect({ ...balance, expectedLeft: null }).toEqual({
		jobId: 'j',
		sprayedL: 8200,
		areaRatio: 1.01,
		meterRatio: 1.025,
		rateRatio: 8000 / 40.4 / 200,
		volumeRatio: 8200 / 8000,
		expectedLeft: null,
		mayRunOutHa: 0,
		say: 'Area, meter and rate can each be judged by themselves.',
	});
	expect(balance.expectedLeft.low).toBeCloseTo(320 - 2 * sigma, 9);
	expect(balance.expectedLeft.high).toBeCloseTo(320 + 2 * sigma, 9);
});

test('a job that may run short says by how many hectares', () => {
	const short = { ...job, mixedL: 7900, leftL: null, ranOutHa: 0.5 };
	const { expectedLeft, mayRunOutHa } = jobBalance(short, fills, USUAL_NOISE);
	// 20 L are left on average when all is sound.
	expect(expectedLeft.low).toBe(0);
	expect(mayRunOutHa).toBeCloseTo((expectedLeft.high - 2 * 20) / 200, 9);
});

test('what was still to go belongs to the field, not to the ground the mix covered', () => {
	const short = { ...job, counterHa: 39, ranOutHa: 1.4, leftL: 0, controllerL: 7800 };
	const { areaRatio, rateRatio, volumeRatio, sprayedL } = jobBalance(short, fills, USUAL_NOISE);
	expect([areaRatio, rateRatio, volumeRatio]).toEqual([40.4 / 40, 1, sprayedL / 38.6 / 200]);
});

test('what was not reported leaves sums that cannot be taken apart', () => {
	const kinds = (change: Partial<SeasonJob>) =>
		jobReadings({ ...job, ...change }, fills, USUAL_NOISE).map(({ holds }) =>
			Object.entries(holds)
				.filter(([, held]) => held)
				.map(([name]) => name)
				.join('+'),
		);
	const nothing = { counterHa: null, controllerL: null, leftL: null, ranOutHa: null };
	expect([
		kinds({}),
		kinds({ controllerL: null }),
		kinds({ counterHa: null }),
		kinds({ counterHa: null, controllerL: null }),
		kinds(nothing),
	]).toEqual([['area', 'meter', 'rate'], ['area', 'meter+rate'], ['meter', 'area+rate'], ['area+meter+rate'], []]);
	expect(jobBalance({ ...job, ...nothing }, fills, USUAL_NOISE)).toEqual({
		jobId: 'j',
		sprayedL: 8320,
		expectedLeft: expect.anything(),
		mayRunOutHa: 0,
		say: 'Nothing was reported at the end of this job.',
	});
	expect(jobBalance({ ...job, controllerL: null }, fills, USUAL_NOISE).say).toBe(
		'Not reported: controller litres. So area, meter and rate cannot all be told apart.',
	);
});

test('a job without an area gives no ratio and no infinity', () => {
	const balance = jobBalance({ ...job, areaLoadedForHa: 0, counterHa: 0, fields: [] }, fills, USUAL_NOISE);
	expect(JSON.parse(JSON.stringify(balance))).toEqual(balance);
	expect(Object.keys(balance)).not.toContain('areaRatio');
	expect(jobReadings({ ...job, areaLoadedForHa: 0, counterHa: 0 }, fills, USUAL_NOISE).length).toBe(1);
});
