import type { z } from 'zod';
import { type FieldWithFigures, findField } from '../../db/modules/fields.ts';
import { findJob, type JobStored, jobFields, jobProducts } from '../../db/modules/jobs.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonDates, seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { LimitFinding, limitsContract } from '../../shared/contract/limits.ts';
import { checkLimits as checkApplication } from '../../shared/core/limits/check-limits.ts';
import {
	type Begun,
	type Ground,
	overlapByArea,
	type PlannedApplication,
	type SeedDose,
} from '../../shared/core/limits/limit.ts';
import { limitsOfKind } from '../../shared/core/limits/limits-of-kind.ts';
import type { MarginKept } from '../../shared/core/limits/margin-kept.ts';
import type { ApplicationKind } from '../../shared/core/loads/application-kind.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied, asPlanned, authorisationOf } from './applied-product.ts';
import { hourOf, toLocalDate } from './clock.ts';
import { appliedToGround, plannedElsewhere } from './earlier-treatments.ts';
import { conditionsByField } from './field-conditions.ts';
import { asLimit, limitsByField } from './field-limits.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import { perSeedWords } from './job-kinds.ts';
import { nextCropsIn } from './next-crops.ts';
import type { ProductDetails } from './products.ts';
import { doseOnGround } from './seed-sowings.ts';
import { findingsInSpaces, jobInSpaces, standingInSpaces } from './space-limits.ts';

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };
type Product = ProductRow<ProductDetails>;

type Application = {
	readonly date: string;
	readonly kind: ApplicationKind;
	/** `begun`: how it began there; left out: it did not yet. */
	readonly fields: readonly {
		readonly row: FieldWithFigures;
		readonly areaHa: number;
		readonly begun?: Begun | undefined;
		readonly margins?: readonly MarginKept[];
	}[];
	readonly products: readonly {
		readonly product: Product;
		readonly dosePerHa: number;
		readonly seedDose?: SeedDose | undefined;
	}[];
	readonly sprayVolumeLPerHa: number | null;
	readonly growthStage: string | null;
	readonly bufferM: number | null;
	/** The job itself: what it has done already is no other treatment. */
	readonly jobId?: string | undefined;
};

/** One field of an application with all that its limits are held against. */
export type OnField = { readonly field: string; readonly planned: PlannedApplication };

/** The application field by field, with what was sprayed there before and what is planned. */
export async function onFields(books: Books, application: Application): Promise<OnField[]> {
	const { farm } = books;
	const { date, kind, products, sprayVolumeLPerHa, growthStage, bufferM, jobId } = application;
	const season = seasonDates(seasonOf(date, farm.seasonStartMonth), farm.seasonStartMonth);
	const fieldIds = application.fields.map(({ row }) => row.field.id);
	const others = await plannedElsewhere(books.db, { fieldIds, jobId });
	const limits = await limitsByField(books.db, fieldIds);
	const nextCrops = await nextCropsIn(books.db, seasonOf(date, farm.seasonStartMonth), fieldIds);
	const conditions = await conditionsByField(books.db, fieldIds);
	const found: OnField[] = [];
	for (const { row, areaHa, begun, margins } of application.fields) {
		const { field, crop, strips } = row;
		const fieldHa = toHectares(loadFor(row).m2 ?? 0) || areaHa;
		const strip = Math.min(...strips.flatMap(({ kind, widthM }) => (kind === 'strip' && widthM ? [widthM] : [])));
		const ground: Ground = {
			fieldId: field.id,
			crop: crop ? [crop.eppoCode, crop.crop].filter((name): name is string => name !== null) : [],
			cropFrom: crop?.sownOn ?? null,
			cropTo: crop?.harvestOn ?? null,
			season,
			growthStage,
			harvestOn: crop?.harvestOn ?? null,
			bufferM: bufferM ?? (Number.isFinite(strip) ? strip : null),
			margins,
			next: nextCrops({ fieldId: field.id, date, crop }),
			conditions: conditions.get(field.id),
		};
		const history = [
			...(await appliedToGround(books.db, {
				fieldId: field.id,
				areaHa,
				fieldHa,
				jobId,
				measureStep: farm.measureStep,
			})),
			...(others.get(field.id) ?? []).map(({ areaHa: otherHa, ...treatment }) => ({
				...treatment,
				overlap: overlapByArea({ fieldHa, firstHa: areaHa, secondHa: otherHa }),
			})),
		];
		const planned: PlannedApplication = {
			ground,
			date,
			begun: begun && [begun],
			sprayVolumeLPerHa,
			products: products.map(({ product, dosePerHa, seedDose }) => ({
				...applied(product, dosePerHa),
				...(seedDose ? { seedDose } : {}),
				limits: limitsOfKind(kind, [...product.limits, ...authorisationOf(product)]),
			})),
			history,
			rules: (limits.get(field.id) ?? []).map(asLimit),
		};
		found.push({ field: field.name, planned });
	}
	return found;
}

