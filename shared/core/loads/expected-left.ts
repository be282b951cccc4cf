import type { Hectares, Litres, LitresPerHectare } from '../../units/quantity.ts';

/** The inlet meter is read in whole litres: standard error of rounding. */
const METER_STEP_SIGMA_L = 1 / Math.sqrt(12);
/** 95 of 100 lie within. */
const RANGE_SIGMAS = 2;

/** What the litres of a job rest on. */
export type LitresOfJob = {
	readonly sprayVolumeLPerHa: LitresPerHectare;
	/** Standard error of the area of each field. */
	readonly areaSigmasHa: readonly Hectares[];
	/** New mix of each fill. */
	readonly newMixL: readonly Litres[];
	/** Standard error of the meter, new in every fill, as a fraction. */
	readonly meterRelative: number;
	/** What the meter may be off in every fill alike, as a fraction. */
	readonly meterBias: number;
	/** Standard error of the product measured out. */
	readonly pourSigmaL: Litres;
};

/** Standard errors of the litres at the end of a job, by where they come from. */
export type LeftSigma = { readonly areaL: Litres; readonly meterL: Litres; readonly stepL: Litres };

/**
 * How far the mix at the end of a job may be off, as standard errors.
 *
 *   by area  = spray volume × √Σ σ_area²
 *   by meter = √( Σ (σ_meter × new mix)² + (bias × Σ new mix)² )
 *   by step  = √( fills × (1 L)² ÷ 12 + σ_pour² )
 *
 * The three are independent: together they are the root of the sum of their squares.
 * Source: propagation of independent errors; rounding to a step has the standard error step ÷ √12.
 */
export function leftSigma(job: LitresOfJob): LeftSigma {
	const { sprayVolumeLPerHa, areaSigmasHa, newMixL, meterRelative, meterBias, pourSigmaL } = job;
	const mixedL = newMixL.reduce((sum, litres) => sum + litres, 0);
	return {
		areaL: sprayVolumeLPerHa * Math.hypot(...areaSigmasHa),
		meterL: Math.hypot(meterRelative * Math.hypot(...newMixL), meterBias * mixedL),
		stepL: Math.hypot(METER_STEP_SIGMA_L * Math.sqrt(newMixL.length), pourSigmaL),
	};
}

/** Range of what is left at the end, 95 of 100; below zero it is short by that much. */
export type LeftRange = { readonly lowL: Litres; readonly highL: Litres; readonly sigmaL: Litres };

/** expected ± 2 σ, where `expectedL` is what is left when all is sound: 0 for a job made up as planned. */
export function leftRange(expectedL: Litres, { areaL, meterL, stepL }: LeftSigma): LeftRange {
	const sigmaL = Math.hypot(areaL, meterL, stepL);
	return { lowL: expectedL - RANGE_SIGMAS * sigmaL, highL: expectedL + RANGE_SIGMAS * sigmaL, sigmaL };
}
