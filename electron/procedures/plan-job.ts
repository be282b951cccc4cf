import type { z } from 'zod';
import { type FieldWithFigures, findField } from '../../db/modules/fields.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { findSprayer, type SprayerRow } from '../../db/modules/sprayers.ts';
import { shelves } from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { jobsContract } from '../../shared/contract/jobs.ts';
import type { JobPlan, PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import { groundOfLoads } from '../../shared/core/loads/ground-of-loads.ts';
import { planLoads } from '../../shared/core/loads/plan-loads.ts';
import { WARNINGS_TO_ANSWER } from '../../shared/core/loads/plan-warnings.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toLocalDate } from './clock.ts';
import { endOfJob } from './end-of-job.ts';
import { loadFor } from './field-register.ts';
import { checkPlanned } from './limits.ts';
import { toLoad } from './product-to-load.ts';
import type { ProductDetails } from './products.ts';
import { type KeptDose, readDose } from './said-dose.ts';
import type { SprayerDetails } from './sprayers.ts';

export type PlanInput = z.output<(typeof jobsContract.preview)['~orpc']['inputSchema'] & z.ZodType>;

export type FieldToSpray = {
	readonly row: FieldWithFigures;
	readonly areaHa: number;
	readonly basis: string;
};
export type ProductToSpray = {
	readonly product: ProductRow<ProductDetails>;
	readonly dosePerHa: number;
	/** The dose as it was said. */
	readonly kept: KeptDose;
};

export type PlannedJob = {
	readonly plan: JobPlan;
	readonly date: string;
	readonly sprayer: SprayerRow<SprayerDetails>;
	readonly fields: readonly FieldToSpray[];
	readonly products: readonly ProductToSpray[];
};

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };

/** Plans a job from the books: areas to load for, packs in the store, label limits, loads and where each goes. */
export async function planJob({ db, farm, now }: Books, input: PlanInput): Promise<Result<PlannedJob>> {
	const date = input.date ?? toLocalDate(now, farm.zone);
	const sprayer = await findSprayer<SprayerDetails>(db, input.sprayerId);
	if (!sprayer) return refuse('not.found', { what: 'sprayer', id: input.sprayerId });
	const fields = await fieldsToSpray(db, input.fields, seasonOf(date, farm.seasonStartMonth));
	if (!fields.ok) return fields;
	const products = await productsToSpray(db, input);
	if (!products.ok) return products;
	const stock = await stockOf(db, products.value);
	const areaHa = fields.value.reduce((sum, field) => sum + field.areaHa, 0);
	const split = planLoads({
		areaHa,
		sprayVolumeLPerHa: input.sprayVolumeLPerHa,
		strategy: input.strategy,
		measureStep: farm.measureStep,
		tank: {
			capacityL: sprayer.capacityL,
			minimumL: sprayer.minimumL,
			unsprayableL: sprayer.unsprayableL,
			leftInTankL: input.leftInTankL ?? 0,
			leftIsSameMix: true,
		},
		products: products.value.map(({ product, dosePerHa }) => ({
			...toLoad(product, dosePerHa),
			maxDosePerHa: labelMaximum(product, dosePerHa),
			packSizes: packSizesFor(product, stock.get(product.id), dosePerHa * areaHa),
			openedPack: stock.get(product.id)?.opened ?? 0,
		})),
	});
	if (!split.ok) return split;
	const limits = await checkPlanned(
		{ db, farm, now },
		{
			date,
			fields: fields.value,
			products: products.value,
			sprayVolumeLPerHa: input.sprayVolumeLPerHa,
			growthStage: input.growthStage ?? null,
			bufferM: input.bufferM ?? null,
		},
	);
	const { loads, strategy, alternatives, totals, warnings } = split.value;
	const ground = groundOfLoads(
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
		containersToHandle: load.containersToHandle,
		measuredPours: load.measuredPours,
		products: load.products.map((line, position) => ({
			...identityOf(products.value[position]),
			amount: line.amount,
			fromOpened: line.fromOpened,
			fullPacks: line.fullPacks.map(({ size, count }) => ({ size, count })),
			measured: line.measured,
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
			areaHa: totals.areaHa,
			mixL: totals.newMixL,
			waterL: totals.waterL,
			products: totals.products.map((line, position) => {
				const { productId, name, unit } = identityOf(products.value[position]);
				const inStore = stock.get(productId)?.amount ?? 0;
				return {
					productId,
					name,
					unit,
					dosePerHa: line.dosePerHa,
					amount: line.amount,
					inStore,
					short: Math.max(0, roundMicro(line.amount - inStore)),
				};
			}),
		},
		warnings: warnings.map((warning) => ({ ...warning })),
		limits,
		toAnswer: [
			...warned(limits),
			...warnings
				.filter(({ code }) => WARNINGS_TO_ANSWER.includes(code))
				.map(({ message }) => ({ from: 'planning' as const, say: message })),
		],
		end: endOfJob(farm, {
			fields: fields.value,
			products: products.value,
			sprayer,
			sprayVolumeLPerHa: input.sprayVolumeLPerHa,
			loads: plannedLoads,
		}),
	};
	return ok({ plan, date, sprayer, fields: fields.value, products: products.value });
}

/** The findings that stop a plan. */
export function blocks(limits: readonly LimitFinding[]): LimitFinding[] {
	return limits.filter(({ verdict }) => verdict === 'block');
}

/** Limits that warn, each sentence once: a job goes on against them only for a reason. */
export function warned(limits: readonly LimitFinding[]): { from: 'limit'; say: string }[] {
	const says = limits.filter(({ verdict }) => verdict === 'warn').map(({ product, say }) => sentenceOn(product, say));
	return [...new Set(says)].map((say) => ({ from: 'limit', say }));
}

function sentenceOn(product: string | undefined, say: string): string {
	return product ? `${product}: ${say}` : say;
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

async function productsToSpray(
	db: ReadDb,
	{ products: wanted, sprayVolumeLPerHa }: Pick<PlanInput, 'products' | 'sprayVolumeLPerHa'>,
): Promise<Result<ProductToSpray[]>> {
	const rows = await findProducts<ProductDetails>(
		db,
		wanted.map(({ productId }) => productId),
	);
	const found: ProductToSpray[] = [];
	const seen = new Set<string>();
	for (const [index, dosed] of wanted.entries()) {
		const { productId } = dosed;
		if (seen.has(productId)) {
			return refuse('input.invalid', { path: `products[${index}].productId`, why: 'the product stands twice' });
		}
		seen.add(productId);
		const product = rows.get(productId);
		if (!product) return refuse('not.found', { what: 'product', id: productId });
		const dose = readDose(product, dosed, { sprayVolumeLPerHa, path: `products[${index}]` });
		if (!dose.ok) return dose;
		found.push({ product, ...dose.value });
	}
	return ok(found);
}

type Stock = {
	readonly amount: number;
	readonly opened: number;
	readonly sealedSizes: readonly number[];
	readonly sealed: number;
};

async function stockOf(db: ReadDb, products: readonly ProductToSpray[]): Promise<Map<string, Stock>> {
	const shelf = await shelves(
		db,
		products.map(({ product }) => product.id),
	);
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
	const maxima = product.limits
		.filter((limit) => limit.kind === 'singleDose' && limit.max !== undefined && limit.max >= dosePerHa)
		.map((limit) => limit.max ?? Infinity);
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
