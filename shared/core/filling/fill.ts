import { ok, type Result, refuse } from '../../basics/result.ts';
import { type FillEvent, fillEvents } from './fill-events.ts';
import { type FillGiven, type FillLitres, LAST_DIGITS_L } from './fill-given.ts';
import { type Task, tasksOf } from './handling.ts';
import { laidOut, orderWithPause, type Pause, pauseFor, type TimedTask } from './inlet-pause.ts';
import { saidStop } from './stop-length.ts';

/** Where the operator shuts the inlet: by its meter, or, without one, by the tank's own scale. Whole litres. */
export type MeterStop = { atMeterL: number; tankL: number; why: string };

export type FillAnswer = {
	/** Every container goes in, and the last product has dispersed, without stopping the inlet. */
	fits: boolean;
	containersThatFit: number;
	/** Does the one stop suffice? True where no stop is needed. */
	fitsWithPause: boolean;
	pauseAtL: number | null;
	pausedS: number;
	meterStops: MeterStop[];
	finishS: number;
	events: FillEvent[];
	warnings: { code: string; message: string }[];
};

/** A load's litres are whole-litre figures of several sources: up to this they agree. */
const ROUNDING_L = 1;

/**
 * Will every container go in while the tank fills, or must the inlet be stopped, and where?
 *
 * Water runs from t = 0 with inflow Q. The tank level at any moment is
 *
 *   level [L] = carried in + metered water + product poured so far + rinse water from the clean tank
 *
 * 1. `openAt`: the first container is opened when the level is `startL`, t = (startL − carried in) ÷ Q.
 * 2. `tasksOf`: containers follow one another without a gap, each taking the same time whatever its size; after the last
 *    of a product its dispersal time. So the handling ends at  F = openAt + Σ containers + Σ waits.
 * 3. `containersThatFit`: a container fits when it is done while water still runs and before the level is total − reserve.
 * 4. All done and dispersed by then: no stop. What may have run through the meter by then is
 *
 *   metered by close = total − reserve − carried in − Σ product − Σ clean-tank rinses,     so it fits when  Q × F ≤ metered by close
 *
 * 5. `pauseFor`: else the inlet stops once, at the level max(total ÷ 2, startL, label's least water). Handling goes on, so
 *    F does not move; only the water waits. The shortest stop that lets the rest fit is therefore
 *
 *   pause [s] = F − metered by close ÷ Q
 *
 * 6. Rinsing from the inlet, the stop leaves only dilute mix to rinse with: the last rinse of each container handled then
 *    is given with clean water after the restart. The stop cannot be longer than all other work; where that is too
 *    short, or the level is too high by then, even the stop does not suffice, and that is said.
 * 7. `meterStops`: meter reading = level − carried in − product poured − clean-tank rinses − valve run-on, in whole litres.
 *
 * Litres and seconds in and out, not rounded but for the meter stops. Product counts as in when its container is empty.
 * Refuses `load.fillAboveTotal`, `load.rinseAboveWater`, `load.tankTooFull`.
 * Source: bookkeeping of litres and seconds; the start level and half-full stop are common practice.
 */
export function fill(given: FillGiven): Result<FillAnswer> {
	const tasks = tasksOf(given.containers, given.handling);
	const litres = litresOf(given, tasks);
	const problem = contradictionIn(given, litres);
	if (problem !== null) return problem;

	const inflowLPerS = given.inflowLPerMin / 60;
	const openAtS = Math.max(0, given.startL - given.carriedInL) / inflowLPerS;
	const straight = laidOut(tasks, openAtS);
	const containersThatFit = countThatFit(straight, given, litres);
	const handledS = straight.at(-1)?.toS ?? 0;
	const fits = tasks.length === 0 || handledS * inflowLPerS <= litres.meteredByCloseL + LAST_DIGITS_L;

	const pause = fits ? null : pauseFor(straight, given, litres);
	const timed = pause === null ? straight : laidOut(orderWithPause(straight, pause), openAtS);
	const filledS = litres.meteredL / inflowLPerS + (pause?.lengthS ?? 0);
	return ok({
		fits,
		containersThatFit,
		fitsWithPause: fits || pause?.suffices === true,
		pauseAtL: pause?.atLevelL ?? null,
		pausedS: pause?.lengthS ?? 0,
		meterStops: meterStopsOf(given, litres, pause),
		finishS: Math.max(handledS, filledS),
		events: fillEvents({ timed, pause, carriedInL: given.carriedInL, meteredL: litres.meteredL, inflowLPerS }),
		warnings: warningsOf(given, litres, { fits, pause, containersThatFit }),
	});
}

