import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
	explainDifference,
	type Reconciled,
	type ReconcileInput,
	reconcile,
} from '../../../../../shared/core/geometry/area-reconciliation.ts';

/** The result in short: causes by name, figures to a square centimetre. */
function inShort(input: ReconcileInput) {
	const result = reconcile(input);
	return {
		causes: Object.fromEntries(result.causes.map(({ cause, areaHa }) => [cause, round(areaHa)])),
		unexplainedHa: round(result.unexplainedHa),
		withinTolerance: result.withinTolerance,
	};
}

function round(value: number): number {
	return Math.round(value * 1e8) / 1e8 + 0;
}

test('a plain difference, its percent and the strip it is worth', () => {
	const result = reconcile({ measuredHa: 10.31, mappedHa: 10, perimeterM: 1600 });
	expect(result).toEqual({
		differenceHa: expect.closeTo(0.31, 10),
		differencePercent: expect.closeTo(3.1, 10),
		edgeStripM: expect.closeTo(1.9375, 8),
		toleranceHa: 0.24,
		withinTolerance: false,
		causes: [],
		explainedHa: 0,
		unexplainedHa: expect.closeTo(0.31, 10),
	} satisfies Record<keyof Reconciled, unknown>);
	expect(explainDifference(result)).toBe('The measured area is 0.31 ha larger than the mapped one: 1.9 m all round.');
});

describe('causes', () => {
	test('strips the mapped figure leaves out add to it', () => {
		const strips = [
			{ label: 'north margin', areaHa: 0.2 },
			{ label: 'ditch', areaHa: 0.1 },
		];
		expect(inShort({ measuredHa: 10.31, mappedHa: 10, perimeterM: 1600, strips })).toEqual({
			causes: { strips: 0.3 },
			unexplainedHa: 0.01,
			withinTolerance: true,
		});
		expect(reconcile({ measuredHa: 10.31, mappedHa: 10, perimeterM: 1600, strips }).causes[0]?.say).toBe(
			'left out of the mapped area: north margin, ditch',
		);
	});

	test('rounding explains at most half a step, either way, and never more than is there', () => {
		const field = { perimeterM: 270, mappedStepHa: 0.01 };
		expect([
			inShort({ ...field, measuredHa: 0.478, mappedHa: 0.47 }),
			inShort({ ...field, measuredHa: 0.462, mappedHa: 0.47 }),
			inShort({ ...field, measuredHa: 0.4731, mappedHa: 0.47 }),
			inShort({ ...field, measuredHa: 0.47, mappedHa: 0.47 }),
		]).toEqual([
			{ causes: { rounding: 0.005 }, unexplainedHa: 0.003, withinTolerance: true },
			{ causes: { rounding: -0.005 }, unexplainedHa: -0.003, withinTolerance: true },
			{ causes: { rounding: 0.0031 }, unexplainedHa: 0, withinTolerance: true },
			{ causes: {}, unexplainedHa: 0, withinTolerance: true },
		]);
	});

	test('a plane that is too small makes the mapped figure too small', () => {
		expect(inShort({ measuredHa: 4.04288126, mappedHa: 4.03994452, perimeterM: 2248, gridScalePpm: -726.4 })).toEqual({
			causes: { 'grid scale': 0.00293675 },
			unexplainedHa: -0.00000001,
			withinTolerance: true,
		});
		expect(inShort({ measuredHa: 100, mappedHa: 100.0227, perimeterM: 4000, gridScalePpm: 227 }).causes).toEqual({
			'grid scale': -0.0227,
		});
	});

	test.each([
		['square metres read as hectares', 123_400],
		['hectares read as square metres', 0.001234],
		['acres read as hectares', 12.34 / 0.40468564224],
		['hectares read as acres', 12.34 * 0.40468564224],
		['square feet read as hectares', 123_400 / 0.3048 ** 2],
		['ares read as hectares', 1234],
		['square kilometres read as hectares, or hectares as ares', 0.1234],
		['decares read as hectares', 123.4],
		['hectares read as decares', 1.234],
	])('%s', (say, mappedHa) => {
		const result = reconcile({ measuredHa: 12.4, mappedHa, perimeterM: 1500 });
		expect(result.causes).toEqual([
			{ cause: 'unit or column mix-up', areaHa: expect.closeTo(12.34 - mappedHa, 6), say },
		]);
		expect(result.unexplainedHa).toBeCloseTo(0.06, 6);
		expect(result.withinTolerance).toBe(true);
	});

	test('square degrees are told at every latitude, and explain the whole difference', () => {
		for (const latitude of [0, 36, 52, 60, 69]) {
			const mappedHa = 12.4 / (1.2364e6 * Math.cos((latitude * Math.PI) / 180));
			expect(inShort({ measuredHa: 12.4, mappedHa, perimeterM: 1500 })).toEqual({
				causes: { 'unit or column mix-up': round(12.4 - mappedHa) },
				unexplainedHa: 0,
				withinTolerance: true,
			});
		}
	});

	test('after a mix-up the other causes are taken of the figure put right', () => {
		const input = { measuredHa: 10.31, mappedHa: 100_000, perimeterM: 1600, mappedStepHa: 1, gridScalePpm: -500 };
		expect(inShort({ ...input, strips: [{ label: 'margin', areaHa: 0.3 }] })).toEqual({
			causes: {
				strips: 0.3,
				rounding: 0.00005,
				'grid scale': round(10 / 0.9995 - 10),
				'unit or column mix-up': -99_990,
			},
			unexplainedHa: round(0.01 - 0.00005 - (10 / 0.9995 - 10)),
			withinTolerance: true,
		});
	});

	test('no mix-up is made up where the figures agree or are wildly apart', () => {
		expect(inShort({ measuredHa: 12.4, mappedHa: 12.3, perimeterM: 1500 }).causes).toEqual({});
		expect(inShort({ measuredHa: 12.4, mappedHa: 24.8, perimeterM: 1500 }).causes).toEqual({});
		expect(inShort({ measuredHa: 12.4, mappedHa: 3000, perimeterM: 1500 }).causes).toEqual({});
	});
});

