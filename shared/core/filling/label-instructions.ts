/** One line of a label: the product at `owner` is to go in after, or before, the product at `other`. */
export type Instruction = { readonly owner: number; readonly relation: 'after' | 'before'; readonly other: number };

export type HonouredOrder =
	| { readonly possible: true; readonly sequence: readonly number[] }
	| { readonly possible: false; readonly cycle: readonly Instruction[] };

/**
 * The sequence of products by rank, then as entered, that honours every label instruction.
 *
 * The product whose label speaks is moved: one that is to go in before another is brought forward to just before it, one
 * that is to go in after another waits until that one is in. The others keep their ranking. Instructions that run in a
 * circle are answered with the circle.
 * Source: topological order that always takes the next free product of lowest place (Kahn 1962, *Comm. ACM* 5, 558).
 */
export function honourInstructions(ranks: readonly number[], instructions: readonly Instruction[]): HonouredOrder {
	const cycle = findCycle(ranks.length, instructions);
	if (cycle !== null) return { possible: false, cycle };

	const usual = usualPositions(ranks);
	const brought = broughtForward(usual, instructions);
	const waitsFor = ranks.map((_, index) => predecessorsOf(index, instructions));
	const byPlace = (a: number, b: number) => (brought[a] ?? 0) - (brought[b] ?? 0) || (usual[a] ?? 0) - (usual[b] ?? 0);
	const remaining = new Set(ranks.keys());
	const sequence: number[] = [];
	while (remaining.size > 0) {
		const free = [...remaining].filter((index) => !waitsFor[index]?.some((earlier) => remaining.has(earlier)));
		const next = free.toSorted(byPlace)[0];
		if (next === undefined) break;
		remaining.delete(next);
		sequence.push(next);
	}
	return { possible: true, sequence };
}

/** Position of each product by rank, then as entered. */
function usualPositions(ranks: readonly number[]): number[] {
	const order = [...ranks.keys()].toSorted((a, b) => (ranks[a] ?? 0) - (ranks[b] ?? 0) || a - b);
	return ranks.map((_, index) => order.indexOf(index));
}

/** The earliest position a product is brought to by its own "before": that of the partner, which may itself be brought forward. */
function broughtForward(usual: readonly number[], instructions: readonly Instruction[]): number[] {
	const settled = new Map<number, number>();
	const positionOf = (index: number): number => {
		const known = settled.get(index);
		if (known !== undefined) return known;
		const partners = instructions.filter(({ owner, relation }) => owner === index && relation === 'before');
		const position = Math.min(usual[index] ?? 0, ...partners.map(({ other }) => positionOf(other)));
		settled.set(index, position);
		return position;
	};
	return usual.map((_, index) => positionOf(index));
}

function firstOf({ owner, relation, other }: Instruction): number {
	return relation === 'before' ? owner : other;
}

function secondOf({ owner, relation, other }: Instruction): number {
	return relation === 'before' ? other : owner;
}

function predecessorsOf(index: number, instructions: readonly Instruction[]): number[] {
	return instructions.filter((instruction) => secondOf(instruction) === index).map(firstOf);
}

/** Walks from product to the products after it; meeting one that is still on the path closes a circle. */
function findCycle(count: number, instructions: readonly Instruction[]): Instruction[] | null {
	const done = new Set<number>();
	const walk = (index: number, path: readonly Instruction[]): Instruction[] | null => {
		const start = path.findIndex((instruction) => firstOf(instruction) === index);
		if (start >= 0) return path.slice(start);
		if (done.has(index)) return null;
		for (const instruction of instructions.filter((candidate) => firstOf(candidate) === index)) {
			const cycle = walk(secondOf(instruction), [...path, instruction]);
			if (cycle !== null) return cycle;
		}
		done.add(index);
		return null;
	};
	for (let index = 0; index < count; index++) {
		const cycle = walk(index, []);
		if (cycle !== null) return cycle;
	}
	return null;
}
