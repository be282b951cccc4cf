import { worthStopping } from '../../shared/core/filling/stop-length.ts';

/** What the pictures read from a planned load and a planned fill. Structurally the outputs of `jobs.card` and `loads.fill`. */

export type PouredProduct = {
	readonly name: string;
	readonly formulation?: string;
	readonly unit: 'L' | 'kg';
	readonly amount: number;
	/** What is left in the opened container, emptied first. */
	readonly fromOpened?: number;
	readonly fullPacks?: readonly { readonly size: number; readonly count: number }[];
	readonly measured?: number;
};

export type LoadVolumes = {
	readonly totalL: number;
	readonly carriedInL: number;
	readonly waterL: number;
	readonly displacementL: number;
};

export type FillEvent = {
	readonly atS: number;
	readonly what: string;
	readonly product?: string | undefined;
	readonly container?: number | undefined;
	readonly tankL: number;
};

export type PlannedFill = {
	readonly fits: boolean;
	readonly containersThatFit: number;
	readonly pauseAtL: number | null;
	readonly pausedS: number;
	readonly meterStops: readonly { readonly atMeterL: number; readonly why: string }[];
	readonly finishS: number;
	readonly events: readonly FillEvent[];
};

export type ContainerSpan = {
	readonly product: string;
	readonly fromS: number;
	readonly toS: number;
	readonly atTankL: number;
	/** The container was poured before and comes back for its clean rinse after the stop. */
	readonly rinseOnly: boolean;
};

/**
 * Each container as a stretch of time, from where it is opened until the last thing that is done to it before the next
 * one. One that comes back for its clean rinse after the stop has a second stretch.
 */
export function containersOf(fill: PlannedFill): ContainerSpan[] {
	const spans: { -readonly [Key in keyof ContainerSpan]: ContainerSpan[Key] }[] = [];
	const opened = new Set<number>();
	let inHand: number | undefined;
	for (const { atS, product, container, tankL } of inTime(fill.events)) {
		if (product === undefined || container === undefined) continue;
		const last = spans.at(-1);
		if (last && inHand === container) last.toS = atS;
		else spans.push({ product, fromS: atS, toS: atS, atTankL: tankL, rinseOnly: opened.has(container) });
		inHand = container;
		opened.add(container);
	}
	return spans;
}

/** Tank level over time: straight from event to event, from what was carried in to the full load. */
export function levelOf(fill: PlannedFill, load: LoadVolumes): { atS: number; tankL: number }[] {
	const points = inTime(fill.events).map((event) => ({ atS: event.atS, tankL: event.tankL }));
	const first = points[0];
	const last = points.at(-1);
	if (!first || first.atS > 0) points.unshift({ atS: 0, tankL: load.carriedInL });
	if (!last || last.atS < fill.finishS) points.push({ atS: fill.finishS, tankL: load.totalL });
	return points;
}

type Stops<Stop> = { readonly pausedS: number; readonly meterStops: readonly Stop[] };

/** The readings to stop the meter at: one for a stop too short to make is left out. */
export function stopsToMake<Stop>({ pausedS, meterStops }: Stops<Stop>): readonly Stop[] {
	return meterStops.length > 1 && !worthStopping(pausedS) ? meterStops.slice(-1) : meterStops;
}

/** The stretch in which the inlet is shut, if there is one. */
export function pauseOf(fill: PlannedFill): { fromS: number; toS: number; tankL: number } | null {
	if (fill.pauseAtL === null || !worthStopping(fill.pausedS)) return null;
	const events = inTime(fill.events);
	const named = events.find((event) => /pause|stop|shut|close/i.test(event.what) && event.atS < fill.finishS);
	const reached = named ?? events.find((event) => event.tankL >= (fill.pauseAtL ?? 0) - 0.5);
	if (!reached) return null;
	return { fromS: reached.atS, toS: reached.atS + fill.pausedS, tankL: fill.pauseAtL };
}

/** Seconds between the last container done and the full tank; negative when the containers take longer. */
export function spareOf(fill: PlannedFill): { fromS: number; toS: number } | null {
	const last = containersOf(fill).at(-1);
	if (!last || last.toS >= fill.finishS) return null;
	return { fromS: last.toS, toS: fill.finishS };
}

function inTime(events: readonly FillEvent[]): readonly FillEvent[] {
	return [...events].sort((a, b) => a.atS - b.atS);
}
