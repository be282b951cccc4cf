import { z } from 'zod';
import { NotNegative, Positive, pure } from './procedure.ts';

/** Bounded so that the answer stays a finite number: one drop left, and no more rinses than anyone does. */
const Residual = z.number().min(1e-6).max(1_000_000);
const RinseWater = z.number().positive().max(1_000_000);

export const RinseInput = z.strictObject({
	residualL: Residual.describe('what is left in the container or the sprayer'),
	rinsesL: z.array(RinseWater).max(20).describe('clean water of each rinse'),
	targetFactor: z.number().gt(1).max(1e12).optional().describe('how many times weaker the rest is to be'),
});

export const RinseOutput = z.strictObject({
	remainingFraction: z.number(),
	factor: z.number(),
	rinsesForTarget: z.number().int().optional().describe('rinses of the mean size given that reach the target'),
	waterPerRinseForTargetL: z
		.number()
		.optional()
		.describe('water that as many equal rinses as given need for the target'),
});

export const CalibrateInput = z.strictObject({
	spacingM: Positive.describe('nozzle spacing on the boom'),
	speedKmh: Positive.optional(),
	distanceM: Positive.optional(),
	timeS: Positive.optional(),
	sprayVolumeLPerHa: Positive.optional(),
	nozzleLPerMin: Positive.optional(),
	catchesLPerMin: z.array(NotNegative).max(500).optional(),
	nominalLPerMin: Positive.optional(),
	pressureBar: Positive.optional().describe('pressure at which the output was caught or is rated'),
	targetPressureBar: Positive.optional(),
});

export const CalibrateOutput = z.strictObject({
	speedKmh: z.number().optional(),
	nozzleLPerMin: z.number().optional(),
	sprayVolumeLPerHa: z.number().optional(),
	measuredSprayVolumeLPerHa: z.number().optional(),
	flowAtTargetLPerMin: z.number().optional(),
	pressureNeededBar: z.number().optional(),
	nozzles: z
		.array(
			z.strictObject({
				lPerMin: z.number(),
				fromMeanPercent: z.number(),
				fromNominalPercent: z.number().nullable(),
				verdict: z.enum(['ok', 'warn', 'fail']),
			}),
		)
		.optional(),
});

export const SpreadingInput = z.strictObject({
	caughtKg: Positive.describe('what was caught, or ran out'),
	widthM: Positive.describe('width that one pass covers'),
	distanceM: Positive.optional(),
	speedKmh: Positive.optional(),
	timeS: Positive.optional().describe('with the speed in place of the distance; also where it was caught standing'),
	targetKgPerHa: Positive.optional(),
});

export const SpreadingOutput = z.strictObject({
	kgPerHa: z.number(),
	areaHa: z.number(),
	distanceM: z.number(),
	fromTargetPercent: z.number().optional(),
	targetKg: z.number().optional().describe('what the same run should have given'),
});

export type SpreadingOutput = z.infer<typeof SpreadingOutput>;
export type RinseInput = z.infer<typeof RinseInput>;
export type CalibrateInput = z.infer<typeof CalibrateInput>;

export const sprayersPureContract = {
	rinse: pure('How much weaker a residue is after rinsing', RinseInput, RinseOutput),
	calibrate: pure(
		'Speed, nozzle output and spray volume from each other, and the nozzle check',
		CalibrateInput,
		CalibrateOutput,
	),
	spreadingRate: pure(
		'The rate of a spreader or an applicator from what it gave on a run',
		SpreadingInput,
		SpreadingOutput,
	),
};
