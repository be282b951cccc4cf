import type { z } from 'zod';
import { type FieldWithFigures, findField } from '../../db/modules/fields.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { findSprayer, type SprayerRow } from '../../db/modules/sprayers.ts';
import { type StoreId, shelves } from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { jobsContract } from '../../shared/contract/jobs.ts';
import type { PlannedIndoors } from '../../shared/contract/jobs-indoors.ts';
import type { JobPlan, PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import { findingSentences } from '../../shared/core/limits/finding-sentences.ts';
import { isKeptAfterwards } from '../../shared/core/limits/limit.ts';
import { singleDoses } from '../../shared/core/limits/limits-of-kind.ts';
import type { ApplicationKind } from '../../shared/core/loads/application-kind.ts';
import { groundOfLoads } from '../../shared/core/loads/ground-of-loads.ts';
import { WARNINGS_TO_ANSWER } from '../../shared/core/loads/plan-warnings.ts';
import { nutrientSums } from '../../shared/core/products/nutrient.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { nutrientsOf } from './applied-product.ts';
import { bagWarnings } from './bag-warnings.ts';
import { toLocalDate } from './clock.ts';
import { endOfJob, hasMixLeft } from './end-of-job.ts';
import { loadFor } from './field-register.ts';
import { quantityOf } from './job-details.ts';
import { carrierOf, kindWarnings, lineOfCarrier, seedDoseOf, spacesToTreat, whatIsLacking } from './job-kinds.ts';
import { onFields, standingOn } from './limits.ts';
import { toLoad } from './product-to-load.ts';
import type { ProductDetails } from './products.ts';
import { doseWayOf, type KeptDose, readDose, readDoseOf } from './said-dose.ts';
import { doseOnGround } from './seed-sowings.ts';
import { containersInTurn, type ShelfLine, takesOf } from './shelf-lines.ts';
import { standingInSpaces } from './space-limits.ts';
import { spacesInTurn } from './spaces-in-turn.ts';
import { splitJob } from './split-job.ts';
import type { SprayerDetails } from './sprayers.ts';
import { heldByStore, storeSaid } from './stores.ts';

export type PlanInput = z.output<(typeof jobsContract.preview)['~orpc']['inputSchema'] & z.ZodType>;

export type FieldToSpray = {
	readonly row: FieldWithFigures;
	readonly areaHa: number;
	readonly basis: string;
};
export type ProductToSpray = {
	readonly product: ProductRow<ProductDetails>;
	/** As it is kept: on one hectare, on 100 kg or one unit of seed, or to one m³, one m² or 100 kg in a closed space. */
	readonly dose: number;
	/** On the ground; null: in a closed space, or on seed of which nobody knows yet where it goes. */
	readonly dosePerHa: number | null;
	/** The dose as it was said. */
	readonly kept: KeptDose;
};

export type PlannedJob = {
	readonly plan: JobPlan;
	readonly date: string;
	readonly kind: ApplicationKind;
	readonly sprayVolumeLPerHa: number;
	readonly sprayer: SprayerRow<SprayerDetails>;
	readonly indoors: PlannedIndoors | null;
	readonly fields: readonly FieldToSpray[];
	readonly products: readonly ProductToSpray[];
};

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };

