import type { Hectares } from '../../units/quantity.ts';
import { nutrientNames } from '../products/nutrient.ts';
import { appliesToCrop } from './check-limits.ts';
import { type AppliedProduct, type Limit, type PlannedApplication, sameName } from './limit.ts';
import { type DoseSum, doseSum } from './sum-limits.ts';

export type WashingsRoom = {
	/** Least ground that takes the washings within every dose on the books; null: no ground does. */
	readonly leastHa: Hectares | null;
	/** The product and limit that ask for that much, or leave no room. */
	readonly limitedBy: {
		/** Of a limit of the field: the nutrient. */
		readonly product: string;
		readonly kind: Limit['kind'];
	} | null;
	/** Products without a maximum on the books, or with a substance whose content is not known: the label has to say. */
	readonly unknown: readonly string[];
	/** Products whose label does not allow the crop that grows there. */
	readonly notForCrop: readonly string[];
};

const doseKinds = ['singleDose', 'totalDose', 'activeSubstance'] as const;

/**
 * How much of a piece of ground washings need there.
 *
 *   dose on it + washings ÷ area ≤ maximum   ⇒   least area = washings ÷ (maximum − dose on it)
 *
 * for the single dose, the total dose of the period, each active substance and each nutrient the field is limited in, over
 * all products, the largest over all limits. `application` has the dose that is on this ground already from the same job, `washings` the products in the
 * washings as amounts (the dose they would be on one hectare). What may have been on other ground of the field counts.
 * Source: conservation of the product; washings within the label dose of the treated ground: common practice.
 */
export function roomForWashings(application: PlannedApplication, washings: readonly AppliedProduct[]): WashingsRoom {
	let leastHa: Hectares | null = 0;
	let limitedBy: WashingsRoom['limitedBy'] = null;
	const unknown = new Set<string>();
	const notForCrop = new Set<string>();
	const hold = (sum: DoseSum, by: NonNullable<WashingsRoom['limitedBy']>) => {
		if (leastHa === null) return;
		const needed = leastUnder(sum);
		if (needed !== null && needed <= leastHa) return;
		leastHa = needed;
		limitedBy = by;
	};
	for (const product of application.products) {
		if (!isForCrop(product.limits, application)) notForCrop.add(product.name);
		const limits = product.limits.filter(
			(limit) => doseKinds.some((kind) => kind === limit.kind) && appliesToCrop(limit, application),
		);
		if (!limits.some(({ kind, max }) => kind === 'singleDose' && max !== undefined)) unknown.add(product.name);
		for (const limit of limits) {
			const sum = doseSum({ limit, application, product }, washings);
			if (sum === 'unknown') unknown.add(product.name);
			else if (sum !== null) hold(sum, { product: product.name, kind: limit.kind });
		}
	}
	for (const limit of application.rules) {
		if (limit.nutrient === undefined || !appliesToCrop(limit, application)) continue;
		const sum = doseSum({ limit, application, product: null }, washings);
		const name = nutrientNames[limit.nutrient];
		if (sum === 'unknown') unknown.add(name);
		else if (sum !== null && sum.washed > 0) hold(sum, { product: name, kind: limit.kind });
	}
	return { leastHa, limitedBy, unknown: [...unknown], notForCrop: [...notForCrop] };
}

/** A dose worked out from a concentration may miss the label's figure by the last binary digits. */
const BINARY_NOISE = 1e-9;

function leastUnder({ already, washed, max }: DoseSum): Hectares | null {
	if (washed === 0) return 0;
	const room = max - already;
	return room > max * BINARY_NOISE ? washed / room : null;
}

function isForCrop(limits: readonly Limit[], { ground }: PlannedApplication): boolean {
	const allowed = limits
		.filter(({ kind }) => kind === 'crop')
		.flatMap(({ crops, crop }) => crops ?? (crop === undefined ? [] : [crop]));
	if (allowed.length === 0 || ground.crop.length === 0) return true;
	return allowed.some((name) => ground.crop.some((designation) => sameName(designation, name)));
}
