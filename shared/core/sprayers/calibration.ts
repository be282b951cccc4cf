import { ok, type Result, refuse } from '../../basics/result.ts';
import type { LitresPerHectare, LitresPerMinute, Metres, Seconds } from '../../units/quantity.ts';
import { checkNozzles, meanOf, type NozzleCheck } from './nozzle-check.ts';
import type { Bar, KilometresPerHour } from './us-customary.ts';

export type CalibrationGiven = {
	readonly spacingM: Metres;
	readonly speedKmh?: KilometresPerHour | undefined;
	readonly distanceM?: Metres | undefined;
	readonly timeS?: Seconds | undefined;
	readonly sprayVolumeLPerHa?: LitresPerHectare | undefined;
	readonly nozzleLPerMin?: LitresPerMinute | undefined;
	readonly catchesLPerMin?: readonly LitresPerMinute[] | undefined;
	readonly nominalLPerMin?: LitresPerMinute | undefined;
	readonly pressureBar?: Bar | undefined;
	readonly targetPressureBar?: Bar | undefined;
};

export type Calibration = {
	speedKmh?: number;
	nozzleLPerMin?: number;
	sprayVolumeLPerHa?: number;
	/** What the nozzles caught would put on at this speed, beside the spray volume asked for. */
	measuredSprayVolumeLPerHa?: number;
	flowAtTargetLPerMin?: number;
	/** The pressure at which the nozzles measured give the flow needed. */
	pressureNeededBar?: number;
	nozzles?: NozzleCheck[];
};

/** 10,000 m²/ha and 60 min/h over 1,000 m/km: L/min = L/ha × km/h × m ÷ 600. */
const HECTARE_MINUTES = 600;
const KMH_PER_M_PER_S = 3.6;
/** Two figures for the same thing may differ by the rounding of a stopwatch or a nozzle chart. Common practice. */
const AGREEMENT = 0.02;

/**
 * Sprayer arithmetic: whatever of speed, nozzle output and spray volume follows from what is given, and the nozzle check.
 *
 *   nozzle [L/min] = spray volume [L/ha] × speed [km/h] × spacing [m] ÷ 600,     speed [km/h] = 3.6 × distance [m] ÷ time [s]
 *   flow at another pressure = flow × √(target pressure ÷ pressure)
 *
 * A figure given stands as given. One that is not, is taken from the others; the nozzle output, in this order: from
 * spray volume and speed, the mean of the catches, the nominal output. It is the output at `pressureBar`.
 * Refuses `calibration.contradiction` when a figure given differs by more than 2 % from what the others make it: speed
 * against distance and time, or nozzle output against spray volume and speed; `calibration.noFlow` when every catch is 0.
 * Source: ANDEF manual 2004 (as cited), UF/IFAS WG013, Univ. Missouri G1270a; cases in tests/reference/calibration.test.ts.
 */
export function calibrate(given: CalibrationGiven): Result<Calibration> {
	const { spacingM, sprayVolumeLPerHa, catchesLPerMin = [], nominalLPerMin, pressureBar } = given;
	const timedKmh = speedFromTime(given);
	const meanLPerMin = meanOf(catchesLPerMin);
	if (meanLPerMin === 0) return refuse('calibration.noFlow', { catches: catchesLPerMin.length });

	const knownKmh = given.speedKmh ?? timedKmh;
	const neededLPerMin = flowFor({ spacingM, speedKmh: knownKmh, sprayVolumeLPerHa });
	const contradiction =
		disagreement('speedKmh', given.speedKmh, timedKmh) ??
		disagreement('nozzleLPerMin', given.nozzleLPerMin, neededLPerMin);
	if (contradiction !== null) return refuse('calibration.contradiction', contradiction);

	const measuredLPerMin = given.nozzleLPerMin ?? meanLPerMin ?? nominalLPerMin;
	const nozzleLPerMin = given.nozzleLPerMin ?? neededLPerMin ?? measuredLPerMin;
	const speedKmh = knownKmh ?? speedFor({ spacingM, nozzleLPerMin, sprayVolumeLPerHa });
	const measuredVolume = volumeFor({ spacingM, speedKmh: knownKmh, nozzleLPerMin: meanLPerMin });

	return ok(
		known({
			speedKmh,
			nozzleLPerMin,
			sprayVolumeLPerHa: sprayVolumeLPerHa ?? volumeFor({ spacingM, speedKmh, nozzleLPerMin }),
			measuredSprayVolumeLPerHa: measuredVolume,
			flowAtTargetLPerMin: flowAtPressure(nozzleLPerMin, pressureBar, given.targetPressureBar),
			pressureNeededBar: pressureForFlow(neededLPerMin, measuredLPerMin, pressureBar),
			nozzles: catchesLPerMin.length > 0 ? checkNozzles(catchesLPerMin, nominalLPerMin ?? null) : undefined,
		}),
	);
}

type Sum = {
	readonly spacingM: Metres;
	readonly speedKmh?: number | undefined;
	readonly sprayVolumeLPerHa?: number | undefined;
	readonly nozzleLPerMin?: number | undefined;
};

function flowFor({ spacingM, speedKmh, sprayVolumeLPerHa }: Sum): number | undefined {
	if (speedKmh === undefined || sprayVolumeLPerHa === undefined) return undefined;
	return (sprayVolumeLPerHa * speedKmh * spacingM) / HECTARE_MINUTES;
}

function volumeFor({ spacingM, speedKmh, nozzleLPerMin }: Sum): number | undefined {
	if (speedKmh === undefined || nozzleLPerMin === undefined) return undefined;
	return (HECTARE_MINUTES * nozzleLPerMin) / (speedKmh * spacingM);
}

function speedFor({ spacingM, nozzleLPerMin, sprayVolumeLPerHa }: Sum): number | undefined {
	if (nozzleLPerMin === undefined || sprayVolumeLPerHa === undefined) return undefined;
	return (HECTARE_MINUTES * nozzleLPerMin) / (sprayVolumeLPerHa * spacingM);
}

function speedFromTime({ distanceM, timeS }: CalibrationGiven): number | undefined {
	return distanceM === undefined || timeS === undefined ? undefined : (KMH_PER_M_PER_S * distanceM) / timeS;
}

function flowAtPressure(flow: number | undefined, atBar: number | undefined, targetBar: number | undefined) {
	if (flow === undefined || atBar === undefined || targetBar === undefined) return undefined;
	return flow * Math.sqrt(targetBar / atBar);
}

function pressureForFlow(needed: number | undefined, measured: number | undefined, atBar: number | undefined) {
	if (needed === undefined || measured === undefined || atBar === undefined) return undefined;
	return atBar * (needed / measured) ** 2;
}

function disagreement(figure: string, given: number | undefined, follows: number | undefined) {
	if (given === undefined || follows === undefined) return null;
	return Math.abs(given / follows - 1) > AGREEMENT ? { figure, given, follows } : null;
}

function known<Answer extends object>(answer: { readonly [Key in keyof Answer]: Answer[Key] | undefined }): Answer {
	return Object.fromEntries(Object.entries(answer).filter(([, value]) => value !== undefined)) as Answer;
}
