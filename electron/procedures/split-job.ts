import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { PlannedIndoors } from '../../shared/contract/jobs-indoors.ts';
import type { PlannedCarrier, Seed } from '../../shared/contract/jobs-kinds.ts';
import type { Alternative } from '../../shared/contract/jobs-plan.ts';
import type { ApplicationKind } from '../../shared/core/loads/application-kind.ts';
import { type ApplicatorFill, applicatorFills } from '../../shared/core/loads/applicator-fills.ts';
import { spaceDoses } from '../../shared/core/loads/closed-space.ts';
import { displacementOf } from '../../shared/core/loads/displacement.ts';
import {
	asWater,
	type Carrier,
	type CarrierShare,
	mixDensity,
	shareCarrier,
} from '../../shared/core/loads/fertiliser-carrier.ts';
import type { Load, ProductInLoad } from '../../shared/core/loads/load-contents.ts';
import type { PlanWarning, ProductToLoad, Strategy, TankState } from '../../shared/core/loads/loads-request.ts';
import { planNeatLoads } from '../../shared/core/loads/neat-loads.ts';
import { type LoadsPlan, planLoads } from '../../shared/core/loads/plan-loads.ts';
import { SEED_PER_DOSE } from '../../shared/core/loads/seed.ts';
import { slurryLitres, slurryOfBatches, wrongSlurryUnit } from '../../shared/core/loads/slurry.ts';
import { type DryPlan, hectaresPerHopper, planWithoutWater } from '../../shared/core/loads/without-water.ts';
import { isLiquid } from '../../shared/core/products/formulation.ts';
import { inAll } from './job-details.ts';

export type CarrierWanted = Carrier & {
	readonly productId: string | null;
	readonly name: string;
	readonly unit: 'L' | 'kg';
};

/** What is to be split: the job as the books know it. */
export type ToSplit = {
	readonly kind: ApplicationKind;
	readonly areaHa: number;
	readonly sprayVolumeLPerHa: number;
	readonly strategy: Strategy | undefined;
	readonly measureStep: number;
	readonly tank: TankState;
	readonly hopperKg: number | null;
	/** Granules left in the hopper. */
	readonly leftInHopperKg: number;
	readonly carrier: CarrierWanted | null;
	readonly seed: Seed | null;
	readonly indoors: PlannedIndoors | null;
	readonly products: readonly (ProductToLoad & { readonly dose: number })[];
};

export type SplitLoad = Omit<Load, 'products'> & {
	readonly products: readonly ProductInLoad[];
	readonly carrierL?: number;
	readonly hopperKg?: number;
	readonly inHopperKg?: number;
	readonly seed?: number;
	readonly slurryL?: number;
	readonly space?: number;
	readonly fills?: readonly ApplicatorFill[];
};

export type SplitJob = {
	readonly loads: readonly SplitLoad[];
	readonly strategy: Strategy;
	readonly alternatives: readonly Alternative[];
	/** What the job takes of each product, in their order; of a carrier from the store at the end. */
	readonly amounts: readonly number[];
	readonly sprayVolumeLPerHa: number;
	readonly mixL: number;
	readonly waterL: number;
	readonly carrier: PlannedCarrier | null;
	readonly warnings: readonly PlanWarning[];
};

/** Splits a job into loads, hopper fills or batches of seed, whichever its kind has. */
export function splitJob(job: ToSplit): Result<SplitJob> {
	switch (job.kind) {
		case 'spray in water':
			return sprayed(job, planLoads(job));
		case 'spray in liquid fertiliser':
			return inFertiliser(job);
		case 'neat liquid':
			return neat(job);
		case 'granules':
			return spread(job);
		case 'seed treatment':
			return onSeed(job);
		case 'closed space':
			return inSpaces(job);
	}
}

function sprayed(job: Pick<ToSplit, 'sprayVolumeLPerHa'>, split: Result<LoadsPlan>): Result<SplitJob> {
	if (!split.ok) return split;
	const { loads, strategy, alternatives, totals, warnings } = split.value;
	return ok({
		loads,
		strategy,
		alternatives,
		amounts: totals.products.map(({ amount }) => amount),
		sprayVolumeLPerHa: job.sprayVolumeLPerHa,
		mixL: totals.newMixL,
		waterL: totals.waterL,
		carrier: null,
		warnings,
	});
}

