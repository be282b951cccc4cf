import { fromStockAmount, toStockAmount } from '../../units/amount.ts';
import type { Dose, Hectares, Litres, LitresPerHectare, ProductAmount } from '../../units/quantity.ts';

export type TopUpLine = {
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly dosePerHa: Dose;
	readonly litresPerUnit: number;
};

export type TopUp = {
	readonly areaHa: Hectares;
	readonly mixL: Litres;
	readonly waterL: Litres;
	readonly products: readonly { readonly name: string; readonly unit: 'L' | 'kg'; readonly amount: ProductAmount }[];
};

/**
 * A small load for ground that was left when the mix ran out, at the same dose and spray volume.
 *
 *   mix = area × spray volume;  amount = dose × area, down to the measuring step;  water = mix − products
 *
 * Never the rest stretched with water: that is a lower dose. Rounded down, so that the dose is not passed.
 * Source: core definition of a load; common practice.
 */
export function topUpLoad(given: {
	readonly areaHa: Hectares;
	readonly sprayVolumeLPerHa: LitresPerHectare;
	readonly measureStep: ProductAmount;
	readonly lines: readonly TopUpLine[];
}): TopUp {
	const { areaHa, sprayVolumeLPerHa, lines } = given;
	const step = toStockAmount(given.measureStep);
	const mixL = areaHa * sprayVolumeLPerHa;
	const products = lines.map(({ name, unit, dosePerHa }) => ({
		name,
		unit,
		amount: fromStockAmount(Math.floor(toStockAmount(dosePerHa * areaHa) / step) * step),
	}));
	const displacedL = products.reduce((sum, { amount }, line) => sum + amount * (lines[line]?.litresPerUnit ?? 0), 0);
	return { areaHa, mixL, waterL: mixL - displacedL, products };
}
