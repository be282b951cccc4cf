import type { Litres, Seconds } from '../../units/quantity.ts';
import { fill, type MeterStop } from './fill.ts';
import type { FillGiven } from './fill-given.ts';
import { type FillState, type FillStep, fillState, meteredBy, secondsOutside } from './fill-steps.ts';
import { type FillContainer, tasksOf } from './handling.ts';
import { worthStopping } from './stop-length.ts';

/** How soon something is to be done. */
export type Call = 'later' | 'soon' | 'now';

export type NextStop = {
	/** Where the inlet is to be shut; the valve's run-on is taken off already. */
	readonly atMeterL: number;
	readonly tankL: number;
	readonly inS: Seconds;
	/** How long it stays shut; null for the last stop. */
	readonly forS: Seconds | null;
	readonly call: Call;
};

/** Where a running fill stands, and what comes next. */
export type FillNow = {
	readonly state: FillState;
	readonly phase: 'not begun' | 'filling' | 'halted' | 'filled';
	readonly elapsedS: Seconds;
	/** By the clock: inflow × time open, since the last reading. */
	readonly meterL: Litres;
	readonly tankL: Litres;
	/** Index of the container in hand; null when all are done. */
	readonly next: number | null;
	readonly left: number;
	/** Until the first container is opened; 0 once it may be. */
	readonly firstInS: Seconds;
	readonly stop: NextStop | null;
	/** With the inlet shut and water still to come: seconds until it is opened again. */
	readonly openInS: Seconds | null;
	/** Containers emptied while the inlet was shut: their last rinse with clean water is still owed. */
	readonly owedRinses: number;
};

/** Time to get a hand on the valve. Assumption. */
const REACH_S = 5;
const SOON_S = 30;
/** From this part of the water on, an inlet that is shut is shut for good: the clock is no closer to the meter. Assumption. */
const NEARLY_ALL = 0.9;
/** An inlet that is shut below this part of the level to pour at was shut for something else: waiting there gains nothing. Assumption. */
const EARLY = 0.9;

/**
 * The running fill: which container is next, where the inlet is shut next, and when it is opened again.
 *
 *   tank [L]  = carried in + metered + product and clean-tank rinses of the containers done
 *   need [s]  = the stop that `fill` finds for the rest of the load, from this level with these containers
 *
 * A planned stop that the operator's pace makes needless is left out; one that it makes necessary is asked for, at the
 * planned level or, beyond it, at once. `now` begins the time to reach the valve before the mark.
 * Litres and seconds. Source: `fill` for the rest; lead and slack are assumptions, named above.
 */
export function fillNow(given: FillGiven, steps: readonly FillStep[], now: number): FillNow {
	const state = fillState(steps);
	const meterL = meteredBy(state, given.inflowLPerMin, now);
	const doneContainers = given.containers.filter((_, index) => state.done.has(index + 1));
	const rest = given.containers.filter((_, index) => !state.done.has(index + 1));
	const pouredL = broughtIn(doneContainers, given);
	const tankL = given.carriedInL + meterL + pouredL;
	const plan = fill(given);
	const stops = plan.ok ? plan.value.meterStops : [];
	const lPerS = given.inflowLPerMin / 60;
	const needS = state.openedAt === null ? (plan.ok ? plan.value.pausedS : 0) : neededS(given, state, rest, tankL, now);
	const lastAtL = stops.at(-1)?.atMeterL ?? 0;
	const filled = meterL >= lastAtL;
	const stop = nextStop({ given, state, stops, needS, meterL, tankL, pouredL, filled });
	const firstInS = state.done.size > 0 ? 0 : Math.max(0, given.startL - tankL) / lPerS;
	const first = given.containers.findIndex((_, index) => !state.done.has(index + 1));
	const shut = state.openedAt !== null && !state.inletOpen;
	return {
		state,
		phase: phaseOf(state, rest.length === 0 && shut && meterL >= NEARLY_ALL * lastAtL),
		elapsedS: state.openedAt === null ? 0 : Math.max(0, now - state.openedAt) / 1000,
		meterL,
		tankL,
		next: first < 0 ? null : first,
		left: rest.length,
		firstInS,
		stop,
		openInS: shut && !state.halted && !filled ? (tankL < EARLY * pauseLevel(given) ? 0 : needS) : null,
		owedRinses: given.handling.rinseFrom === 'inlet' ? emptiedWhileShut(state) : 0,
	};
}

