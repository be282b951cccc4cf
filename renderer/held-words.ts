import type { LoadCard } from '../shared/contract/jobs-card.ts';
import type { PlannedCarrier } from '../shared/contract/jobs-kinds.ts';
import type { PlannedLoad } from '../shared/contract/jobs-plan.ts';
import type { SpaceUnit } from '../shared/core/loads/closed-space.ts';
import { amount, figure, litres } from './format.ts';

/** What one load holds: mix in the tank, granules in the hopper, seed of a batch, or closed spaces. */
export function heldOf({
	seed,
	space,
	hopperKg,
	totalL,
}: Pick<PlannedLoad, 'seed' | 'space' | 'hopperKg' | 'totalL'>): number {
	return seed ?? space ?? hopperKg ?? totalL;
}

/** Is all that is in the tank carried in from a load that was broken off? Then nothing is filled. */
export function isCarriedOn({ carriedInL, newMixL }: Pick<PlannedLoad, 'carriedInL' | 'newMixL'>): boolean {
	return carriedInL > 0 && newMixL < 0.5;
}

/** Is all of a load left from the one before, in the tank or in the hopper? Then no container is opened for it. */
export function isNothingToFill(
	plan: Pick<PlannedLoad, 'carriedInL' | 'newMixL' | 'hopperKg' | 'inHopperKg'>,
): boolean {
	const { hopperKg = 0, inHopperKg = 0 } = plan;
	return isCarriedOn(plan) || (inHopperKg > 0 && hopperKg - inHopperKg < 0.005);
}

export type HeldWords = {
	/** `load`, `fill`, `batch`, `treatment` */
	readonly one: 'load' | 'fill' | 'batch' | 'treatment';
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
	if (first?.space !== undefined) {
		return {
			one: 'treatment',
			several: 'treatments',
			place: (first.spaces?.length ?? 0) > 1 ? 'spaces' : 'space',
			unit: first.spaceUnit ?? '',
			vessels: 'treatments',
			held: (load) => figure(load.space, decimals(load.space)),
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
	if (slurryL === undefined) return '';
	const inAll = slurryL < 10 ? amount(slurryL, 'L') : `${figure(slurryL, 1)} L`;
	return `${inAll} of slurry, ${amount(waterL, 'L')} of it water`;
}

/** `6 × 15 L of mix: 14.9 L of water, 75 mL Barnmist 25` for each kind of fill of a small tank; none: it is made up at once. */
export function applicatorFillWords({ fills = [], products }: Pick<PlannedLoad, 'fills' | 'products'>): string[] {
	return fills.map(({ count, mixL, waterL, amounts }) => {
		const poured = products.map(({ name, unit }, index) => `${smallAmount(amounts[index] ?? 0, unit)} ${name}`);
		return `${count} × ${figure(mixL, decimals(mixL))} L of mix: ${figure(waterL, 2)} L of water, ${poured.join(', ')}`;
	});
}

/** Litres of a hand-held tank: tenths where they count. */
export function someLitres(value = 0): string {
	return figure(value, value < 100 && !Number.isInteger(Math.round(value * 10) / 10) ? 1 : 0);
}

/** `fill 5 ends 180 m² in; done with 4 L of fill 7 left`: where the fills of a small tank end in one of several spaces. */
export function fillsInSpace(
	{ fills }: Pick<NonNullable<PlannedLoad['spaces']>[number], 'fills'>,
	unit: SpaceUnit,
): string {
	if (!fills) return '';
	const { begun, doneWith, leftL } = fills;
	const ends = begun ? `fill ${begun.fill} ends ${quantityWords(roundTo(begun.endsAfter, unit), unit)} in; ` : '';
	const left =
		leftL < 0.05 ? `done when fill ${doneWith} is empty` : `done with ${someLitres(leftL)} L of fill ${doneWith} left`;
	return `${ends}${left}`;
}

function roundTo(amount: number, unit: SpaceUnit): number {
	return unit === 't' ? Math.round(amount * 10) / 10 : Math.round(amount);
}

/** As it is measured out: under one litre or kilogram in mL or g. */
export function smallAmount(value: number, unit: 'L' | 'kg'): string {
	if (value >= 1) return amount(value, unit);
	const small = value * 1000;
	return `${figure(small, Number.isInteger(Math.round(small * 1e6) / 1e6) ? 0 : 1)} ${unit === 'L' ? 'mL' : 'g'}`;
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

/** Is ground treated, not seed and no closed space? Asked of a job, of its card, or of a record. */
export function isOnGround(of: {
	readonly seed: object | null;
	readonly indoors?: object | null;
	readonly space?: object | null;
}): boolean {
	return of.seed === null && !of.indoors && !of.space;
}

/** Of some closed spaces together. */
export function spacesInAll(spaces: readonly { readonly amount: number }[] = []): number {
	return spaces.reduce((sum, { amount }) => sum + amount, 0);
}

/** Seed or a closed space with its unit: `5,200 kg`, `120 units`, `12,000 m³`. */
export function quantityWords(amount: number | undefined, unit: 'kg' | 'unit' | SpaceUnit): string {
	return `${figure(amount, decimals(amount))} ${unit === 'unit' ? 'units' : unit}`;
}
