import type { Litres } from '../../units/quantity.ts';

/** How the fills of an applicator's tank go through one of several closed spaces. */
export type SpaceFills = {
	/** A fill begun in a space before that runs empty in this one: after how much of it, in the unit of the space. */
	readonly begun: { readonly fill: number; readonly endsAfter: number } | null;
	/** The fill the space is done with, counted from one. */
	readonly doneWith: number;
	/** Mix of that fill that is left then, for the next space. */
	readonly leftL: Litres;
};

type Fills = readonly { readonly count: number; readonly mixL: Litres }[];

/** Below this a tank is empty. Common practice. */
const EMPTY_L = 1e-6;

/**
 * Where the fills of an applicator's own tank end in the closed spaces they run on through, in the order of the spaces.
 *
 *   mix of a space = mix in all × its amount ÷ amounts in all;  a fill ends where the mix before it and its own is used up
 *
 * `fills`: those that are alike together, in litres; `amounts`: of each space, all in one unit. Nothing without fills.
 * Source: the same mix everywhere (mass conservation).
 */
export function fillsOverSpaces(fills: Fills, amounts: readonly number[]): SpaceFills[] {
	let mixL = 0;
	const ends = fills.flatMap((fill) =>
		Array.from({ length: fill.count }, () => {
			mixL += fill.mixL;
			return mixL;
		}),
	);
	const total = amounts.reduce((sum, amount) => sum + amount, 0);
	if (mixL <= 0 || total <= 0) return [];
	let fromL = 0;
	return amounts.map((amount) => {
		const startL = fromL;
		const endL = startL + (mixL * amount) / total;
		fromL = endL;
		const at = Math.max(
			0,
			ends.findIndex((end) => end >= endL - EMPTY_L),
		);
		const running = ends.findIndex((end) => end > startL + EMPTY_L);
		const isBegun = running >= 0 && startL - (ends[running - 1] ?? 0) > EMPTY_L;
		const endsHere = isBegun && running < at;
		return {
			begun: endsHere ? { fill: running + 1, endsAfter: (((ends[running] ?? 0) - startL) * total) / mixL } : null,
			doneWith: at + 1,
			leftL: Math.max(0, (ends[at] ?? 0) - endL),
		};
	});
}