/** Every limit of these products and of this ground, with what was sprayed there before and what is planned. */
export async function findingsFor(books: Books, application: Application): Promise<LimitFinding[]> {
	return findingsOn(await onFields(books, application));
}

function findingsOn(fields: readonly OnField[]): LimitFinding[] {
	return fields.flatMap(({ field, planned }) => {
		const names = new Map(planned.products.map(({ productId, name }) => [productId, name]));
		return checkApplication(planned).map((finding) => {
			const product = finding.productId ? names.get(finding.productId) : undefined;
			return { ...finding, field, ...(product ? { product } : {}) };
		});
	});
}

/** What stands against a plan: blocks, warnings and questions. What no one filled in is asked once a product. */
export function standingOn(fields: readonly OnField[]): LimitFinding[] {
	return findingsOn(fields).filter(isStanding);
}

function isStanding({ verdict }: LimitFinding): boolean {
	return verdict === 'block' || verdict === 'warn' || verdict === 'ask';
}

/** A strip on the books may be wide enough: it is to be kept all the same. */
function isDistance({ kind, verdict, limit }: LimitFinding): boolean {
	return kind === 'buffer' && verdict === 'ok' && typeof limit === 'number' && limit > 0;
}

type Applied = {
	readonly job: JobStored;
	readonly ground: readonly { readonly fieldId: string; readonly areaHa: number; readonly startedAt: number }[];
	/** Of each product what lies on that ground, µL or mg. */
	readonly put: readonly { readonly productId: string; readonly amount: number }[];
	readonly inFlower: string | undefined;
	readonly marginsOn: (fieldId: string) => readonly MarginKept[];
};

/** The limits on what truly happened. They never stop the record; they stand on it. */
export async function checkApplied(
	books: Books,
	{ job, ground, put, inFlower, marginsOn }: Applied,
): Promise<LimitFinding[]> {
	const [first] = ground;
	if (!first) return [];
	const date = toLocalDate(first.startedAt, books.farm.zone);
	const season = seasonOf(date, books.farm.seasonStartMonth);
	const fields = [];
	for (const { fieldId, areaHa, startedAt } of ground) {
		const row = await findField(books.db, fieldId, season);
		if (!row) continue;
		const begun = { hour: hourOf(startedAt, books.farm.zone), inFlower };
		fields.push({ row, areaHa, begun, margins: marginsOn(fieldId) });
	}
	const rows = await findProducts<ProductDetails>(
		books.db,
		put.map(({ productId }) => productId),
	);
	const areaHa = ground.reduce((sum, part) => sum + part.areaHa, 0);
	const doses = new Map((await jobProducts(books.db, [job.id])).map(({ line }) => [line.productId, line.dose]));
	const products = put.flatMap(({ productId, amount }) => {
		const product = rows.get(productId);
		const dosePerHa = asPlanned(fromStockAmount(amount) / areaHa, {
			planned: doses.get(productId) ?? 0,
			stepPerHa: books.farm.measureStep / areaHa,
		});
		return product && amount > 0 ? [{ product, dosePerHa }] : [];
	});
	const { growthStage, bufferM } = detailsOf(job);
	return findingsFor(books, {
		date,
		kind: job.kind,
		fields,
		products,
		sprayVolumeLPerHa: job.sprayVolume || null,
		growthStage,
		bufferM,
		jobId: job.id,
	});
}

type CheckInput = z.output<(typeof limitsContract.check)['~orpc']['inputSchema'] & z.ZodType>;

