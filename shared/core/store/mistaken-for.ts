import type { ProductAmount } from '../../units/quantity.ts';

/** A product of a stock take as its neighbours see it. `difference` = counted − book, null where it was not counted. */
export type Neighbour = {
	readonly productId: string;
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly packSizes: readonly ProductAmount[];
	readonly difference: ProductAmount | null;
};

export type Mistaken = {
	readonly productId: string;
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly difference: ProductAmount | null;
	readonly reasons: readonly string[];
};

/** Differences that cancel to a tenth are worth a second look. Common practice. */
const CANCEL_WITHIN = 0.1;
/** Letters that may differ in a name of eight; shorter and longer names in proportion. Common practice. */
const LETTERS_APART = 3 / 8;

/**
 * Which products this one may have been counted, delivered or poured for: the difference of the one is the missing
 * amount of the other (whole containers swapped), or the names look alike and a container of the same size exists.
 * Opposite differences first, then the names that are closest.
 */
export function mistakenFor(product: Neighbour, others: readonly Neighbour[]): Mistaken[] {
	return others
		.filter((other) => other.productId !== product.productId)
		.map((other) => ({ other, ...likeness(product, other) }))
		.filter(({ score }) => score > 0)
		.sort((a, b) => b.score - a.score || (a.other.name < b.other.name ? -1 : 1))
		.map(({ other: { productId, name, unit, difference }, reasons }) => ({
			productId,
			name,
			unit,
			difference,
			reasons,
		}));
}

function likeness(product: Neighbour, other: Neighbour): { score: number; reasons: string[] } {
	const reasons: string[] = [];
	let score = 0;
	if (cancels(product, other)) {
		reasons.push('is out by as much the other way');
		score += 4;
	}
	const sameSize = product.unit === other.unit && product.packSizes.some((size) => other.packSizes.includes(size));
	const apart = lettersApart(product.name, other.name);
	const longest = Math.max(product.name.length, other.name.length);
	if (apart <= longest * LETTERS_APART) {
		reasons.push('the names look alike');
		score += 2 + (1 - apart / longest);
	}
	if (score > 0 && sameSize) {
		reasons.push('comes in the same container');
		score += 1;
	}
	return { score, reasons };
}

function cancels(a: Neighbour, b: Neighbour): boolean {
	if (a.unit !== b.unit || !a.difference || !b.difference || Math.sign(a.difference) === Math.sign(b.difference)) {
		return false;
	}
	return Math.abs(a.difference + b.difference) <= CANCEL_WITHIN * Math.abs(a.difference);
}

/** Letters to change, add, drop or swap with their neighbour to turn one name into the other (Damerau 1964). */
export function lettersApart(from: string, to: string): number {
	const a = from.toLowerCase();
	const b = to.toLowerCase();
	let before: number[] = [];
	let last = Array.from({ length: b.length + 1 }, (_, column) => column);
	for (let row = 1; row <= a.length; row++) {
		const line = [row];
		for (let column = 1; column <= b.length; column++) {
			const same = a[row - 1] === b[column - 1] ? 0 : 1;
			let least = Math.min((last[column] ?? 0) + 1, (line[column - 1] ?? 0) + 1, (last[column - 1] ?? 0) + same);
			const swapped = row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1];
			if (swapped) least = Math.min(least, (before[column - 2] ?? 0) + 1);
			line.push(least);
		}
		before = last;
		last = line;
	}
	return last[b.length] ?? 0;
}
