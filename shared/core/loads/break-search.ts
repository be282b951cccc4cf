import type { Hectares } from '../../units/quantity.ts';
import { type ContainerEdges, SAME_PLACE, type Stretch, stretchesBetween } from './container-edges.ts';

/** What the breaks of a job must keep to: where each load may end, and the least and most ground of one load. */
export type BreakRules = {
	readonly area: Hectares;
	readonly loads: number;
	readonly leastHa: Hectares;
	readonly mostHa: Hectares;
	/** The first load sprays at least what was left in the tank. */
	readonly firstLeastHa: Hectares;
};

export type Breaks = {
	/** Area sprayed by the end of each load; the last is the whole job. */
	readonly sprayedHa: readonly Hectares[];
	readonly measuredPours: number;
	/** Containers handled in the load that handles most. */
	readonly busiest: number;
};

/** A stretch in which a load may end, with the fewest measured pours up to and including that load. */
type Reached = Stretch & { readonly pours: number };

/**
 * Where to end each load so that the fewest products have to be measured out, over all loads, then so that the busiest
 * load handles the fewest containers, both exactly; then so that the loads are most even.
 *
 *   pours(load i ends at s) = measured at s + min { pours(load i − 1 ends at p) : least ≤ s − p ≤ most }
 *   containers of load i    = finished(s) + measured(s) − finished(p) ≤ busiest
 *
 * A dynamic program over the loads. The fewest pours is a step function of where the load ends; its steps lie at the
 * edges of the containers' tolerances, shifted by whole least or most loads, so it is kept as stretches, and the
 * minimum over the sliding window of earlier stretches is kept in a queue of ascending pours. Both figures of the
 * second line only rise along the ground, so a limit on the busiest load just narrows the window, as does a limit on
 * the largest load: of all such ways the one whose largest load is smallest is returned.
 */
export function searchBreaks(products: readonly ContainerEdges[], rules: BreakRules): Breaks {
	const grounds = groundOfLoads(products, rules);
	let best = breaksWithin(grounds, rules, Number.POSITIVE_INFINITY);
	let tooFew = Math.ceil(((grounds.at(-1)?.[0]?.finished ?? 0) - 1) / rules.loads) - 1;
	while (best.busiest - tooFew > 1) {
		const limit = Math.floor((best.busiest + tooFew) / 2);
		const tried = breaksWithin(grounds, rules, limit);
		if (tried.measuredPours === best.measuredPours) best = tried;
		else tooFew = limit;
	}
	return evenest(grounds, rules, best);
}

/** The same figures with the smallest largest load, to half a per cent of a load. */
function evenest(grounds: readonly Stretch[][], rules: BreakRules, found: Breaks): Breaks {
	const share = rules.area / rules.loads;
	let best = found;
	let tooSmall: Hectares = share;
	while (largestLoad(best) - tooSmall > share / 200) {
		const mostHa = (largestLoad(best) + tooSmall) / 2;
		const tried = breaksWithin(grounds, { ...rules, mostHa }, best.busiest);
		if (tried.measuredPours === best.measuredPours) best = tried;
		else tooSmall = mostHa;
	}
	return best;
}

function largestLoad({ sprayedHa }: Breaks): Hectares {
	return sprayedHa.reduce((largest, sprayed, load) => Math.max(largest, sprayed - (sprayedHa[load - 1] ?? 0)), 0);
}

/** For each load the ground in which it may end, given how many loads come before and after. */
function groundOfLoads(products: readonly ContainerEdges[], rules: BreakRules): Stretch[][] {
	const { area, loads, leastHa, mostHa, firstLeastHa } = rules;
	return Array.from({ length: loads }, (_, index) => {
		const after = loads - index - 1;
		if (after === 0) return stretchesBetween(products, area, area);
		const from = Math.max(firstLeastHa + index * leastHa, area - after * mostHa);
		const to = Math.min((index + 1) * mostHa, area - after * leastHa);
		return stretchesBetween(products, from, Math.max(from, to));
	});
}