/** Plans a job from the books: areas to load for, packs in the store, label limits, loads and where each goes. */
export async function planJob({ db, farm, now }: Books, input: PlanInput): Promise<Result<PlannedJob>> {
	const date = input.date ?? toLocalDate(now, farm.zone);
	const store = await storeSaid(db, farm, input.storeId);
	if (!store.ok) return store;
	const { kind } = input;
	const sprayer = await findSprayer<SprayerDetails>(db, input.sprayerId);
	if (!sprayer) return refuse('not.found', { what: 'sprayer', id: input.sprayerId });
	const lacking = whatIsLacking(input, sprayer);
	if (lacking) return lacking;
	const fields = await fieldsToSpray(db, input.fields, seasonOf(date, farm.seasonStartMonth));
	if (!fields.ok) return fields;
	const areaHa = fields.value.reduce((sum, field) => sum + field.areaHa, 0);
	const indoors = await spacesToTreat(db, input);
	if (!indoors.ok) return indoors;
	const found = await productsToSpray(db, input, areaHa);
	if (!found.ok) return found;
	const carried = await carrierOf(db, input);
	if (!carried.ok) return carried;
	const { carrier, product: carrierProduct } = carried.value;
	const stock = await stockOf(db, store.value, [
		...found.value.map(({ product }) => product),
		...(carrierProduct ? [carrierProduct] : []),
	]);
	const held = await heldByStore(db, farm, {
		productIds: [...stock.keys(), ...found.value.map(({ product }) => product.id)],
		but: store.value,
	});
	// Rounding may draw a step beyond the need.
	const madeUpHa = areaHa + sprayer.unsprayableL / (input.sprayVolumeLPerHa ?? 1);
	const containers =
		kind === 'spray in water'
			? await containersInTurn(db, store.value, found.value, (dose) => dose * madeUpHa + farm.measureStep)
			: new Map<string, ShelfLine[]>();
	const split = splitJob({
		kind,
		areaHa,
		sprayVolumeLPerHa: input.sprayVolumeLPerHa ?? 0,
		strategy: input.strategy,
		measureStep: farm.measureStep,
		hopperKg: sprayer.hopperKg,
		leftInHopperKg: input.leftInHopperKg ?? 0,
		carrier,
		seed: input.seed ?? null,
		indoors: indoors.value,
		tank: {
			capacityL: sprayer.capacityL,
			minimumL: sprayer.minimumL,
			unsprayableL: sprayer.unsprayableL,
			leftInTankL: input.leftInTankL ?? 0,
			leftIsSameMix: true,
		},
		products: found.value.map(({ product, dose }) => ({
			...toLoad(product, dose),
			dose,
			maxDosePerHa: labelMaximum(product, dose),
			packSizes: packSizesFor(
				product,
				stock.get(product.id),
				needOf({ seed: input.seed ?? null, indoors: indoors.value }, dose, areaHa),
			),
			openedPack: stock.get(product.id)?.opened ?? 0,
			onShelf: containers.get(product.id),
		})),
	});
	if (!split.ok) return split;
	const { loads, strategy, alternatives, amounts, sprayVolumeLPerHa } = split.value;
	const products = [...found.value, ...lineOfCarrier(carrierProduct, carrier, split.value.carrier)];
	const warnings = [...split.value.warnings, ...kindWarnings(input, found.value), ...bagWarnings(products, loads)];
	const onGround = products.flatMap((line) =>
		line.dosePerHa === null ? [] : [{ ...line, dosePerHa: line.dosePerHa }],
	);
	const onGrounds = await onFields(
		{ db, farm, now },
		{
			date,
			kind,
			fields: fields.value,
			products: onGround.map((line) => ({ ...line, seedDose: seedDoseOf(line, input.seed ?? null) })),
			sprayVolumeLPerHa: sprayVolumeLPerHa || null,
			growthStage: input.growthStage ?? null,
			bufferM: input.bufferM ?? null,
			jobId: input.forJob,
		},
	);
	const limits = indoors.value
		? await standingInSpaces({ db, farm }, { ...indoors.value, date, products: found.value, jobId: input.forJob })
		: standingOn(onGrounds);
	const ground =
		fields.value.length === 0 || kind === 'seed treatment'
			? []
			: groundOfLoads(
					loads.map((load) => load.areaHa),
					fields.value.map((field) => field.areaHa),
				);
	const plannedLoads: PlannedLoad[] = loads.map((load, index) => ({
		load: index + 1,
		areaHa: load.areaHa,
		newMixL: load.newMixL,
		carriedInL: load.carriedInL,
		totalL: load.totalL,
		waterL: load.waterL,
		displacementL: load.displacementL,
		...(load.carrierL === undefined ? {} : { carrierL: load.carrierL }),
		...(load.hopperKg === undefined ? {} : { hopperKg: load.hopperKg }),
		...(load.inHopperKg === undefined ? {} : { inHopperKg: load.inHopperKg }),
		...(load.seed === undefined ? {} : { seed: load.seed }),
		...(load.slurryL === undefined ? {} : { slurryL: load.slurryL }),
		...spacesInTurn(indoors.value, load),
		...(load.fills === undefined ? {} : { fills: load.fills.map((fill) => ({ ...fill, amounts: [...fill.amounts] })) }),
		containersToHandle: load.containersToHandle,
		measuredPours: load.measuredPours,
		products: load.products.map((line, position) => ({
			...identityOf(products[position]),
			amount: line.amount,
			fromOpened: line.fromOpened,
			fullPacks: line.fullPacks.map(({ size, count }) => ({ size, count })),
			measured: line.measured,
			...takesOf(containers.get(products[position]?.product.id ?? ''), loads, { load: index, position }),
		})),
		ground: (ground[index] ?? []).map(({ position, areaHa: part, finishes }) => {
			const field = fields.value[position];
			return {
				fieldId: field?.row.field.id ?? '',
				field: field?.row.field.name ?? '?',
				areaHa: part,
				finishesField: finishes,
			};
		}),
	}));
	const plan: JobPlan = {
		loads: plannedLoads,
		strategy,
		alternatives: alternatives.map((way) => ({ ...way })),
		totals: {
			areaHa,
			mixL: split.value.mixL,
			waterL: split.value.waterL,
			...nutrientTotals(onGround),
			products: amounts.map((amount, position) => {
				const { productId, name, unit } = identityOf(products[position]);
				const dosePerHa = products[position]?.dosePerHa ?? null;
				const inStore = stock.get(productId)?.amount ?? 0;
				const short = Math.max(0, roundMicro(amount - inStore));
				const elsewhere = (held.get(productId) ?? []).filter((line) => line.amount > 0);
				return {
					productId,
					name,
					unit,
					...(dosePerHa === null ? {} : { dosePerHa }),
					amount,
					inStore,
					short,
					...(short > 0 && elsewhere.length > 0 ? { elsewhere } : {}),
				};
			}),
		},
		...(split.value.carrier ? { carrier: split.value.carrier } : {}),
		warnings: warnings.map((warning) => ({ ...warning })),
		limits,
		toAnswer: [
			...warned(limits),
			...warnings
				.filter(({ code }) => WARNINGS_TO_ANSWER.includes(code))
				.map(({ message }) => ({ from: 'planning' as const, say: message })),
		],
		startsAt: 1,
		carried: [],
		end: hasMixLeft(kind)
			? endOfJob(farm, {
					fields: fields.value,
					products: onGround,
					sprayer,
					sprayVolumeLPerHa,
					loads: plannedLoads,
					carrier: split.value.carrier ?? undefined,
					grounds: onGrounds,
				})
			: null,
	};
	return ok({
		...{ plan, date, kind, sprayVolumeLPerHa, sprayer },
		...{ indoors: indoors.value, fields: fields.value, products },
	});
}

