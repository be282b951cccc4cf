import { jobFields, jobProducts, listJobs, loadLogs } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import { listRecords } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { overlapByArea, type Treatment } from '../../shared/core/limits/limit.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied, asPlanned } from './applied-product.ts';
import { holdsMargins, shrunkUntil } from './assessed-records.ts';
import { dosePut } from './dose-put.ts';
import { forebearsOf } from './field-lineage.ts';
import { detailsOf, finishedLoads } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import { recordDetails } from './records.ts';
import { doseOnGround, jobsSown, sownOn } from './seed-sowings.ts';

type Place = {
	readonly fieldId: string;
	readonly areaHa: number;
	readonly fieldHa: number;
	readonly jobId: string | undefined;
	/** Amounts are measured out in steps of so many L or kg. */
	readonly measureStep: number;
};

/** What the ground had, under whatever name it was farmed: of a field split or merged since, as much as must lie here. */
export async function appliedToGround(db: ReadDb, place: Place): Promise<Treatment[]> {
	const treatments = [...(await appliedBefore(db, place)), ...(await sownBefore(db, place))];
	for (const { id, fieldHa, leastHa } of await forebearsOf(db, place.fieldId, place.areaHa)) {
		const there = { ...place, fieldId: id, fieldHa, areaHa: leastHa };
		treatments.push(...(await appliedBefore(db, there)), ...(await sownBefore(db, there)));
	}
	return treatments;
}

/** Records on this field, all years, but for those of the job itself. */
async function appliedBefore(
	db: ReadDb,
	{ fieldId, areaHa, fieldHa, jobId, measureStep }: Place,
): Promise<Treatment[]> {
	const records = (await listRecords(db, { fieldId })).filter((record) => record.jobId !== jobId);
	const products = await findProducts<ProductDetails>(db, [...new Set(records.map(({ productId }) => productId))]);
	const doses = new Map(
		(await jobProducts(db, [...new Set(records.map((record) => record.jobId))])).map(({ line }) => [
			`${line.jobId} ${line.productId}`,
			line.dose,
		]),
	);
	const areas = new Map<string, number>();
	for (const { jobId: job, productId, treatedM2, washedM2 } of records) {
		if (washedM2 !== null) continue;
		areas.set(`${job} ${productId}`, (areas.get(`${job} ${productId}`) ?? 0) + toHectares(treatedM2));
	}
	return records.flatMap((record) => {
		const product = products.get(record.productId);
		if (!product) return [];
		const { washedM2, treatedM2 } = record;
		const put = dosePut(record);
		const ofJob = `${record.jobId} ${record.productId}`;
		const pass = areas.get(ofJob) ?? 0;
		const plan = { planned: doses.get(ofJob) ?? 0, stepPerHa: measureStep / pass };
		const dosePerHa = washedM2 === null ? asPlanned(put, plan) : put;
		const secondHa = washedM2 === null ? pass : toHectares(washedM2);
		return [
			{
				...applied(product, dosePerHa),
				recordId: record.recordId,
				application: record.jobId,
				date: record.sprayDate,
				overlap: overlapByArea({ fieldHa, firstHa: areaHa, secondHa }),
				planned: false,
				onTop: washedM2 !== null && treatedM2 === 0,
				shrunkUntil: holdsMargins(record.details) ? shrunkUntil(recordDetails(record), record) : undefined,
			},
		];
	});
}

/** Treated seed sown on this field, all years, but for that of the job itself. */
async function sownBefore(db: ReadDb, { fieldId, areaHa, fieldHa, jobId }: Place): Promise<Treatment[]> {
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
export async function plannedElsewhere(
	db: ReadDb,
	{ fieldIds, jobId }: { readonly fieldIds: readonly string[]; readonly jobId: string | undefined },
): Promise<Map<string, PlannedTreatment[]>> {
	const wanted = new Set(fieldIds);
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
		const details = detailsOf(job);
		// What is logged already counts as a record, seed once it is sown.
		if (details.seed ? sown.has(job.id) : finishedLoads(logs.get(job.id) ?? []).size > 0) continue;
		const plannedHa = toHectares(areas.get(job.id) ?? 0);
		for (const { line: use } of ofJobs.get(job.id) ?? []) {
			const product = products.get(use.productId);
			if (!product) continue;
			const list = planned.get(line.fieldId) ?? [];
			list.push({
				...applied(product, doseOnGround(use.dose, details, plannedHa) ?? 0),
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
