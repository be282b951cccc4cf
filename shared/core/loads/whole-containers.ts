import { invariant } from '../../basics/result.ts';
import type { Hectares, Litres } from '../../units/quantity.ts';
import { type BreakRules, searchBreaks } from './break-search.ts';
import { type ContainerEdges, containerEdges } from './container-edges.ts';
import { evenOut } from './even-out.ts';
import type { RecipeLine } from './recipe.ts';
import type { TankLimits } from './tank-limits.ts';
import { tankTotalsOf } from './tank-totals.ts';

/**
 * Breaks the job where containers run out.
 *
 *   product j needs no measured pour at load i when dose_j × new mix made up to load i ÷ spray volume lies within one
 *   measuring step of a container boundary
 *
 * Of all splits into the fewest loads that keep the tank's limits: the fewest measured pours over all loads and
 * products; of those the fewest containers in the busiest load; of those the one with the smallest largest load. The
 * first two are exact. A product at the label's maximum dose is rounded down load by load, so that one load's rounding decides what
 * the next may hold; for such a product the pours are counted as planned, but may not be the fewest.
 * Gives the litres standing in the tank at each load.
 */
export function wholeContainerTankTotals(lines: readonly RecipeLine[], limits: TankLimits): Litres[] {
	if (limits.loads === 0) return [];
	const rules = breakRules(limits);
	const products = edgesOf(lines, limits, rules);
	const breaks = searchBreaks(products, rules);
	invariant(breaks.sprayedHa.length === limits.loads, 'a job has as many breaks as loads');
	return tankTotalsOf(evenOut(products, rules, breaks), limits);
}

/** What the tank's litres allow, as ground: least and most area of one load. */
export function breakRules({ loads, areaHa, sprayVolumeLPerHa, ...tank }: TankLimits): BreakRules {
	const leastHa = Math.max(0, tank.smallestL - tank.unsprayableL) / sprayVolumeLPerHa;
	return {
		area: areaHa,
		loads,
		leastHa,
		mostHa: Math.max((tank.capacityL - tank.unsprayableL) / sprayVolumeLPerHa, areaHa / loads),
		firstLeastHa: Math.max(leastHa, (tank.leftInTankL - tank.unsprayableL) / sprayVolumeLPerHa),
	};
}

/** Where the containers of each product run out along the ground. */
export function edgesOf(lines: readonly RecipeLine[], limits: TankLimits, rules: BreakRules): ContainerEdges[] {
	const extra: Hectares = (limits.unsprayableL - limits.leftInTankL) / limits.sprayVolumeLPerHa;
	const leastLoad = Math.max(rules.leastHa, rules.area - (rules.loads - 1) * rules.mostHa) + Math.min(0, extra);
	return lines.map((line) => containerEdges(line, rules.area, extra, leastLoad));
}