function breaksWithin(grounds: readonly Stretch[][], rules: BreakRules, busiest: number): Breaks {
	let reached: Reached[] = [{ from: 0, to: 0, finished: 0, measured: 0, pours: 0 }];
	const byLoad: Reached[][] = [reached];
	for (const [index, ground] of grounds.entries()) {
		reached = reachedNext(reached, ground, index === 0 ? rules.firstLeastHa : rules.leastHa, rules.mostHa, busiest);
		byLoad.push(reached);
	}
	return goBack(byLoad, rules, busiest);
}

/** One load further: the stretches it may end in, each with the fewest pours so far. */
function reachedNext(
	before: readonly Reached[],
	ground: readonly Stretch[],
	least: Hectares,
	most: Hectares,
	busiest: number,
): Reached[] {
	const reached: Reached[] = [];
	const queue: Reached[] = [];
	let [head, entering] = [0, 0];
	for (const stretch of ground) {
		const mustBeFinished = stretch.finished + stretch.measured - busiest;
		let at = stretch.from;
		for (;;) {
			for (; entering < before.length; entering++) {
				const next = before[entering];
				if (next === undefined || next.from + least > at + SAME_PLACE) break;
				while (queue.length > head && (queue.at(-1)?.pours ?? 0) >= next.pours) queue.pop();
				queue.push(next);
			}
			let front = queue[head];
			while (front !== undefined && (front.to + most < at - SAME_PLACE || front.finished < mustBeFinished)) {
				front = queue[++head];
			}
			const leaves = front === undefined ? Number.POSITIVE_INFINITY : front.to + most;
			const enters = (before[entering]?.from ?? Number.POSITIVE_INFINITY) + least;
			const until = Math.max(at, Math.min(stretch.to, leaves, enters));
			if (front !== undefined) addReached(reached, stretch, at, until, front.pours + stretch.measured);
			if (until >= stretch.to) break;
			if (leaves <= until) head++;
			at = until;
		}
	}
	return reached;
}

function addReached(
	reached: Reached[],
	{ finished, measured }: Stretch,
	from: Hectares,
	to: Hectares,
	pours: number,
): void {
	const last = reached.at(-1);
	const goesOn = last?.pours === pours && last.finished === finished && last.measured === measured;
	if (goesOn && last.to >= from) reached[reached.length - 1] = { ...last, to };
	else reached.push({ from, to, finished, measured, pours });
}

/** From the end of the job back to its start, at each load the place nearest to equal loads. */
function goBack(
	byLoad: readonly (readonly Reached[])[],
	{ area, leastHa, mostHa, firstLeastHa }: BreakRules,
	limit: number,
): Breaks {
	const none: Breaks = { sprayedHa: [], measuredPours: Number.POSITIVE_INFINITY, busiest: 0 };
	let here = byLoad
		.at(-1)
		?.reduce<Reached | undefined>((best, end) => (best && best.pours <= end.pours ? best : end), undefined);
	if (here === undefined) return none;
	const measuredPours = here.pours;
	const sprayedHa: Hectares[] = [area];
	let [at, busiest] = [area, 0];
	for (let load = byLoad.length - 1; load > 0; load--) {
		const { finished, measured, pours }: Reached = here;
		const least = load === 1 ? firstLeastHa : leastHa;
		let found: { at: Hectares; end: Reached } | undefined;
		for (const end of byLoad[load - 1] ?? []) {
			const from = Math.max(end.from, at - mostHa);
			const to = Math.min(end.to, at - least);
			if (end.pours !== pours - measured || from > to + 2 * SAME_PLACE) continue;
			if (end.finished < finished + measured - limit) continue;
			const even = (at * (load - 1)) / load;
			const place = Math.min(end.to, Math.max(end.from, Math.min(to, Math.max(from, even))));
			if (found === undefined || Math.abs(place - even) < Math.abs(found.at - even)) found = { at: place, end };
		}
		if (found === undefined) return none;
		busiest = Math.max(busiest, finished + measured - found.end.finished);
		at = found.at;
		here = found.end;
		if (load > 1) sprayedHa.unshift(at);
	}
	return { sprayedHa, measuredPours, busiest };
}
