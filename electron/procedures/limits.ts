import type { z } from 'zod';
import { type FieldWithFigures, findField } from '../../db/modules/fields.ts';
import { findJob, type JobStored, jobFields, jobProducts, listJobs, loadLogs } from '../../db/modules/jobs.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import { listRecords } from '../../db/modules/records.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonDates, seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { LimitFinding, limitsContract } from '../../shared/contract/limits.ts';
import { checkLimits as checkApplication } from '../../shared/core/limits/check-limits.ts';
import {
	type ActiveDose,
	type Ground,
	type Limit,
	overlapByArea,
	type SeedDose,
	type Treatment,
} from '../../shared/core/limits/limit.ts';
import { limitsOfKind } from '../../shared/core/limits/limits-of-kind.ts';
import type { ApplicationKind } from '../../shared/core/loads/application-kind.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { hourOf, toLocalDate } from './clock.ts';
import { forebearsOf } from './field-lineage.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf, finishedLoads } from './job-details.ts';
import { perSeedWords } from './job-kinds.ts';
import type { ProductDetails } from './products.ts';
import { doseOnGround, jobsSown, sownOn } from './seed-sowings.ts';

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };
type Product = ProductRow<ProductDetails>;

type Application = {
	readonly date: string;
	readonly kind: ApplicationKind;
	readonly fields: readonly { readonly row: FieldWithFigures; readonly areaHa: number }[];
	readonly products: readonly {
		readonly product: Product;
		readonly dosePerHa: number;
		readonly seedDose?: SeedDose | undefined;
	}[];
	readonly sprayVolumeLPerHa: number | null;
	readonly growthStage: string | null;
	/** Local time at which it began, in hours. */
	readonly startHour?: number | undefined;
	readonly bufferM: number | null;
	/** The job itself: what it has done already is no other treatment. */
	readonly jobId?: string | undefined;
};

/** Every label limit of these products on this ground, with what was sprayed there before and what is planned. */
export async function findingsFor(books: Books, application: Application): Promise<LimitFinding[]> {
	const { farm } = books;
	const { date, kind, products, sprayVolumeLPerHa, growthStage, bufferM, jobId } = application;
	const season = seasonDates(seasonOf(date, farm.seasonStartMonth), farm.seasonStartMonth);
	const others = await plannedElsewhere(books, application);
	const findings: LimitFinding[] = [];
	for (const { row, areaHa } of application.fields) {
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
		};
		const history = [
			...(await appliedToGround(books, { fieldId: field.id, areaHa, fieldHa, jobId })),
			...(others.get(field.id) ?? []).map(({ areaHa: otherHa, ...treatment }) => ({
				...treatment,
				overlap: overlapByArea({ fieldHa, firstHa: areaHa, secondHa: otherHa }),
			})),
		];
		const found = checkApplication({
			ground,
			date,
			startHour: application.startHour,
			sprayVolumeLPerHa,
			products: products.map(({ product, dosePerHa, seedDose }) => ({
				...applied(product, dosePerHa),
				...(seedDose ? { seedDose } : {}),
				limits: limitsOfKind(kind, [...product.limits, ...authorisationOf(product)]),
			})),
			history,
			rules: [],
		});
		const names = new Map(products.map(({ product }) => [product.id, product.name]));
		for (const finding of found) {
			const product = finding.productId ? names.get(finding.productId) : undefined;
			findings.push({ ...finding, field: field.name, ...(product ? { product } : {}) });
		}
	}
	return findings;
}

/** What stands against a plan: blocks, warnings and questions. What no one filled in is asked once a product. */
export async function checkPlanned(books: Books, application: Application): Promise<LimitFinding[]> {
	const findings = await findingsFor(books, application);
	return findings.filter(({ verdict }) => verdict === 'block' || verdict === 'warn' || verdict === 'ask');
}

type Applied = {
	readonly job: JobStored;
	readonly ground: readonly { readonly fieldId: string; readonly areaHa: number; readonly startedAt: number }[];
	readonly poured: readonly { readonly productId: string; readonly amount: number }[];
};