/** What the products bring together in nutrients; nothing where they hold none. */
function nutrientTotals(
	onGround: readonly { readonly product: ProductRow<ProductDetails>; readonly dosePerHa: number }[],
): Pick<JobPlan['totals'], 'nutrients'> {
	const sums = nutrientSums(onGround.flatMap(({ product, dosePerHa }) => nutrientsOf(product, dosePerHa)));
	return sums.length === 0 ? {} : { nutrients: sums.map(({ nutrient, kg }) => ({ nutrient, kgPerHa: kg })) };
}

/** The findings that stop a plan. */
export function blocks(limits: readonly LimitFinding[]): LimitFinding[] {
	return limits.filter(({ verdict }) => verdict === 'block');
}

/** Limits exceeded or near, each sentence once: a job goes on against them only for a reason. */
export function warned(limits: readonly LimitFinding[]): { from: 'limit'; say: string }[] {
	const open = limits.filter((finding) => finding.verdict === 'warn' && !isKeptAfterwards(finding));
	return findingSentences(open, { named: true }).map((say) => ({ from: 'limit', say }));
}

async function fieldsToSpray(db: ReadDb, wanted: PlanInput['fields'], season: number): Promise<Result<FieldToSpray[]>> {
	const found: FieldToSpray[] = [];
	const seen = new Set<string>();
	for (const [index, { fieldId, areaHa }] of wanted.entries()) {
		if (seen.has(fieldId))
			return refuse('input.invalid', { path: `fields[${index}].fieldId`, why: 'the field stands twice' });
		seen.add(fieldId);
		const row = await findField(db, fieldId, season);
		if (!row) return refuse('not.found', { what: 'field', id: fieldId });
		const { name, retiredOn } = row.field;
		if (retiredOn) return refuse('fields.retired', { field: name, on: retiredOn });
		const { basis, m2 } = loadFor(row);
		const area = areaHa ?? (m2 === null ? null : toHectares(m2));
		if (area === null) {
			return refuse('input.invalid', {
				path: `fields[${index}].areaHa`,
				why: `${row.field.name} has no area yet: give one`,
			});
		}
		found.push({ row, areaHa: area, basis: areaHa === undefined ? (basis ?? 'mapped') : 'given for this job' });
	}
	return ok(found);
}

