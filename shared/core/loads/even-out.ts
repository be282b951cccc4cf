import type { Hectares } from '../../units/quantity.ts';
import type { BreakRules, Breaks } from './break-search.ts';
import { type ContainerEdges, emptiedNear, SAME_PLACE, standingAt } from './container-edges.ts';

/** Rounds after which breaks that push one another have settled; most jobs need two. */
const ROUNDS = 6;
/** Halvings of a way that is barred at its end: 2⁻³⁰ of a load is a drop. */
const HALVINGS = 30;

/**
 * Moves the breaks of a job to better places without one more measured pour or one more container in the busiest load:
 * a break at which containers run out goes to where they are truly empty, the breaks between are spaced evenly.
 *
 * Takes the breaks found and the rules they keep. Gives the area sprayed by the end of each load.
 */
export function evenOut(
	products: readonly ContainerEdges[],
	rules: BreakRules,
	{ sprayedHa, busiest }: Breaks,
): Hectares[] {
	const breaks = [...sprayedHa];
	const free = breaks.map((at) => standingAt(products, at).measured === products.length);
	const job: Job = { products, rules, busiest, breaks };
	for (let round = 0; round < ROUNDS; round++) {
		spaceRuns(job, free);
		let moved = 0;
		for (let index = 0; index < breaks.length - 1; index++) {
			const [before, at, after] = [breaks[index - 1] ?? 0, breaks[index] ?? 0, breaks[index + 1] ?? 0];
			const empty = free[index] ? [] : emptiedNear(products, at);
			const best = empty.length === 0 ? (before + after) / 2 : mean(empty);
			const least = index === 0 ? rules.firstLeastHa : rules.leastHa;
			const wanted = Math.min(
				before + rules.mostHa,
				after - rules.leastHa,
				Math.max(best, before + least, after - rules.mostHa),
			);
			moved = Math.max(moved, Math.abs(wanted - at) > SAME_PLACE ? moveTowards(job, index, wanted) : 0);
		}
		if (moved < SAME_PLACE) break;
	}
	return keepExactly(rules, breaks);
}

/** Takes binary noise out of the breaks, so that no load passes its least or most by it. */
function keepExactly({ area, leastHa, mostHa, firstLeastHa }: BreakRules, breaks: readonly Hectares[]): Hectares[] {
	let before: Hectares = 0;
	return breaks.map((at, index) => {
		const after = breaks.length - 1 - index;
		const least = before + (index === 0 ? firstLeastHa : leastHa);
		const most = Math.min(before + mostHa, area - after * leastHa);
		before = after === 0 ? area : Math.min(most, Math.max(at, least, area - after * mostHa));
		return before;
	});
}

type Job = {
	readonly products: readonly ContainerEdges[];
	readonly rules: BreakRules;
	readonly busiest: number;
	readonly breaks: Hectares[];
};

/** Spaces each run of free breaks evenly between its fixed ends, where that keeps the rules. */
function spaceRuns(job: Job, free: readonly boolean[]): void {
	const { breaks } = job;
	for (let first = 0; first < breaks.length - 1; first++) {
		if (!free[first]) continue;
		let last = first;
		while (last + 1 < breaks.length - 1 && free[last + 1]) last++;
		const before = breaks.slice(first, last + 1);
		const start = breaks[first - 1] ?? 0;
		const spacing = ((breaks[last + 1] ?? 0) - start) / (last - first + 2);
		for (let index = first; index <= last; index++) breaks[index] = start + spacing * (index - first + 1);
		for (let index = first; index <= last + 1; index++) {
			if (!loadKeepsRules(job, index)) {
				breaks.splice(first, before.length, ...before);
				break;
			}
		}
		first = last;
	}
}

/** Moves one break as far towards a place as the rules let it; what they allow is one stretch. Returns how far. */
function moveTowards(job: Job, index: number, wanted: Hectares): Hectares {
	const start = job.breaks[index] ?? 0;
	const most = standingAt(job.products, start).measured;
	const allowed = (at: Hectares): boolean => {
		job.breaks[index] = at;
		return (
			standingAt(job.products, at).measured <= most && loadKeepsRules(job, index) && loadKeepsRules(job, index + 1)
		);
	};
	if (allowed(wanted)) return Math.abs(wanted - start);
	let [good, bad] = [start, wanted];
	for (let halving = 0; halving < HALVINGS; halving++) {
		const middle = (good + bad) / 2;
		if (allowed(middle)) good = middle;
		else bad = middle;
	}
	job.breaks[index] = good;
	return Math.abs(good - start);
}

function loadKeepsRules({ products, rules, busiest, breaks }: Job, index: number): boolean {
	const [from, to] = [breaks[index - 1] ?? 0, breaks[index] ?? 0];
	const least = index === 0 ? rules.firstLeastHa : rules.leastHa;
	if (to - from > rules.mostHa + SAME_PLACE || to - from < least - SAME_PLACE) return false;
	const end = standingAt(products, to);
	const finishedBefore = index === 0 ? 0 : standingAt(products, from).finished;
	return end.finished + end.measured - finishedBefore <= busiest;
}

function mean(figures: readonly number[]): number {
	return figures.reduce((total, figure) => total + figure, 0) / figures.length;
}
