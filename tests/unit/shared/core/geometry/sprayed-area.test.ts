import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type KnownGround, sprayedArea, whyNotCounted } from '../../../../../shared/core/geometry/sprayed-area.ts';

const known: KnownGround = { boundary: { areaHa: 12.37, sigmaHa: 0.09 }, mappedHa: 12.06, loadForHa: 12.37 };
const passes = (...areas: number[]) => areas.map((areaHa) => ({ areaHa }));

test('three passes near each other are better evidence than a boundary of ± 0.09 ha', () => {
	const found = sprayedArea(passes(12.28, 12.31, 12.34), known);
	/* By hand: Σ(x−m)² = 0.0018; (0.005 × 12.31)² = 0.003788; widened 0.0018628; ÷ 3 + (0.02462)² = 0.0012271; root 0.03503. */
	expect({
		...found,
		sigmaHa: found?.sigmaHa.toFixed(4),
		spreadHa: found?.spreadHa?.toFixed(4),
		meanHa: found?.meanHa.toFixed(4),
	}).toEqual({
		passes: 3,
		meanHa: '12.3100',
		spreadHa: '0.0300',
		sigmaHa: '0.0350',
		verdict: 'propose',
		say: '3 passes say 12.31 ± 0.04 ha; the boundary says 12.37 ± 0.09 ha.',
	});
});

test.each([
	['two passes may agree by chance', passes(12.31, 12.31), known, 'too few'],
	[
		'a precise boundary stays',
		passes(12.28, 12.31, 12.34),
		{ ...known, boundary: { areaHa: 12.37, sigmaHa: 0.02 } },
		'boundary is better',
	],
	['passes that scatter are no better', passes(11.9, 12.3, 12.7), known, 'boundary is better'],
	['a counter with overlap is too far off', passes(13.1, 13.12, 13.15), known, 'apart'],
	[
		'the figure already loaded for is not proposed again',
		passes(12.3, 12.31, 12.32),
		{ ...known, loadForHa: 12.31 },
		'as loaded',
	],
	[
		'without a boundary the passes are the only measurement',
		passes(12.3, 12.31, 12.32),
		{ ...known, boundary: null },
		'propose',
	],
] as const)('%s', (_, given, ground, verdict) => {
	expect(sprayedArea(given, ground)?.verdict).toBe(verdict);
});

test.each([
	['machine area', { areaHa: 12.4, withOverlap: true, plannedHa: 12.37 }, 'machine area: the counter adds overlap'],
	[
		'a job on half the field',
		{ areaHa: 6.1, withOverlap: null, plannedHa: 6.2 },
		'the job was for other ground than the field is now',
	],
	[
		'a job that stopped early',
		{ areaHa: 8, withOverlap: false, plannedHa: 12.37 },
		'not the whole field, or more than it',
	],
	['a job loaded for the mapped area', { areaHa: 12.3, withOverlap: null, plannedHa: 12.06 }, null],
	['a figure typed without a job', { areaHa: 12.3, withOverlap: null, plannedHa: null }, null],
] as const)('%s', (_, pass, why) => {
	expect(whyNotCounted(pass, known)).toBe(why);
});

test('no pass says nothing', () => {
	expect(sprayedArea([], known)).toBeNull();
});

test('order changes nothing, units scale, and more of the same passes never know less', () => {
	fc.assert(
		fc.property(
			fc.array(fc.double({ min: 9, max: 11, noNaN: true }), { minLength: 3, maxLength: 8 }),
			fc.double({ min: 0.1, max: 30, noNaN: true }),
			(areas, factor) => {
				const one = sprayedArea(passes(...areas), known);
				const reversed = sprayedArea(passes(...areas.toReversed()), known);
				const scaled = sprayedArea(passes(...areas.map((area) => area * factor)), known);
				const twice = sprayedArea(passes(...areas, ...areas), known);
				expect(reversed?.sigmaHa).toBeCloseTo(one?.sigmaHa ?? Number.NaN, 9);
				expect((scaled?.sigmaHa ?? 0) / factor).toBeCloseTo(one?.sigmaHa ?? Number.NaN, 9);
				expect(twice?.sigmaHa).toBeLessThan(one?.sigmaHa ?? 0);
			},
		),
		{ seed: 7, numRuns: 200 },
	);
});
