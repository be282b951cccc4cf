import fc from 'fast-check';
import { expect, test } from 'vitest';
import { leftRange, leftSigma } from '../../../../../shared/core/loads/expected-left.ts';

const job = {
	sprayVolumeLPerHa: 200,
	areaSigmasHa: [0.3, 0.4],
	newMixL: [3000, 4000],
	meterRelative: 0.02,
	meterBias: 0.005,
	pourSigmaL: 0.5,
};

test('area, meter and measuring each come to what a hand calculation gives', () => {
	// √(0.3² + 0.4²) = 0.5 ha at 200 L/ha; 2 % of √(3,000² + 4,000²) = 100 L and 0.5 % of 7,000 L = 35 L; 2 readings.
	const { areaL, meterL, stepL } = leftSigma(job);
	expect([areaL, meterL, stepL]).toEqual([100, Math.hypot(100, 35), expect.closeTo(Math.sqrt(2 / 12 + 0.25), 12)]);
});

test('the range is two standard errors to either side, and below zero it is short', () => {
	const range = leftRange(30, { areaL: 30, meterL: 40, stepL: 0 });
	expect(range).toEqual({ lowL: -70, highL: 130, sigmaL: 50 });
});

test('one error more never makes the range narrower', () => {
	const figure = fc.double({ min: 0, max: 10, noNaN: true });
	fc.assert(
		fc.property(fc.array(figure, { maxLength: 6 }), figure, (areas, more) => {
			const of = (areaSigmasHa: number[]) => leftRange(0, leftSigma({ ...job, areaSigmasHa })).sigmaL;
			return of([...areas, more]) >= of(areas) - 1e-9;
		}),
		{ seed: 20270415 },
	);
});