export async function checkLimits(context: QueryContext, input: CheckInput): Promise<Result<LimitFinding[]>> {
	const { db, farm } = context;
	const indoors = 'jobId' in input ? await spacesOf(db, input.jobId) : null;
	if (indoors) return ok(await findingsInSpaces(context, indoors));
	const application = 'jobId' in input ? await ofJob(db, farm, input.jobId) : await ofInput(db, farm, input);
	return application.ok ? ok(await findingsFor(context, application.value)) : application;
}

async function spacesOf(db: ReadDb, jobId: string) {
	const found = await findJob(db, jobId);
	return found ? jobInSpaces(db, found.job) : null;
}

async function ofJob(db: ReadDb, farm: FarmRow, jobId: string): Promise<Result<Application>> {
	const found = await findJob(db, jobId);
	if (!found) return refuse('not.found', { what: 'job', id: jobId });
	const { job } = found;
	const season = seasonOf(job.sprayDate, farm.seasonStartMonth);
	const fields = [];
	for (const { line } of await jobFields(db, [jobId])) {
		const row = await findField(db, line.fieldId, season);
		if (row) fields.push({ row, areaHa: toHectares(line.areaM2) });
	}
	const lines = await jobProducts(db, [jobId]);
	const rows = await findProducts<ProductDetails>(
		db,
		lines.map(({ line }) => line.productId),
	);
	const details = detailsOf(job);
	const { growthStage, bufferM, seed } = details;
	const areaHa = fields.reduce((sum, field) => sum + field.areaHa, 0);
	const products = lines.flatMap(({ line }) => {
		const product = rows.get(line.productId);
		const dosePerHa = doseOnGround(line.dose, details, areaHa);
		if (!product || dosePerHa === null) return [];
		const seedDose = seed ? { amount: line.dose, unit: perSeedWords(product.unit, seed.unit) } : undefined;
		return [{ product, dosePerHa, seedDose }];
	});
	const { kind, sprayDate: date, sprayVolume } = job;
	return ok({ date, kind, fields, products, sprayVolumeLPerHa: sprayVolume || null, growthStage, bufferM, jobId });
}

/** What stands against a job as the books are now: blocks, warnings and questions, and the distances to keep. */
export async function standingAgainst(books: Books, jobId: string): Promise<LimitFinding[]> {
	const indoors = await spacesOf(books.db, jobId);
	if (indoors) return standingInSpaces(books, indoors);
	const application = await ofJob(books.db, books.farm, jobId);
	const findings = application.ok ? await findingsFor(books, application.value) : [];
	return findings.filter((finding) => isStanding(finding) || isDistance(finding));
}

type GivenInput = Extract<CheckInput, { readonly date: string }>;

async function ofInput(db: ReadDb, farm: FarmRow, input: GivenInput): Promise<Result<Application>> {
	const season = seasonOf(input.date, farm.seasonStartMonth);
	const fields = [];
	for (const [index, { fieldId, areaHa }] of input.fields.entries()) {
		const row = await findField(db, fieldId, season);
		if (!row) return refuse('not.found', { what: 'field', id: fieldId });
		const { m2 } = loadFor(row);
		const area = areaHa ?? (m2 === null ? null : toHectares(m2));
		if (area === null)
			return refuse('input.invalid', { path: `fields[${index}].areaHa`, why: `${row.field.name} has no area yet` });
		fields.push({ row, areaHa: area });
	}
	const rows = await findProducts<ProductDetails>(
		db,
		input.products.map(({ productId }) => productId),
	);
	const products = [];
	for (const { productId, dosePerHa } of input.products) {
		const product = rows.get(productId);
		if (!product) return refuse('not.found', { what: 'product', id: productId });
		products.push({ product, dosePerHa });
	}
	const { date, sprayVolumeLPerHa = null, growthStage = null } = input;
	return ok({ date, kind: 'spray in water', fields, products, sprayVolumeLPerHa, growthStage, bufferM: null });
}

/** What the limits say about washings: doses, when and where they go, and what a late treatment of the ground may hurt. */
export function concernsWashings({ kind }: { readonly kind: string }): boolean {
	return [
		'crop',
		'singleDose',
		'totalDose',
		'activeSubstance',
		'nutrient',
		'harvestInterval',
		'timeOfDay',
		'flowering',
		'followingCrop',
		'authorisation',
		'site',
	].includes(kind);
}