test('a mapped area of 0.00 ha has no percent, and its rounding explains a field of 45 m²', () => {
	const result = reconcile({ measuredHa: 0.0045, mappedHa: 0, perimeterM: 27, mappedStepHa: 0.01 });
	expect([result.differencePercent, result.unexplainedHa, result.withinTolerance]).toEqual([null, 0, true]);
});

test('exactly on the tolerance is within it', () => {
	expect(reconcile({ measuredHa: 10.12, mappedHa: 10, perimeterM: 800 }).withinTolerance).toBe(true);
	expect(reconcile({ measuredHa: 10.1201, mappedHa: 10, perimeterM: 800 }).withinTolerance).toBe(false);
});

test('whatever the causes, mapped + explained + unexplained is measured', () => {
	const area = fc.double({ min: 0.001, max: 500, noNaN: true });
	fc.assert(
		fc.property(
			area,
			fc.double({ min: 0, max: 1e7, noNaN: true }),
			fc.array(area, { maxLength: 3 }),
			fc.double({ min: 0, max: 1, noNaN: true }),
			fc.integer({ min: -800, max: 2000 }),
			(measuredHa, mappedHa, strips, mappedStepHa, gridScalePpm) => {
				const result = reconcile({
					measuredHa,
					mappedHa,
					perimeterM: 900,
					strips: strips.map((areaHa, index) => ({ label: `strip ${index}`, areaHa })),
					mappedStepHa,
					gridScalePpm,
				});
				const sum = result.causes.reduce((total, { areaHa }) => total + areaHa, 0);
				expect(result.explainedHa).toBe(sum);
				expect(Math.abs(mappedHa + sum + result.unexplainedHa - measuredHa)).toBeLessThan(1e-6);
				expect(result.withinTolerance).toBe(Math.abs(result.unexplainedHa) <= result.toleranceHa + 1e-9);
			},
		),
		{ seed: 20270418, numRuns: 500 },
	);
});

test.each([
	[0.31, 1.94, 'The measured area is 0.31 ha larger than the mapped one: 1.9 m all round.'],
	[-0.31, -1.94, 'The measured area is 0.31 ha smaller than the mapped one: 1.9 m all round.'],
	[0.0031, 0.03, 'The measured area is 31 m² larger than the mapped one: less than 0.1 m all round.'],
	[-0.00002, -0.001, 'The measured area is less than 1 m² smaller than the mapped one: less than 0.1 m all round.'],
	[0, 0, 'The measured and the mapped area are the same.'],
])('a difference of %d ha in words', (differenceHa, edgeStripM, words) => {
	expect(explainDifference({ differenceHa, edgeStripM })).toBe(words);
});
