import type { Litres, Seconds } from '../../units/quantity.ts';
import type { FillGiven, FillLitres } from './fill-given.ts';
import type { Task } from './handling.ts';

/** A task and when it is done, seconds after the inlet was first opened. */
export type TimedTask = { readonly task: Task; readonly fromS: Seconds; readonly toS: Seconds };

/** The one stop of the inlet. */
export type Pause = {
	readonly fromS: Seconds;
	readonly lengthS: Seconds;
	/** The level asked for; `levelL` is what stands in the tank at the stop: a container emptied at that moment may exceed it. */
	readonly atLevelL: Litres;
	readonly levelL: Litres;
	readonly meteredL: Litres;
	/** The rest is done before the closing reserve. */
	readonly suffices: boolean;
};

/** Times are sums of the same figures in another order: equal but for the last digits. */
const LAST_DIGITS_S = 1e-6;

/** The tasks one after another, without a gap. */
export function laidOut(tasks: readonly Task[], openAtS: Seconds): TimedTask[] {
	let atS = openAtS;
	return tasks.map((task) => {
		const fromS = atS;
		atS += task.durationS;
		return { task, fromS, toS: atS };
	});
}

/**
 * The stop of the inlet that lets the rest of the containers fit, as short as possible; null when no stop can help.
 *
 *   at the level  max(total ÷ 2, startL, label's least water),     for  F − metered by close ÷ Q  seconds
 *
 * No longer than the work that can be done while the inlet is stopped.
 */
export function pauseFor(straight: readonly TimedTask[], given: FillGiven, litres: FillLitres): Pause | null {
	const inflowLPerS = given.inflowLPerMin / 60;
	const atLevelL = Math.max(given.totalL / 2, given.startL, given.leastWaterL);
	const fromS = levelReachedS(straight, atLevelL, given.carriedInL, inflowLPerS);
	const meteredL = fromS * inflowLPerS;
	if (meteredL >= litres.meteredL) return null;

	const handledS = straight.at(-1)?.toS ?? 0;
	const neededS = handledS - litres.meteredByCloseL / inflowLPerS;
	const workS = workWithoutInletS(straight, fromS);
	if (workS <= LAST_DIGITS_S) return null;
	const inSoFarL = straight.reduce(
		(sum, { task, toS }) => (toS <= fromS ? sum + task.productL + task.cleanWaterL : sum),
		0,
	);
	return {
		fromS,
		lengthS: Math.min(neededS, workS),
		atLevelL,
		levelL: given.carriedInL + meteredL + inSoFarL,
		meteredL,
		suffices: neededS <= workS + LAST_DIGITS_S,
	};
}

/**
 * The tasks in the order they are done with the stop: rinses that need the inlet wait for the restart, and come before
 * the next container is opened.
 */
export function orderWithPause(straight: readonly TimedTask[], pause: Pause): Task[] {
	const before = straight.filter(({ fromS }) => fromS < pause.fromS);
	const after = straight.filter(({ fromS }) => fromS >= pause.fromS).map(({ task }) => task);
	let leftS = pause.lengthS - Math.max(0, (before.at(-1)?.toS ?? pause.fromS) - pause.fromS);
	const inPause: Task[] = [];
	const owed: Task[] = [];
	let next = 0;
	for (; next < after.length && leftS > LAST_DIGITS_S; next++) {
		const task = after[next];
		if (task === undefined) break;
		if (task.needsInlet) owed.push(task);
		else {
			inPause.push(task);
			leftS -= task.durationS;
		}
	}
	const rest = after.slice(next);
	const inHand = (inPause.at(-1) ?? before.at(-1)?.task)?.container ?? null;
	const closing = rest.findIndex(({ container }) => container === null || container !== inHand);
	const boundary = closing < 0 ? rest.length : closing;
	return [...before.map(({ task }) => task), ...inPause, ...rest.slice(0, boundary), ...owed, ...rest.slice(boundary)];
}

/** When the level is first reached: between two tasks as water runs, or at the end of one that empties a container. */
function levelReachedS(
	straight: readonly TimedTask[],
	levelL: Litres,
	carriedInL: Litres,
	inflowLPerS: number,
): Seconds {
	let inSoFarL = carriedInL;
	const reachedS = () => Math.max(0, levelL - inSoFarL) / inflowLPerS;
	for (const { task, toS } of straight) {
		if (reachedS() <= toS) return reachedS();
		inSoFarL += task.productL + task.cleanWaterL;
		if (reachedS() <= toS) return toS;
	}
	return reachedS();
}

/** What is left to do from `fromS` on without clean water from the inlet. */
function workWithoutInletS(straight: readonly TimedTask[], fromS: Seconds): Seconds {
	return straight.reduce((sum, timed) => {
		const waits = timed.task.needsInlet && timed.fromS >= fromS;
		return waits ? sum : sum + Math.max(0, timed.toS - Math.max(timed.fromS, fromS));
	}, 0);
}
