import type { Litres, Seconds } from '../../units/quantity.ts';
import type { Pause, TimedTask } from './inlet-pause.ts';

/** One line of the story of a fill. `tankL` is the level just after it. */
export type FillEvent = { atS: number; what: string; product?: string; container?: number; tankL: number };

type Moment = Omit<FillEvent, 'tankL'> & { readonly addsL: Litres };

/**
 * The fill told in order: inlet, containers, rinses, waits, with the tank level after each.
 *
 *   level [L] = carried in + inflow × time the inlet has been open (at most the metered water) + what was poured so far
 */
export function fillEvents(story: {
	readonly timed: readonly TimedTask[];
	readonly pause: Pause | null;
	readonly carriedInL: Litres;
	readonly meteredL: Litres;
	readonly inflowLPerS: number;
}): FillEvent[] {
	const { timed, pause, carriedInL, meteredL, inflowLPerS } = story;
	const pausedBy = (atS: Seconds) => Math.min(Math.max(0, atS - (pause?.fromS ?? atS)), pause?.lengthS ?? 0);
	const meteredBy = (atS: Seconds) => Math.min(inflowLPerS * (atS - pausedBy(atS)), meteredL);
	const filledS = meteredL / inflowLPerS + (pause?.lengthS ?? 0);

	const told = inOrder([...taskMoments(timed), ...inletMoments(pause, filledS)]);
	let pouredL = 0;
	const events = told.map(({ addsL, ...moment }): FillEvent => {
		pouredL += addsL;
		return { ...moment, tankL: carriedInL + meteredBy(moment.atS) + pouredL };
	});
	const last = events.at(-1);
	return last === undefined ? events : [...events, { atS: last.atS, what: 'load ready', tankL: last.tankL }];
}

function inletMoments(pause: Pause | null, filledS: Seconds): Moment[] {
	const stop = [
		{ atS: pause?.fromS ?? 0, what: 'inlet stopped', addsL: 0 },
		{ atS: (pause?.fromS ?? 0) + (pause?.lengthS ?? 0), what: 'inlet opened again', addsL: 0 },
	];
	return [
		{ atS: 0, what: 'inlet opened', addsL: 0 },
		...(pause === null ? [] : stop),
		{ atS: filledS, what: 'inlet shut, all water in', addsL: 0 },
	];
}

/** What the tasks show: a container opened, its product in, a clean rinse given later, the container done, a product dispersing. */
function taskMoments(timed: readonly TimedTask[]): Moment[] {
	const lastTask = new Map(timed.map(({ task }, index) => [task.container, index]));
	const opened = new Set<number>();
	return timed.flatMap(({ task, fromS, toS }, index): Moment[] => {
		const { product, container, productL, cleanWaterL } = task;
		if (container === null)
			return task.durationS > 0 ? [{ atS: fromS, what: 'product disperses', product, addsL: 0 }] : [];
		const opens = !opened.has(container);
		const comesBack = !opens && timed[index - 1]?.task.container !== container;
		opened.add(container);
		const at = { product, container };
		return [
			...(opens ? [{ ...at, atS: fromS, what: 'container opened', addsL: 0 }] : []),
			...(comesBack ? [{ ...at, atS: fromS, what: 'clean rinse after the stop', addsL: 0 }] : []),
			...(task.what === 'pour' ? [{ ...at, atS: toS, what: 'product in', addsL: productL }] : []),
			...(cleanWaterL > 0 ? [{ ...at, atS: toS, what: 'rinsed from the clean tank', addsL: cleanWaterL }] : []),
			...(lastTask.get(container) === index ? [{ ...at, atS: toS, what: 'container done', addsL: 0 }] : []),
		];
	});
}

/** By time; at the same moment in the order told, the inlet's first opening before everything else. */
function inOrder(moments: readonly Moment[]): Moment[] {
	const first = (moment: Moment) => (moment.what === 'inlet opened' ? 0 : 1);
	return moments.toSorted((a, b) => a.atS - b.atS || first(a) - first(b));
}
