/** A product that was in the tank last. `crops`: those its label names, null where nobody entered them. */
export type LeftIn = {
	readonly name: string;
	readonly herbicide: boolean;
	readonly crops: readonly string[] | null;
};

/** The crop that is sprayed next, by every name it is known by. */
export type NextCrop = readonly [name: string, ...designations: string[]];

export const carryOverVerdicts = ['not on its label', 'not known'] as const;
export type CarryOver = {
	readonly product: string;
	readonly crops: readonly string[];
	readonly herbicide: boolean;
	readonly verdict: (typeof carryOverVerdicts)[number];
	readonly say: string;
};

/**
 * What a rest of the last mix could do on the next crop, as far as the books know: each product whose label does not name
 * the crop, weed killers first. A crop on the label of a product is passed over. It informs; only the labels, which may
 * ask for their own cleaning, say what is enough.
 * Source: common practice (sprayer clean-out by the label of what was in the tank and by the crop that follows).
 */
export function carryOver(last: readonly LeftIn[], next: readonly NextCrop[]): readonly CarryOver[] {
	return last.flatMap((product) => onCrops(product, next) ?? []).toSorted((a, b) => rank(a) - rank(b));
}

function onCrops({ name, herbicide, crops: allowed }: LeftIn, next: readonly NextCrop[]): CarryOver | null {
	const others = next.filter((crop) => !allowed?.some((each) => crop.some((designation) => same(each, designation))));
	const crops = others.map(([crop]) => crop);
	if (crops.length === 0) return null;
	const common = { product: name, crops, herbicide };
	if (allowed === null) {
		return {
			...common,
			verdict: 'not known',
			say: `For which crops ${name} is, is not on the books: look on its label.`,
		};
	}
	const may = herbicide ? 'a weed killer: a rest of it can mark or kill the crop' : 'a rest of it is residue there';
	return {
		...common,
		verdict: 'not on its label',
		say: `${name} is not for ${crops.join(', ')} by its label; ${may}.`,
	};
}

function rank({ herbicide, verdict }: CarryOver): number {
	return (herbicide ? 0 : 1) + (verdict === 'not on its label' ? 0 : 2);
}

function same(a: string, b: string): boolean {
	return a.trim().toLowerCase() === b.trim().toLowerCase();
}

/** Mode-of-action groups of weed killers are numbered by HRAC, in North America by WSSA. */
export function isHerbicide(groups: readonly (string | null | undefined)[]): boolean {
	return groups.some((group) => /^(HRAC|WSSA)\b/i.test(group ?? ''));
}
