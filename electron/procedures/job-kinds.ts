import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import { findSpace } from '../../db/modules/spaces.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { PlannedIndoors, PlannedSpace } from '../../shared/contract/jobs-indoors.ts';
import type { PlannedCarrier, Seed } from '../../shared/contract/jobs-kinds.ts';
import { type SeedDose, sameName } from '../../shared/core/limits/limit.ts';
import { singleDoses } from '../../shared/core/limits/limits-of-kind.ts';
import {
	type ApplicationKind,
	formulationWarnings,
	type MachineKind,
	machineFor,
} from '../../shared/core/loads/application-kind.ts';
import type { PlanWarning } from '../../shared/core/loads/loads-request.ts';
import type { PlanInput, ProductToSpray } from './plan-job.ts';
import type { ProductDetails } from './products.ts';
import type { CarrierWanted } from './split-job.ts';

type Machine = { readonly name: string; readonly kind: MachineKind };

/** What a kind of job cannot do without, and what does not belong to it. */
export function whatIsLacking(input: PlanInput, machine: Machine) {
	const { kind, fields, sprayVolumeLPerHa, carrier, seed, indoors, leftInTankL, leftInHopperKg } = input;
	const needed = machineFor(kind);
	if (machine.kind !== needed) {
		return refuse('job.wrongMachine', { kind: kindWords[kind], needed, machine: machine.name, is: machine.kind });
	}
	const lacks = (path: string, why: string) => refuse('input.invalid', { path, why });
	const inSpace = kind === 'closed space';
	if (kind !== 'seed treatment' && !inSpace && fields.length === 0) return lacks('fields', 'name at least one field');
	if (inSpace && fields.length > 0) return lacks('fields', 'a closed space is no field');
	if (inSpace && !indoors) return lacks('indoors', 'say which closed spaces are treated');
	if (!inSpace && indoors) return lacks('indoors', 'only a job in closed spaces has them');
	const isSprayed = kind === 'spray in water' || kind === 'spray in liquid fertiliser';
	if (isSprayed && sprayVolumeLPerHa === undefined) return lacks('sprayVolumeLPerHa', 'say the litres on one hectare');
	if (kind === 'spray in liquid fertiliser' && !carrier) return lacks('carrier', 'say which fertiliser fills the tank');
	if (kind !== 'spray in liquid fertiliser' && carrier) return lacks('carrier', 'only a spray in fertiliser has one');
	if (leftInHopperKg && kind !== 'granules') return lacks('leftInHopperKg', 'only granules lie in a hopper');
	if (leftInTankL && needed !== 'sprayer') return lacks('leftInTankL', 'only a sprayer has a tank');
	if (kind === 'seed treatment' && !seed) return lacks('seed', 'say how much seed is treated, and of which crop');
	return kind !== 'seed treatment' && seed ? lacks('seed', 'only a seed treatment has seed') : null;
}

/** The closed spaces of a job with what of each is treated; null: the job treats something else. */
export async function spacesToTreat(db: ReadDb, { indoors }: PlanInput): Promise<Result<PlannedIndoors | null>> {
	if (!indoors) return ok(null);
	const { unit } = indoors;
	const spaces: PlannedSpace[] = [];
	for (const [index, space] of indoors.spaces.entries()) {
		const path = `indoors.spaces[${index}]`;
		if (spaces.some(({ spaceId }) => spaceId === space.spaceId)) {
			return refuse('input.invalid', { path: `${path}.spaceId`, why: 'the closed space stands twice' });
		}
		const row = await findSpace(db, space.spaceId);
		if (!row || row.removedAt !== null) return refuse('not.found', { what: 'closed space', id: space.spaceId });
		const { name, kind, floorM2, volumeM3 } = row;
		const onBooks = { 'm³': volumeM3, 'm²': floorM2, t: null };
		const amount = space.amount ?? onBooks[unit];
		if (amount === null && unit === 't') {
			const why = `say how many tonnes of the crop are treated in ${name}`;
			return refuse('input.invalid', { path: `${path}.amount`, why });
		}
		if (amount === null) {
			return refuse('space.sizeMissing', { space: name, what: unit === 'm³' ? 'volume' : 'floor area' });
		}
		spaces.push({ ...space, name, kind, amount });
	}
	return ok({ ...indoors, spaces });
}

type Carried = { readonly carrier: CarrierWanted | null; readonly product: ProductRow<ProductDetails> | null };

