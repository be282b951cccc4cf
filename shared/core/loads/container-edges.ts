import { STOCK_PER_UNIT } from '../../units/amount.ts';
import type { Hectares, StockAmount } from '../../units/quantity.ts';
import { NOISE } from './poured-amounts.ts';
import type { RecipeLine } from './recipe.ts';

/** Where along the ground the containers of one product run out, and between which areas each still counts as run out. */
export type ContainerEdges = {
	/** Ground that what was left in the tank sprays alone: a load that ends here takes no product. */
	readonly mixFrom: Hectares;
	readonly emptyAt: readonly Hectares[];
	readonly from: readonly Hectares[];
	readonly to: readonly Hectares[];
};

/** Containers emptied so far, and products that would have to be measured if the load ended here. */
export type Standing = { readonly finished: number; readonly measured: number };

/** Areas closer than a millionth of a square metre are the same place: binary noise, not ground. */
export const SAME_PLACE: Hectares = 1e-10;

/** A stretch of ground in which a load may end with the same standing throughout. */
export type Stretch = Standing & { readonly from: Hectares; readonly to: Hectares };

/**
 * The areas at which the containers of a product run out.
 *
 *   empty at = container boundary ÷ dose − extra         from, to = that ∓ measuring step ÷ dose
 *
 * `extra` is the new mix made up before any ground is sprayed ÷ spray volume: unsprayable litres less what was left in
 * the tank. `leastLoad` is the least area of a load: where the label's maximum leaves it no headroom for two steps, a
 * container counts as run out only after its boundary, never before, or the load would pass the maximum.
 */
export function containerEdges(line: RecipeLine, area: Hectares, extra: Hectares, leastLoad: Hectares): ContainerEdges {
	const dose = line.dosePerHa * STOCK_PER_UNIT;
	const before = hasHeadroom(line, leastLoad) ? line.step : 0;
	const ends = line.sequence.ends.filter((end) => (end - line.step) / dose - extra <= area);
	const from = ends.map((end) => (end - before - EDGE_NOISE) / dose - extra);
	const to = ends.map((end, index) => {
		const next = from[index + 1] ?? Number.POSITIVE_INFINITY;
		return Math.min(next, (end + line.step + EDGE_NOISE) / dose - extra);
	});
	return { mixFrom: -extra, emptyAt: ends.map((end) => end / dose - extra), from, to };
}

/** Binary fractions of a microlitre or milligram by which an edge may be missed; a tenth of what pouring forgives. */
const EDGE_NOISE: StockAmount = NOISE / 10;

/** Can a load of this area hold two steps more than its dose, without passing the label's maximum? */
function hasHeadroom({ dosePerHa, maxDosePerHa, step }: RecipeLine, area: Hectares): boolean {
	return maxDosePerHa === null || (maxDosePerHa - dosePerHa) * area * STOCK_PER_UNIT >= 2 * step;
}

/** How things stand when a load ends at `area`. */
export function standingAt(products: readonly ContainerEdges[], area: Hectares): Standing {
	let [finished, measured] = [0, 0];
	for (const edges of products) {
		const count = countUpTo(edges.from, area);
		finished += count;
		if (area > edges.mixFrom + SAME_PLACE && !runsOut(edges, count, area)) measured++;
	}
	return { finished, measured };
}

/** The areas at which the containers that run out at `area` are truly empty, within the tolerance of a measuring step. */
export function emptiedNear(products: readonly ContainerEdges[], area: Hectares): Hectares[] {
	return products.flatMap((edges) => {
		const count = countUpTo(edges.from, area);
		return runsOut(edges, count, area) ? (edges.emptyAt[count - 1] ?? []) : [];
	});
}

/**
 * The ground from `start` to `end` as stretches of the same standing, in order. Each holds both its ends: where two
 * meet, the better standing counts.
 */
export function stretchesBetween(products: readonly ContainerEdges[], start: Hectares, end: Hectares): Stretch[] {
	const edges = edgesBetween(products, start, end);
	let { finished, measured } = standingBefore(products, start);
	let from = start;
	const stretches: Stretch[] = [];
	if (products.some(({ mixFrom }) => start <= mixFrom + SAME_PLACE)) {
		stretches.push({ from: start, to: start, finished, measured: 0 });
	}
	for (let index = 0; index < edges.length; ) {
		const at = edges[index]?.at ?? end;
		if (at > from) stretches.push({ from, to: at, finished, measured });
		const reached = measured;
		for (; edges[index]?.at === at && edges[index]?.kind === 'reached'; index++) {
			finished++;
			measured--;
		}
		if (measured < reached) stretches.push({ from: at, to: at, finished, measured });
		for (; edges[index]?.at === at && edges[index]?.kind === 'passed'; index++) measured++;
		from = at;
	}
	if (from < end || stretches.length === 0) stretches.push({ from, to: end, finished, measured });
	return stretches;
}

type Edge = { readonly at: Hectares; readonly kind: 'reached' | 'passed' };

function edgesBetween(products: readonly ContainerEdges[], start: Hectares, end: Hectares): Edge[] {
	const edges: Edge[] = [];
	for (const { from, to } of products) {
		for (let index = countBefore(from, start); (from[index] ?? Number.POSITIVE_INFINITY) <= end; index++) {
			edges.push({ at: from[index] ?? end, kind: 'reached' });
		}
		for (let index = countBefore(to, start); (to[index] ?? Number.POSITIVE_INFINITY) <= end; index++) {
			edges.push({ at: to[index] ?? end, kind: 'passed' });
		}
	}
	return edges.sort((a, b) => a.at - b.at || (a.kind === b.kind ? 0 : a.kind === 'reached' ? -1 : 1));
}

function standingBefore(products: readonly ContainerEdges[], area: Hectares): Standing {
	let [finished, measured] = [0, 0];
	for (const { from, to } of products) {
		const reached = countBefore(from, area);
		finished += reached;
		if (reached === countBefore(to, area)) measured++;
	}
	return { finished, measured };
}

function runsOut({ to }: ContainerEdges, count: number, area: Hectares): boolean {
	return count > 0 && area <= (to[count - 1] ?? 0);
}

function countUpTo(areas: readonly Hectares[], limit: Hectares): number {
	let [low, high] = [0, areas.length];
	while (low < high) {
		const middle = (low + high) >>> 1;
		if ((areas[middle] ?? 0) <= limit) low = middle + 1;
		else high = middle;
	}
	return low;
}

function countBefore(areas: readonly Hectares[], limit: Hectares): number {
	let [low, high] = [0, areas.length];
	while (low < high) {
		const middle = (low + high) >>> 1;
		if ((areas[middle] ?? 0) < limit) low = middle + 1;
		else high = middle;
	}
	return low;
}
