import type { z } from 'zod';
import { findField } from '../../db/modules/fields.ts';
import { findJob, jobFields, jobProducts } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import {
	addJobRecommendation,
	addRecommendation,
	addWithdrawal,
	findRecommendation,
	jobsFrom,
	listRecommendations,
	type RecommendationWithEnd,
	recommendationOfJob,
} from '../../db/modules/recommendations.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb, WriteDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Recommendation, recommendationsContract } from '../../shared/contract/recommendations.ts';
import {
	type Deviation,
	deviations,
	type PlannedWork,
	type Recommended,
} from '../../shared/core/recommendations/deviations.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toIso, toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { detailsOf as detailsOfJob } from './job-details.ts';
import type { PlannedJob } from './plan-job.ts';
import type { ProductDetails } from './products.ts';
import { doseOnGround } from './seed-sowings.ts';

type Entered = z.output<(typeof recommendationsContract.add)['~orpc']['inputSchema'] & z.ZodType>;

/** What a recommendation keeps beside its columns. Names are those it was given with. */
export type RecommendationDetails = Pick<
	Recommendation,
	'crop' | 'fields' | 'products' | 'sprayVolumeLPerHa' | 'growthStage' | 'reason' | 'note'
>;

export async function addNewRecommendation(context: CommandContext, input: Entered): Promise<Result<Recommendation>> {
	const { tx, farm, now, newId, signedBy } = context;
	if (input.validUntil < input.givenOn)
		return refuse('input.invalid', { path: 'validUntil', why: 'is before the day it was given' });
	const crop = input.crop || null;
	if (input.fieldIds.length === 0 && crop === null)
		return refuse('input.invalid', { path: 'fieldIds', why: 'name the fields, or the crop it is for' });
	const fields = await fieldsNamed(tx, farm, input);
	if (!fields.ok) return fields;
	const products = await productsNamed(tx, input);
	if (!products.ok) return products;
	const details: RecommendationDetails = {
		crop,
		fields: fields.value,
		products: products.value,
		sprayVolumeLPerHa: input.sprayVolumeLPerHa ?? null,
		growthStage: input.growthStage || null,
		reason: input.reason || null,
		note: input.note || null,
	};
	const who = input.by || farm.operator || farm.userId;
	signedBy(who);
	const row = {
		id: newId(),
		farmId: farm.id,
		adviser: input.adviser,
		certificateNo: input.certificateNo || null,
		reference: input.reference || null,
		givenOn: input.givenOn,
		validUntil: input.validUntil,
		details: JSON.stringify(details),
		who,
		writtenAt: now,
		userId: farm.userId,
		deviceId: farm.deviceId,
	};
	await addRecommendation(tx, row);
	return ok(recommendationOf({ row, withdrawal: null }, { farm, now, jobs: 0 }));
}

export async function listAllRecommendations({ db, farm, now }: QueryContext): Promise<Result<Recommendation[]>> {
	const jobs = await jobsFrom(db);
	return ok(
		(await listRecommendations(db)).map((each) =>
			recommendationOf(each, { farm, now, jobs: jobs.get(each.row.id) ?? 0 }),
		),
	);
}

export async function withdrawRecommendation(
	{ tx, farm, now, signedBy }: CommandContext,
	{ id, why, by }: { id: string; why: string; by: string },
): Promise<Result<Recommendation>> {
	const found = await findRecommendation(tx, id);
	if (!found) return refuse('not.found', { what: 'recommendation', id });
	const { row } = found;
	if (found.withdrawal) {
		const { adviser, givenOn } = row;
		return refuse('recommendation.withdrawn', { adviser, givenOn, why: found.withdrawal.why });
	}
	signedBy(by);
	const { userId, deviceId } = farm;
	const withdrawal = { recommendationId: id, why, who: by, writtenAt: now, userId, deviceId };
	await addWithdrawal(tx, withdrawal);
	return ok(recommendationOf({ row, withdrawal }, { farm, now, jobs: (await jobsFrom(tx)).get(id) ?? 0 }));
}

/** What a job was planned from, and where its plan, as it stands now, departs from it. */
export async function recommendationFollowed({ db, farm, now }: QueryContext, { jobId }: { jobId: string }) {
	const followed = await recommendationOfJob(db, jobId);
	if (!followed) return ok(null);
	const found = await findRecommendation(db, followed.recommendationId);
	invariant(found, 'the recommendation of a job is on the books');
	const jobs = (await jobsFrom(db)).get(followed.recommendationId) ?? 0;
	return ok({
		recommendation: recommendationOf(found, { farm, now, jobs }),
		deviations: (await changedWork(db, farm, jobId, found)) ?? (JSON.parse(followed.deviations) as Deviation[]),
	});
}