function inFertiliser(job: ToSplit): Result<SplitJob> {
	const split = sprayed(job, planLoads(job));
	if (!split.ok || !job.carrier) return split;
	const { carrier, sprayVolumeLPerHa } = job;
	const { loads } = split.value;
	const shares = shareCarrier(loads, sprayVolumeLPerHa, carrier);
	if (!shares.ok) return shares;
	const sum = (of: (share: CarrierShare) => number) => shares.value.reduce((total, share) => total + of(share), 0);
	const [first] = shares.value;
	const drawn = shares.value.map((share) => {
		const amount = roundTo(carrier.unit === 'kg' ? share.carrierKg : share.carrierL, job.measureStep);
		return { name: carrier.name, amount, fromOpened: 0, fullPacks: [], measured: amount };
	});
	const litres = sum(({ carrierL }) => carrierL);
	return ok({
		...split.value,
		loads: loads.map((load, index) => {
			const { carrierL = 0, waterL = 0 } = shares.value[index] ?? {};
			const line = drawn[index];
			const products = carrier.productId !== null && line ? [...load.products, line] : load.products;
			return { ...load, waterL, carrierL, products };
		}),
		amounts:
			carrier.productId === null
				? split.value.amounts
				: [
						...split.value.amounts,
						roundTo(
							drawn.reduce((total, { amount }) => total + amount, 0),
							1e-6,
						),
					],
		waterL: sum(({ waterL }) => waterL),
		carrier: {
			productId: carrier.productId,
			name: carrier.name,
			densityKgPerL: carrier.densityKgPerL,
			lPerHa: split.value.mixL > 0 ? (litres * sprayVolumeLPerHa) / split.value.mixL : 0,
			litres,
			kg: sum(({ carrierKg }) => carrierKg),
			sprayVolumeAsWaterLPerHa: first
				? asWater(sprayVolumeLPerHa, mixDensity(first, loads[0]?.newMixL ?? 0))
				: sprayVolumeLPerHa,
		},
	});
}

function neat(job: ToSplit): Result<SplitJob> {
	const [product] = job.products;
	if (!product || job.products.length > 1) return oneProduct(job);
	const split = planNeatLoads({ ...job, product });
	if (!split.ok) return split;
	return sprayed({ sprayVolumeLPerHa: split.value.litresPerHa }, split);
}

function spread(job: ToSplit): Result<SplitJob> {
	const [product] = job.products;
	if (!product || job.products.length > 1) return oneProduct(job);
	if (product.unit !== 'kg' || isLiquid(product.formulation)) return refuse('job.notSpread', { product: product.name });
	const split = planWithoutWater({
		quantity: job.areaHa,
		most: job.hopperKg === null ? null : hectaresPerHopper(job.hopperKg, product.dose),
		left: hectaresPerHopper(job.leftInHopperKg, product.dose),
		strategy: job.strategy,
		measureStep: job.measureStep,
		products: [{ product, dose: product.dose, maxDose: product.maxDosePerHa ?? null }],
	});
	return dry(split, {
		last: (hectares) => hectares * product.dose,
		load: (load) => {
			const inHopperKg = roundTo(load.left * product.dose, 1e-6);
			const hopperKg = roundTo((load.products[0]?.amount ?? 0) + inHopperKg, 1e-6);
			return { areaHa: load.quantity, hopperKg, ...(inHopperKg > 0 ? { inHopperKg } : {}) };
		},
	});
}

function onSeed(job: ToSplit): Result<SplitJob> {
	const { seed, hopperKg } = job;
	if (!seed) return refuse('input.invalid', { path: 'seed', why: 'say how much seed is treated, and of which crop' });
	const per = SEED_PER_DOSE[seed.unit];
	const split = planWithoutWater({
		quantity: seed.amount / per,
		// A batch is weighed; units of grains are treated in one go.
		most: hopperKg === null || seed.unit === 'unit' ? null : hopperKg / per,
		strategy: job.strategy,
		measureStep: job.measureStep,
		products: job.products.map((product) => ({ product, dose: product.dose, maxDose: product.maxDosePerHa ?? null })),
	});
	const batches = dry(split, {
		last: (quantity) => quantity * per,
		load: (load) => ({ areaHa: 0, seed: roundTo(load.quantity * per, 1e-6) }),
	});
	return seed.slurry ? withSlurry(batches, job, seed) : batches;
}

