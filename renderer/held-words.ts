import type { LoadCard } from '../shared/contract/jobs-card.ts';
import type { PlannedCarrier } from '../shared/contract/jobs-kinds.ts';
import type { PlannedLoad } from '../shared/contract/jobs-plan.ts';
import { amount, figure, litres } from './format.ts';

/** What one load holds: mix in the tank, granules in the hopper, or seed of a batch. */
export function heldOf({ seed, hopperKg, totalL }: Pick<PlannedLoad, 'seed' | 'hopperKg' | 'totalL'>): number {
	return seed ?? hopperKg ?? totalL;
}

export type HeldWords = {
	/** `load`, `fill`, `batch` */
	readonly one: 'load' | 'fill' | 'batch';
	readonly several: string;
	/** Where it is: the head of a column. */
	readonly place: string;
	readonly unit: string;
	/** What is full when it is full. */
	readonly vessels: string;
	readonly held: (load: PlannedLoad) => string;
};

/** The words for what a load of this kind holds. */
export function heldWords(first: PlannedLoad | undefined, seedUnit: 'kg' | 'unit' = 'kg'): HeldWords {
	if (first?.seed !== undefined) {
		const unit = seedUnit === 'kg' ? 'kg' : 'units';
		return {
			one: 'batch',
			several: 'batches',
			place: 'seed',
			unit,
			vessels: 'batches',
			held: (load) => figure(load.seed, decimals(load.seed)),
		};
	}
	if (first?.hopperKg !== undefined) {
		return {
			one: 'fill',
			several: 'fills',
			vessels: 'hoppers',
			place: 'in the hopper',
			unit: 'kg',
			held: (load) => figure(load.hopperKg, decimals(load.hopperKg)),
		};
	}
	return {
		one: 'load',
		several: 'loads',
		place: 'in the tank',
		unit: 'L',
		vessels: 'tanks',
		held: (load) => litres(load.totalL),
	};
}

/** `40.0 L of slurry, 30.0 L of it water`: what goes onto a batch of seed with the products; empty: no water does. */
export function slurryWords({ slurryL, waterL }: Pick<PlannedLoad, 'slurryL' | 'waterL'>): string {
	return slurryL === undefined ? '' : `${amount(slurryL, 'L')} of slurry, ${amount(waterL, 'L')} of it water`;
}

function decimals(value = 0): number {
	return Number.isInteger(value) ? 0 : 1;
}

/** `197 L/ha of Nitrogen 28, 1.28 kg/L. Set nozzles and sprayer as for 226 L/ha of water.` */
export function carrierWords({ name, densityKgPerL, lPerHa, sprayVolumeAsWaterLPerHa }: PlannedCarrier): string {
	return `${figure(lPerHa)} L/ha of ${name}, ${figure(densityKgPerL, 2)} kg/L. Choose nozzles and pressure as for ${figure(sprayVolumeAsWaterLPerHa)} L/ha of water.`;
}

/** A load as the tank column draws it: what is metered in is water and liquid fertiliser together. */
export function meteredVolumes(load: PlannedLoad): PlannedLoad {
	return { ...load, waterL: load.waterL + (load.carrierL ?? 0) };
}

/** What is metered into the tank. */
export function liquidOf({ kind, carrier }: Pick<LoadCard, 'kind' | 'carrier'>): 'water' | 'fertiliser' | 'product' {
	if (kind === 'neat liquid') return 'product';
	return carrier ? 'fertiliser' : 'water';
}