/** The limits on what truly happened. They never stop the record; they stand on it. */
export async function checkApplied(books: Books, { job, ground, poured }: Applied): Promise<LimitFinding[]> {
	const [first] = ground;
	if (!first) return [];
	const date = toLocalDate(first.startedAt, books.farm.zone);
	const season = seasonOf(date, books.farm.seasonStartMonth);
	const fields = [];
	for (const { fieldId, areaHa } of ground) {
		const row = await findField(books.db, fieldId, season);
		if (row) fields.push({ row, areaHa });
	}
	const rows = await findProducts<ProductDetails>(
		books.db,
		poured.map(({ productId }) => productId),
	);
	const areaHa = ground.reduce((sum, part) => sum + part.areaHa, 0);
	const doses = new Map((await jobProducts(books.db, [job.id])).map(({ line }) => [line.productId, line.dose]));
	const products = poured.flatMap(({ productId, amount }) => {
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
		startHour: hourOf(first.startedAt, books.farm.zone),
		bufferM,
		jobId: job.id,
	});
}

/** Within a thousandth of the plan, or one measuring step on that ground, the dose is the plan's: rounding is no overdose. */
export function asPlanned(
	dose: number,
	{ planned, stepPerHa }: { readonly planned: number; readonly stepPerHa: number },
): number {
	return Math.abs(dose - planned) <= Math.max(planned / 1000, stepPerHa) ? Math.min(dose, planned) : dose;
}

type CheckInput = z.output<(typeof limitsContract.check)['~orpc']['inputSchema'] & z.ZodType>;

export async function checkLimits(context: QueryContext, input: CheckInput): Promise<Result<LimitFinding[]>> {
	const { db, farm } = context;
	const application = 'jobId' in input ? await ofJob(db, farm, input.jobId) : await ofInput(db, farm, input);
	return application.ok ? ok(await findingsFor(context, application.value)) : application;
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
	const { growthStage, bufferM, seed } = detailsOf(job);
	const areaHa = fields.reduce((sum, field) => sum + field.areaHa, 0);
	const products = lines.flatMap(({ line }) => {
		const product = rows.get(line.productId);
		const dosePerHa = doseOnGround(line.dose, seed, areaHa);
		if (!product || dosePerHa === null) return [];
		const seedDose = seed ? { amount: line.dose, unit: perSeedWords(product.unit, seed.unit) } : undefined;
		return [{ product, dosePerHa, seedDose }];
	});
	const { kind, sprayDate: date, sprayVolume } = job;
	return ok({ date, kind, fields, products, sprayVolumeLPerHa: sprayVolume || null, growthStage, bufferM, jobId });
}