/** The batches with the water that goes on with the products. */
function withSlurry(split: Result<SplitJob>, job: ToSplit, { slurry, unit }: Seed): Result<SplitJob> {
	if (!split.ok || !slurry) return split;
	const litres = slurryLitres(slurry, unit);
	if (litres === null) {
		return refuse('input.invalid', { path: 'seed.slurry.unit', why: wrongSlurryUnit(unit) });
	}
	const { loads, warnings } = split.value;
	const made = slurryOfBatches(litres, {
		batches: loads.map(({ seed = 0, products }) => ({ quantity: seed / SEED_PER_DOSE[unit], products })),
		products: job.products,
		seedUnit: unit,
		measureStep: job.measureStep,
	});
	if (!made.ok) return made;
	const { batches } = made.value;
	return ok({
		...split.value,
		loads: loads.map((load, index) => ({ ...load, ...batches[index] })),
		waterL: batches.reduce((sum, { waterL }) => sum + waterL, 0),
		warnings: [...warnings, ...made.value.warnings],
	});
}

/** Closed spaces are treated in one go, one after another: one load, made up with water where a mix is wanted. */
function inSpaces(job: ToSplit): Result<SplitJob> {
	const { indoors, products } = job;
	if (!indoors) return refuse('input.invalid', { path: 'indoors', why: 'say which closed spaces are treated' });
	const { per } = spaceDoses[indoors.unit];
	const space = roundTo(inAll(indoors), 1e-6);
	const split = dry(
		planWithoutWater({
			quantity: space / per,
			most: null,
			strategy: job.strategy,
			measureStep: job.measureStep,
			products: products.map((product) => ({ product, dose: product.dose, maxDose: null })),
		}),
		{ last: (quantity) => quantity * per, load: () => ({ areaHa: 0, space }) },
	);
	return split.ok && indoors.mixL !== undefined ? madeUp(split.value, indoors.mixL, job) : split;
}

/** The water that makes up a mix for closed spaces: mix − the room its products take; and the applicator's fills of it. */
function madeUp(split: SplitJob, mixL: number, { products, tank }: ToSplit): Result<SplitJob> {
	const [load] = split.loads;
	if (!load) return ok(split);
	const made: { amount: number; litresPerUnit: number }[] = [];
	for (const [index, product] of products.entries()) {
		const room = displacementOf(product, `products[${index}]`);
		if (!room.ok) return room;
		made.push({ amount: load.products[index]?.amount ?? 0, litresPerUnit: room.value.litresPerUnit });
	}
	const displacementL = made.reduce((sum, { amount, litresPerUnit }) => sum + amount * litresPerUnit, 0);
	const waterL = mixL - displacementL;
	if (waterL < 0)
		return refuse('input.invalid', { path: 'indoors.mixL', why: 'the products alone are more than the mix' });
	const fills = applicatorFills({ mixL, waterL, products: made, capacityL: tank.capacityL });
	const mixed = {
		...load,
		newMixL: mixL,
		totalL: mixL,
		waterL,
		displacementL,
		...(fills.length > 0 ? { fills } : {}),
	};
	return ok({ ...split, loads: [mixed], mixL, waterL });
}

type DryWords = {
	readonly last: (quantity: number) => number;
	readonly load: (
		load: DryPlan['loads'][number],
	) => Pick<SplitLoad, 'areaHa' | 'hopperKg' | 'inHopperKg' | 'seed' | 'space'>;
};

/** A plan without a mix: its litres are none. */
function dry(split: Result<DryPlan>, { last, load }: DryWords): Result<SplitJob> {
	if (!split.ok) return split;
	const { loads, strategy, alternatives, amounts, warnings } = split.value;
	return ok({
		loads: loads.map((line) => ({
			newMixL: 0,
			carriedInL: 0,
			totalL: 0,
			waterL: 0,
			displacementL: 0,
			products: line.products,
			containersToHandle: line.containersToHandle,
			measuredPours: line.measuredPours,
			...load(line),
		})),
		strategy,
		alternatives: alternatives.map((way) => ({
			strategy: way.strategy,
			loads: way.loads,
			measuredPours: way.measuredPours,
			containersOpened: way.containersOpened,
			lastLoadL: 0,
			last: roundTo(last(way.last), 1e-6),
		})),
		amounts,
		sprayVolumeLPerHa: 0,
		mixL: 0,
		waterL: 0,
		carrier: null,
		warnings,
	});
}

function oneProduct({ kind, products }: ToSplit) {
	const words = kind === 'granules' ? 'An applicator' : 'A neat liquid';
	return refuse('job.oneProduct', { kind: words, products: products.length });
}

function roundTo(amount: number, step: number): number {
	return Math.round(Math.round(amount / step) * step * 1e6) / 1e6;
}