function litresOf(given: FillGiven, tasks: readonly Task[]): FillLitres {
	const productL = tasks.reduce((sum, task) => sum + task.productL, 0);
	const cleanRinseL = tasks.reduce((sum, task) => sum + task.cleanWaterL, 0);
	const meteredL = given.waterL - cleanRinseL;
	const roomByCloseL = given.totalL - given.closeReserveL - given.carriedInL - productL - cleanRinseL;
	return { productL, cleanRinseL, meteredL, meteredByCloseL: Math.min(roomByCloseL, meteredL) };
}

function contradictionIn(given: FillGiven, { productL, cleanRinseL, meteredL }: FillLitres) {
	const contentL = given.carriedInL + given.waterL + productL;
	if (contentL > given.totalL + ROUNDING_L) return refuse('load.fillAboveTotal', { contentL, totalL: given.totalL });
	if (meteredL < 0) return refuse('load.rinseAboveWater', { rinseL: cleanRinseL, waterL: given.waterL });
	const neverReached = given.startL > given.carriedInL + meteredL + LAST_DIGITS_L;
	if (neverReached && given.containers.length > 0) {
		return refuse('load.tankTooFull', { totalL: given.totalL, startL: given.startL });
	}
	return null;
}

function countThatFit(timed: readonly TimedTask[], given: FillGiven, litres: FillLitres): number {
	let inTankL = given.carriedInL;
	let done = 0;
	for (const [index, { task, toS }] of timed.entries()) {
		inTankL += task.productL + task.cleanWaterL;
		if (task.container === null || timed[index + 1]?.task.container === task.container) continue;
		const runL = (toS * given.inflowLPerMin) / 60;
		const stillRunning = runL <= litres.meteredL + LAST_DIGITS_L;
		const beforeClose = inTankL + runL <= given.totalL - given.closeReserveL + LAST_DIGITS_L;
		if (!stillRunning || !beforeClose) return done;
		done = task.container;
	}
	return done;
}

function meterStopsOf(given: FillGiven, litres: FillLitres, pause: Pause | null): MeterStop[] {
	const closingAt = (litresL: number) => Math.max(0, Math.round(litresL - given.valveRunOnL));
	const fullL = given.carriedInL + litres.meteredL + litres.productL + litres.cleanRinseL;
	const last = { atMeterL: closingAt(litres.meteredL), tankL: closingAt(fullL), why: 'all water is in' };
	if (pause === null) return [last];
	const lengthS = saidStop(pause.lengthS);
	const minutes = Math.floor(lengthS / 60);
	const parts = [minutes > 0 ? `${minutes} min` : '', lengthS % 60 > 0 ? `${lengthS % 60} s` : ''];
	const why = `stop for ${parts.filter(Boolean).join(' ')} while containers are handled, then open the inlet again`;
	return [{ atMeterL: closingAt(pause.meteredL), tankL: closingAt(pause.levelL), why }, last];
}

function warningsOf(
	given: FillGiven,
	{ productL, meteredL, cleanRinseL }: FillLitres,
	{ fits, pause, containersThatFit }: { fits: boolean; pause: Pause | null; containersThatFit: number },
): FillAnswer['warnings'] {
	const missingL = given.totalL - (given.carriedInL + meteredL + cleanRinseL + productL);
	const rest = given.containers.length - containersThatFit;
	const warnings = [];
	if (missingL > ROUNDING_L) {
		const message = `Water, product and mix carried in leave ${missingL.toFixed(1)} L of the ${given.totalL} L total open.`;
		warnings.push({ code: 'fill.belowTotal', message });
	}
	if (!fits && pause === null) {
		const message = `${rest} containers do not fit, and a stop of the inlet comes too late for them. Start with less water, or fill more slowly.`;
		warnings.push({ code: 'fill.noUsefulPause', message });
	}
	if (pause?.suffices === false) {
		const message = `Even with the stop, the handling is not done ${given.closeReserveL} L before the load is full. Start with less water, or fill more slowly.`;
		warnings.push({ code: 'fill.pauseNotEnough', message });
	}
	return warnings;
}