/** What stands against a job as the books are now: blocks, warnings and questions. */
export async function standingAgainst(books: Books, jobId: string): Promise<LimitFinding[]> {
	const application = await ofJob(books.db, books.farm, jobId);
	return application.ok ? checkPlanned(books, application.value) : [];
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

/** The authorisation's own dates: the end of the use-up period where there is one. */
export function authorisationOf({ authorisationEnds, useUpBy, limits }: Product): Limit[] {
	const to = useUpBy ?? authorisationEnds;
	if (!to || limits.some(({ kind }) => kind === 'authorisation')) return [];
	return [{ kind: 'authorisation', to, source: 'authorisation dates of the product', fromMemory: false }];
}

/** One product at a dose, with its active substances in grams per hectare. */
export function applied(product: Product, dosePerHa: number) {
	const measured = { unit: product.unit, relativeDensity: product.relativeDensity ?? null };
	const actives = product.actives.map((active): ActiveDose => {
		// The dose stands for the amount on one hectare, so the grams are grams per hectare.
		const grams = activeSubstance(dosePerHa, measured, active);
		const gPerHa: number | null = grams.ok ? grams.value : null;
		return {
			substance: active.substance,
			gPerHa,
			group: active.modeOfAction ?? null,
		};
	});
	return { productId: product.id, name: product.name, unit: product.unit, dosePerHa, actives };
}

type Place = {
	readonly fieldId: string;
	readonly areaHa: number;
	readonly fieldHa: number;
	readonly jobId: string | undefined;
};

/** What the ground had, under whatever name it was farmed: of a field split or merged since, as much as must lie here. */
async function appliedToGround(books: Books, place: Place): Promise<Treatment[]> {
	const treatments = [...(await appliedBefore(books, place)), ...(await sownBefore(books, place))];
	for (const { id, fieldHa, leastHa } of await forebearsOf(books.db, place.fieldId, place.areaHa)) {
		const there = { ...place, fieldId: id, fieldHa, areaHa: leastHa };
		treatments.push(...(await appliedBefore(books, there)), ...(await sownBefore(books, there)));
	}
	return treatments;
}

/** Records on this field, all years, but for those of the job itself. */
async function appliedBefore({ db }: Books, { fieldId, areaHa, fieldHa, jobId }: Place): Promise<Treatment[]> {
	const records = (await listRecords(db, { fieldId })).filter((record) => record.jobId !== jobId);
	const products = await findProducts<ProductDetails>(db, [...new Set(records.map(({ productId }) => productId))]);
	const areas = new Map<string, number>();
	for (const { jobId: job, productId, treatedM2 } of records) {
		areas.set(`${job} ${productId}`, (areas.get(`${job} ${productId}`) ?? 0) + toHectares(treatedM2));
	}
	return records.flatMap((record) => {
		const product = products.get(record.productId);
		if (!product) return [];
		const dosePerHa = fromStockAmount(record.amount) / toHectares(record.treatedM2);
		const secondHa = areas.get(`${record.jobId} ${record.productId}`) ?? 0;
		return [
			{
				...applied(product, dosePerHa),
				recordId: record.recordId,
				application: record.jobId,
				date: record.sprayDate,
				overlap: overlapByArea({ fieldHa, firstHa: areaHa, secondHa }),
				planned: false,
			},
		];
	});
}

/** Treated seed sown on this field, all years, but for that of the job itself. */
async function sownBefore({ db }: Books, { fieldId, areaHa, fieldHa, jobId }: Place): Promise<Treatment[]> {
	const sown = (await sownOn(db, { fieldId })).filter((sowing) => sowing.jobId !== jobId);
	const products = await findProducts<ProductDetails>(db, [...new Set(sown.map(({ productId }) => productId))]);
	return sown.flatMap(({ sowingId, jobId: application, date, areaHa: secondHa, productId, dosePerHa }) => {
		const product = products.get(productId);
		if (!product) return [];
		const overlap = overlapByArea({ fieldHa, firstHa: areaHa, secondHa });
		return [{ ...applied(product, dosePerHa), recordId: sowingId, application, date, overlap, planned: false }];
	});
}

type PlannedTreatment = Omit<Treatment, 'overlap'> & { readonly areaHa: number };

/** What other open jobs are to put on the same fields. */
async function plannedElsewhere(
	{ db }: Books,
	{ fields, jobId }: Application,
): Promise<Map<string, PlannedTreatment[]>> {
	const wanted = new Set(fields.map(({ row }) => row.field.id));
	const open = (await listJobs(db)).filter(({ job }) => job.id !== jobId && job.closing === null).map(({ job }) => job);
	const ids = open.map(({ id }) => id);
	const lines = (await jobFields(db, ids)).filter(({ line }) => wanted.has(line.fieldId));
	const jobIds = [...new Set(lines.map(({ line }) => line.jobId))];
	const logs = Map.groupBy(await loadLogs(db, jobIds), (log) => log.jobId);
	const ofJobs = Map.groupBy(await jobProducts(db, jobIds), ({ line }) => line.jobId);
	const products = await findProducts<ProductDetails>(db, [
		...new Set([...ofJobs.values()].flat().map(({ line }) => line.productId)),
	]);
	const sown = await jobsSown(db);
	const areas = new Map<string, number>();
	for (const { line } of await jobFields(db, jobIds)) {
		areas.set(line.jobId, (areas.get(line.jobId) ?? 0) + line.areaM2);
	}
	const planned = new Map<string, PlannedTreatment[]>();
	for (const { line } of lines) {
		const job = open.find(({ id }) => id === line.jobId);
		if (!job) continue;
		const { seed } = detailsOf(job);
		// What is logged already counts as a record, seed once it is sown.
		if (seed ? sown.has(job.id) : finishedLoads(logs.get(job.id) ?? []).size > 0) continue;
		const plannedHa = toHectares(areas.get(job.id) ?? 0);
		for (const { line: use } of ofJobs.get(job.id) ?? []) {
			const product = products.get(use.productId);
			if (!product) continue;
			const list = planned.get(line.fieldId) ?? [];
			list.push({
				...applied(product, doseOnGround(use.dose, seed, plannedHa) ?? 0),
				recordId: job.id,
				application: job.id,
				date: job.sprayDate,
				planned: true,
				areaHa: toHectares(line.areaM2),
			});
			planned.set(line.fieldId, list);
		}
	}
	return planned;
}