async function productsToSpray(db: ReadDb, input: PlanInput, areaHa: number): Promise<Result<ProductToSpray[]>> {
	const { products: wanted, sprayVolumeLPerHa = 0, seed, indoors, carrier } = input;
	const rows = await findProducts<ProductDetails>(
		db,
		wanted.map(({ productId }) => productId),
	);
	const found: ProductToSpray[] = [];
	const seen = new Set<string>();
	for (const [index, dosed] of wanted.entries()) {
		const { productId } = dosed;
		const path = `products[${index}]`;
		if (seen.has(productId) || productId === carrier?.productId) {
			return refuse('input.invalid', { path: `${path}.productId`, why: 'the product stands twice' });
		}
		seen.add(productId);
		const product = rows.get(productId);
		if (!product) return refuse('not.found', { what: 'product', id: productId });
		if (seed || indoors) {
			const dose = readDoseOf(product, dosed, { ...doseWayOf(product.unit, { seed, indoors }), path });
			if (!dose.ok) return dose;
			const dosePerHa = seed ? doseOnGround(dose.value.dose, { seed, indoors: null }, areaHa) : null;
			found.push({ product, ...dose.value, dosePerHa });
			continue;
		}
		const dose = readDose(product, dosed, { sprayVolumeLPerHa, path });
		if (!dose.ok) return dose;
		found.push({ product, ...dose.value, dose: dose.value.dosePerHa });
	}
	return ok(found);
}

/** What the job takes of a product, near enough to see whether the shelf covers it. */
function needOf(of: Parameters<typeof quantityOf>[0], dose: number, areaHa: number): number {
	const quantity = quantityOf(of);
	return quantity ? (dose * quantity.amount) / quantity.per : dose * areaHa;
}

type Stock = {
	readonly amount: number;
	readonly opened: number;
	readonly sealedSizes: readonly number[];
	readonly sealed: number;
};

async function stockOf(
	db: ReadDb,
	store: StoreId,
	products: readonly { readonly id: string }[],
): Promise<Map<string, Stock>> {
	const shelf = await shelves(db, { store, productIds: products.map(({ id }) => id) });
	return new Map(
		[...shelf].map(([id, { sealed, opened, beyondBook }]) => {
			const inPacks = sealed.reduce((sum, line) => sum + line.count * line.size, 0);
			const inCans = opened.reduce((sum, can) => sum + can.left, 0);
			return [
				id,
				{
					amount: fromStockAmount(inPacks + inCans + beyondBook),
					opened: fromStockAmount(inCans),
					sealed: fromStockAmount(inPacks),
					sealedSizes: sealed.filter(({ count }) => count > 0).map(({ size }) => fromStockAmount(size)),
				},
			];
		}),
	);
}

/** The sizes on the shelf where they cover the job, else every size the product comes in. */
function packSizesFor(product: ProductRow<ProductDetails>, stock: Stock | undefined, need: number): number[] {
	const covered = stock && stock.sealedSizes.length > 0 && stock.amount >= need;
	return [...new Set(covered ? stock.sealedSizes : product.packSizes)];
}

/** The smallest single-dose maximum on the label, where this dose keeps it; a dose above it is a limit finding. */
function labelMaximum(product: ProductRow<ProductDetails>, dosePerHa: number): number | null {
	const maxima = singleDoses(product.limits).flatMap(({ max }) => (max >= dosePerHa ? [max] : []));
	return maxima.length > 0 ? Math.min(...maxima) : null;
}

function identityOf(line: ProductToSpray | undefined) {
	const product = line?.product;
	return {
		productId: product?.id ?? '',
		name: product?.name ?? '?',
		formulation: product?.formulation ?? '?',
		unit: product?.unit ?? ('L' as const),
	};
}

function roundMicro(amount: number): number {
	return Math.round(amount * 1e6) / 1e6;
}
