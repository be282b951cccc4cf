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
	readonly carrier?: { readonly name: string; readonly litres: Litres };
	readonly products: readonly { readonly name: string; readonly unit: 'L' | 'kg'; readonly amount: ProductAmount }[];
};

/**
 * A small load for ground that was left when the mix ran out, at the same dose and spray volume.
 *
 *   mix = area × spray volume;  amount = dose × area, down to the measuring step;  water = mix − products − fertiliser
 *   fertiliser [L] = fertiliser [L/ha] × area, at most all the room the products leave
 *
 * Never the rest stretched with water: that is a lower dose. Rounded down, so that the dose is not passed.
 * Source: core definition of a load; common practice.
 */
export function topUpLoad(given: {
	readonly areaHa: Hectares;
	readonly sprayVolumeLPerHa: LitresPerHectare;
	readonly measureStep: ProductAmount;
	readonly lines: readonly TopUpLine[];
	/** Liquid fertiliser that fills the tank and is no product of the job. */
	readonly carrier?: { readonly name: string; readonly lPerHa: LitresPerHectare } | undefined;
}): TopUp {
	const { areaHa, sprayVolumeLPerHa, lines, carrier } = given;
	const step = toStockAmount(given.measureStep);
	const mixL = areaHa * sprayVolumeLPerHa;
	const products = lines.map(({ name, unit, dosePerHa }) => ({
		name,
		unit,
		amount: fromStockAmount(Math.floor(toStockAmount(dosePerHa * areaHa) / step) * step),
	}));
	const displacedL = products.reduce((sum, { amount }, line) => sum + amount * (lines[line]?.litresPerUnit ?? 0), 0);
	const roomL = mixL - displacedL;
	if (!carrier) return { areaHa, mixL, waterL: roomL, products };
	const litres = Math.min(roomL, carrier.lPerHa * areaHa);
	// Where fertiliser fills the room, what is rounded off the products is filled with it too.
	const all = roomL - litres <= NEXT_TO_NOTHING * mixL ? roomL : litres;
	return { areaHa, mixL, waterL: roomL - all, carrier: { name: carrier.name, litres: all }, products };
}

/** Of the mix: the rounding of the products, not water. Assumption. */
const NEXT_TO_NOTHING = 0.001;