/** Where a plan that was changed since departs now; null where it stands as it was first planned. */
export async function changedWork(db: ReadDb, farm: FarmRow, jobId: string, recommended: RecommendationWithEnd) {
	const found = await findJob(db, jobId);
	if (!found || found.job.version === 1) return null;
	const { job } = found;
	const fields: PlannedWork['fields'][number][] = [];
	const details = detailsOfJob(job);
	let areaHa = 0;
	for (const { line, name } of await jobFields(db, [jobId])) {
		areaHa += toHectares(line.areaM2);
		const row = await findField(db, line.fieldId, seasonOf(job.sprayDate, farm.seasonStartMonth));
		fields.push({ fieldId: line.fieldId, name, crop: row?.crop?.crop ?? null });
	}
	const products = (await jobProducts(db, [jobId])).map(({ line, name, unit }) => ({
		productId: line.productId,
		name,
		unit,
		dosePerHa: doseOnGround(line.dose, details, areaHa),
	}));
	const work = { date: job.sprayDate, sprayVolumeLPerHa: job.sprayVolume, fields, products };
	return deviations(recommendedBy(recommended), work);
}

/** A plan as its recommendation is held against it. */
export function workOf({ date, sprayVolumeLPerHa, fields, products }: PlannedJob): PlannedWork {
	return {
		date,
		sprayVolumeLPerHa,
		fields: fields.map(({ row }) => ({ fieldId: row.field.id, name: row.field.name, crop: row.crop?.crop ?? null })),
		products: products.map(({ product: { id: productId, name, unit }, dosePerHa }) => ({
			productId,
			name,
			unit,
			dosePerHa,
		})),
	};
}

/** Where work that is planned departs from a recommendation. */
export async function deviationsFrom(db: ReadDb, id: string, work: PlannedWork): Promise<Result<readonly Deviation[]>> {
	const found = await findRecommendation(db, id);
	if (!found) return refuse('not.found', { what: 'recommendation', id });
	return ok(deviations(recommendedBy(found), work));
}

/** Keeps with a job the recommendation it was planned from, and where it departs from it. */
export async function followRecommendation(
	tx: WriteDb,
	jobId: string,
	recommendationId: string,
	work: PlannedWork,
): Promise<Result<null>> {
	const apart = await deviationsFrom(tx, recommendationId, work);
	if (!apart.ok) return apart;
	await addJobRecommendation(tx, { jobId, recommendationId, deviations: JSON.stringify(apart.value) });
	return ok(null);
}

async function fieldsNamed(tx: ReadDb, farm: FarmRow, { fieldIds, givenOn }: Entered) {
	const named: RecommendationDetails['fields'] = [];
	for (const fieldId of new Set(fieldIds)) {
		const found = await findField(tx, fieldId, seasonOf(givenOn, farm.seasonStartMonth));
		if (!found) return refuse('not.found', { what: 'field', id: fieldId });
		named.push({ fieldId, name: found.field.name });
	}
	return ok(named);
}

async function productsNamed(tx: ReadDb, input: Entered): Promise<Result<RecommendationDetails['products']>> {
	const known = await findProducts<ProductDetails>(
		tx,
		input.products.map(({ productId }) => productId),
	);
	const named: RecommendationDetails['products'] = [];
	for (const [index, { productId, dosePerHa }] of input.products.entries()) {
		const product = known.get(productId);
		if (!product) return refuse('not.found', { what: 'product', id: productId });
		if (named.some((line) => line.productId === productId))
			return refuse('input.invalid', { path: `products[${index}].productId`, why: 'the product stands twice' });
		const { name, formulation, unit } = product;
		named.push({ productId, name, formulation, unit, dosePerHa });
	}
	return ok(named);
}

function detailsOf({ row }: RecommendationWithEnd): RecommendationDetails {
	return JSON.parse(row.details) as RecommendationDetails;
}

export function recommendedBy(found: RecommendationWithEnd): Recommended {
	const { crop, fields, products, sprayVolumeLPerHa } = detailsOf(found);
	const { givenOn, validUntil } = found.row;
	const withdrawn = found.withdrawal ? { why: found.withdrawal.why } : null;
	return { givenOn, validUntil, crop, fields, products, sprayVolumeLPerHa, withdrawn };
}

function recommendationOf(
	found: RecommendationWithEnd,
	{ farm, now, jobs }: { farm: FarmRow; now: number; jobs: number },
): Recommendation {
	const { row, withdrawal } = found;
	const { id, adviser, certificateNo, reference, givenOn, validUntil, who, writtenAt } = row;
	const today = toLocalDate(now, farm.zone);
	const dated = today > validUntil ? 'ran out' : today < givenOn ? 'to come' : 'holds';
	return {
		id,
		adviser,
		certificateNo,
		reference,
		givenOn,
		validUntil,
		state: withdrawal ? 'withdrawn' : dated,
		...detailsOf(found),
		by: who,
		writtenAt: toIso(writtenAt, farm.zone),
		withdrawn: withdrawal
			? { why: withdrawal.why, by: withdrawal.who, at: toIso(withdrawal.writtenAt, farm.zone) }
			: null,
		jobs,
	};
}
