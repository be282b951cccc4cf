import { ok, type Result } from '../../basics/result.ts';
import { writtenFigure } from '../../basics/written-figure.ts';
import { activeSubstance, type MeasuredProduct } from './active-substance.ts';

/** What a fertiliser label declares, as element or as oxide, in the order of the label. */
export const nutrients = ['N', 'P2O5', 'K2O', 'MgO', 'SO3'] as const;
export type Nutrient = (typeof nutrients)[number];

export const nutrientNames: Readonly<Record<Nutrient, string>> = {
	N: 'nitrogen',
	P2O5: 'phosphate',
	K2O: 'potash',
	MgO: 'magnesium',
	SO3: 'sulphur',
};

/** How labels give a content: by mass, or by mass in a volume. */
export const nutrientUnits = ['% w/w', 'g/L', 'kg/100 L'] as const;
export type NutrientUnit = (typeof nutrientUnits)[number];

/** What the label declares of one nutrient; 0 says that there is none. */
export type NutrientContent = {
	readonly nutrient: Nutrient;
	readonly content: number;
	readonly contentUnit: NutrientUnit;
};

/** One nutrient in an amount of product; null where it cannot be reckoned. */
export type NutrientAmount = { readonly nutrient: Nutrient; readonly kg: number | null };

/** 1 kg in 100 L is 10 g in a litre. */
const G_PER_L_AND_KG_PER_100_L = 10;

/**
 * Kilograms of a nutrient in an amount of product: kg for an amount in L or kg, kg/ha for a dose in L/ha or kg/ha.
 *
 *   nutrient [kg] = product [kg] × content [% w/w] ÷ 100     or     product [L] × content [kg/100 L] ÷ 100
 *   content [kg/100 L] = content [% w/w] × relative density [kg/L]
 *
 * Refuses `product.contentNeedsDensity` when content is by mass and the product is measured by volume, or the other way
 * round, and no relative density is known.
 * Source: arithmetic of units; worked cases in tests/reference/nutrients.test.ts.
 */
export function nutrientKg(
	amount: number,
	product: MeasuredProduct,
	{ nutrient, content, contentUnit }: NutrientContent,
): Result<number> {
	const grams =
		contentUnit === '% w/w'
			? activeSubstance(amount, product, { substance: nutrient, content, contentUnit: '%' })
			: activeSubstance(amount, product, {
					substance: nutrient,
					content: contentUnit === 'g/L' ? content : content * G_PER_L_AND_KG_PER_100_L,
					contentUnit: 'g/L',
				});
	return grams.ok ? ok(grams.value / 1000) : grams;
}

/**
 * Every nutrient in an amount of product, those it has none of left out. A liquid fertiliser of which nobody entered any
 * content may hold each of them: null.
 */
export function nutrientsIn(
	amount: number,
	product: MeasuredProduct & { readonly kind: string; readonly nutrients: readonly NutrientContent[] },
): NutrientAmount[] {
	if (product.kind === 'liquid fertiliser' && product.nutrients.length === 0) {
		return nutrients.map((nutrient) => ({ nutrient, kg: null }));
	}
	return product.nutrients
		.filter(({ content }) => content > 0)
		.map((content) => {
			const kg = nutrientKg(amount, product, content);
			return { nutrient: content.nutrient, kg: kg.ok ? kg.value : null };
		});
}

/** Nutrients in a dose in words: `42.7 kg N/ha, 9.5 kg SO3/ha`; null where there are none. */
export function nutrientWords(
	doses: readonly { readonly nutrient: Nutrient; readonly kgPerHa: number | null }[],
): string | null {
	if (doses.length === 0) return null;
	if (doses.every(({ kgPerHa }) => kgPerHa === null)) return 'nutrients not on the books';
	return doses
		.map(({ nutrient, kgPerHa }) =>
			kgPerHa === null ? `${nutrient} not known` : `${perHa(kgPerHa)} kg ${nutrient}/ha`,
		)
		.join(', ');
}

/** `This job brings 52.3 kg N/ha.`; a job whose products hold nutrients that nobody entered says that. */
export function bringsWords(doses: Parameters<typeof nutrientWords>[0]): string {
	return doses.every(({ kgPerHa }) => kgPerHa === null)
		? 'What this job brings in nutrients is not on the books.'
		: `This job brings ${nutrientWords(doses)}.`;
}

function perHa(kg: number): string {
	return writtenFigure(kg, kg < 10 ? 2 : 1);
}

/** The same nutrients of several products added up, in the order of a label; a sum with something unknown in it is unknown. */
export function nutrientSums(parts: readonly NutrientAmount[]): NutrientAmount[] {
	return nutrients.flatMap((nutrient) => {
		const own = parts.filter((part) => part.nutrient === nutrient);
		if (own.length === 0) return [];
		const kg = own.reduce<number | null>((sum, part) => (sum === null || part.kg === null ? null : sum + part.kg), 0);
		return [{ nutrient, kg }];
	});
}