function phaseOf({ openedAt, halted }: FillState, allIn: boolean): FillNow['phase'] {
	if (halted) return 'halted';
	if (openedAt === null) return 'not begun';
	return allIn ? 'filled' : 'filling';
}

function nextStop(at: {
	readonly given: FillGiven;
	readonly state: FillState;
	readonly stops: readonly MeterStop[];
	readonly needS: Seconds;
	readonly meterL: Litres;
	readonly tankL: Litres;
	readonly pouredL: Litres;
	readonly filled: boolean;
}): NextStop | null {
	const { given, state, stops, needS, meterL, tankL, pouredL } = at;
	const last = stops.at(-1);
	if (last === undefined || state.halted || (state.openedAt !== null && !state.inletOpen)) return null;
	const lPerS = given.inflowLPerMin / 60;
	const timed = (atMeterL: number, atTankL: number, forS: Seconds | null): NextStop => {
		const inS = Math.max(0, atMeterL - meterL) / lPerS;
		return { atMeterL, tankL: atTankL, inS, forS, call: inS <= REACH_S ? 'now' : inS <= SOON_S ? 'soon' : 'later' };
	};
	if (!worthStopping(needS) || at.filled) return timed(last.atMeterL, last.tankL, null);
	const planned = stops.length > 1 ? stops[0] : undefined;
	if (planned && state.closed.length === 0) return timed(planned.atMeterL, planned.tankL, needS);
	const levelL = pauseLevel(given);
	const atMeterL = Math.max(0, Math.round(levelL - given.carriedInL - pouredL - given.valveRunOnL));
	if (tankL >= levelL) return timed(Math.round(meterL), Math.round(tankL), needS);
	return timed(atMeterL, Math.round(levelL), needS);
}

/** Where the tank stands when the inlet is shut for pouring. */
function pauseLevel({ totalL, startL, leastWaterL }: FillGiven): Litres {
	return Math.max(totalL / 2, startL, leastWaterL);
}

/** How long the inlet has to be shut from here for the rest of the containers; the one in hand is worked on already. */
function neededS(
	given: FillGiven,
	state: FillState,
	rest: readonly FillContainer[],
	tankL: Litres,
	now: number,
): Seconds {
	const [inHand, ...others] = rest;
	if (inHand === undefined) return 0;
	const restProductL = rest.reduce((sum, { volumeL }) => sum + volumeL, 0);
	const answer = fill({
		...given,
		carriedInL: tankL,
		waterL: Math.max(0, given.totalL - tankL - restProductL),
		startL: state.done.size > 0 ? Math.min(given.startL, tankL) : given.startL,
		containers: [partlyDone(inHand, given, workedS(given, state, tankL, now)), ...others],
	});
	return answer.ok && !answer.value.fits ? answer.value.pausedS : 0;
}

function workedS(given: FillGiven, state: FillState, tankL: Litres, now: number): Seconds {
	if (state.lastDoneAt !== null) return secondsOutside(state.lastDoneAt, now, state.haltedTimes);
	return Math.max(0, tankL - given.startL) / (given.inflowLPerMin / 60);
}

function partlyDone(container: FillContainer, given: FillGiven, workedSoFarS: Seconds): FillContainer {
	const tasks = tasksOf([container], { ...given.handling, waitAfterS: 0 });
	const wholeS = tasks.reduce((sum, { durationS }) => sum + durationS, 0);
	const left = wholeS === 0 ? 0 : Math.max(0, 1 - workedSoFarS / wholeS);
	const { preSlurryS, openAndPourS, rinsesS, drainS } = { ...given.handling, ...container.handling };
	const handling = {
		...container.handling,
		preSlurryS: (preSlurryS ?? 0) * left,
		openAndPourS: (openAndPourS ?? 0) * left,
		rinsesS: (rinsesS ?? []).map((rinseS) => rinseS * left),
		drainS: (drainS ?? 0) * left,
	};
	return { ...container, handling };
}

function broughtIn(containers: readonly FillContainer[], given: FillGiven): Litres {
	return tasksOf(containers, given.handling).reduce(
		(sum, { productL, cleanWaterL }) => sum + productL + cleanWaterL,
		0,
	);
}

function emptiedWhileShut({ steps, closed }: FillState): number {
	const shut = closed.at(-1);
	if (!shut) return 0;
	return steps.filter(({ what, at }) => what === 'container done' && at >= shut.from && at <= (shut.to ?? at)).length;
}