/** The fertiliser that fills the tank: a product from the store, or bulk that is only noted. */
export async function carrierOf(db: ReadDb, { carrier }: PlanInput): Promise<Result<Carried>> {
	if (!carrier) return ok({ carrier: null, product: null });
	const { productId, lPerHa = null } = carrier;
	const product = productId ? (await findProducts<ProductDetails>(db, [productId])).get(productId) : undefined;
	if (productId && !product) return refuse('not.found', { what: 'product', id: productId });
	const name = product?.name ?? carrier.name?.trim() ?? '';
	if (name === '') return refuse('input.invalid', { path: 'carrier.name', why: 'say which fertiliser it is' });
	const densityKgPerL = carrier.densityKgPerL ?? product?.relativeDensity ?? null;
	if (densityKgPerL === null) {
		const why = `say the density of ${name}: it stands on the delivery note or the data sheet`;
		return refuse('input.invalid', { path: 'carrier.densityKgPerL', why });
	}
	const wanted = { productId: productId ?? null, name, unit: product?.unit ?? 'L', densityKgPerL, lPerHa };
	return ok({ carrier: wanted, product: product ?? null });
}

/** The carrier from the store as one more product of the job; none where it is only noted, or water. */
export function lineOfCarrier(
	product: ProductRow<ProductDetails> | null,
	wanted: CarrierWanted | null,
	planned: PlannedCarrier | null,
): ProductToSpray[] {
	if (!product || !wanted || !planned) return [];
	const dose = planned.lPerHa * (wanted.unit === 'kg' ? wanted.densityKgPerL : 1);
	return [{ product, dose, dosePerHa: dose, kept: { way: 'dosePerHa', figure: dose } }];
}

/** What the label's single dose is held against where seed is treated. */
export function seedDoseOf({ product, dose }: ProductToSpray, seed: Seed | null): SeedDose | undefined {
	return seed ? { amount: dose, unit: perSeedWords(product.unit, seed.unit) } : undefined;
}

/** A dose on seed as it is written: `L/100 kg`, `L/unit`. */
export function perSeedWords<Unit extends 'L' | 'kg'>(unit: Unit, seedUnit: 'kg' | 'unit') {
	return seedUnit === 'kg' ? (`${unit}/100 kg` as const) : (`${unit}/unit` as const);
}

const kindWords: Readonly<Record<ApplicationKind, string>> = {
	'spray in water': 'Spraying in water',
	'spray in liquid fertiliser': 'Spraying in liquid fertiliser',
	'neat liquid': 'Spraying a neat liquid',
	granules: 'Spreading granules',
	'seed treatment': 'Treating seed',
	'closed space': 'Treating a closed space',
};

/** Formulations that do not go with the kind of job, and a dose on seed above the label while it has no ground yet. */
export function kindWarnings({ kind, seed, fields }: PlanInput, products: readonly ProductToSpray[]): PlanWarning[] {
	const overdosed = products.flatMap(({ product, dose }): PlanWarning[] => {
		if (!seed || fields.length > 0) return [];
		const limit = Math.min(...singleDoses(product.limits).map(({ max }) => max));
		if (dose <= limit) return [];
		const unit = perSeedWords(product.unit, seed.unit);
		const message = `${product.name}: ${dose} ${unit} is above the ${limit} ${unit} on its label.`;
		return [{ code: 'seed.doseAboveLabel', message, record: product.name }];
	});
	const formulations = products.map(({ product: { name, formulation, kind: use } }) => ({
		name,
		formulation,
		isFertiliser: use === 'liquid fertiliser',
	}));
	return [...formulationWarnings(kind, formulations), ...overdosed, ...otherCrops(seed, products)];
}

/** Products whose label does not name the crop of the seed. */
function otherCrops(seed: PlanInput['seed'], products: readonly ProductToSpray[]): PlanWarning[] {
	if (!seed) return [];
	const names = [seed.crop, ...(seed.eppoCode ? [seed.eppoCode] : [])];
	return products.flatMap(({ product }): PlanWarning[] => {
		const allowed = product.limits.flatMap(({ kind, crop, crops }) =>
			kind === 'crop' ? (crops ?? (crop === undefined ? [] : [crop])) : [],
		);
		if (allowed.length === 0 || allowed.some((crop) => names.some((name) => sameName(name, crop)))) return [];
		const message = `${product.name}: its label allows ${allowed.join(', ')}, and the seed is ${names.join(', ')}.`;
		return [{ code: 'seed.cropNotOnLabel', message, record: product.name }];
	});
}
