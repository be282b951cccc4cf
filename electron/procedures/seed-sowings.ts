import { findJob, jobProducts, type LoadLogStored, loadLogs, standing } from '../../db/modules/jobs.ts';
import { listSowings } from '../../db/modules/seed-sowings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { writtenDate } from '../../shared/basics/calendar.ts';
import type { Seed, Sowing } from '../../shared/contract/jobs-kinds.ts';
import { dosePerHaSown, SEED_PER_DOSE } from '../../shared/core/loads/seed.ts';
import { toHectares } from '../../shared/units/area.ts';
import { detailsOf, type JobDetails, logDetails, quantityTreated } from './job-details.ts';

/** A dose as a job keeps it, on the ground; null: in a closed space, or on seed of which nobody knows yet where it goes. */
export function doseOnGround(
	dose: number,
	{ seed, indoors }: Pick<JobDetails, 'seed' | 'indoors'>,
	areaHa: number,
): number | null {
	if (indoors) return null;
	if (seed === null) return dose;
	return areaHa > 0 ? dosePerHaSown(dose, seed, areaHa) : null;
}

/** What stands on the seed of a job: the amount poured over all its seed, to 100 kg or one unit. */
export function doseOnSeed(logs: readonly LoadLogStored[], productId: string, { unit }: Seed): number {
	const poured = standing(logs)
		.flatMap((log) => logDetails(log).products)
		.filter((line) => line.productId === productId)
		.reduce((sum, { amount }) => sum + amount, 0);
	const treated = quantityTreated(logs);
	return treated > 0 ? (poured / treated) * SEED_PER_DOSE[unit] : 0;
}

export async function sowingsOf(db: ReadDb, jobId: string): Promise<Sowing[]> {
	return (await listSowings(db, { jobId })).map(
		({ id, fieldId, field, areaM2, seed, sownOn: date, who: by, note }) => ({
			id,
			fieldId,
			field,
			areaHa: toHectares(areaM2),
			seed,
			date,
			by,
			note,
		}),
	);
}

export type SownTreatment = {
	readonly sowingId: string;
	readonly jobId: string;
	readonly fieldId: string;
	readonly field: string;
	readonly season: number;
	readonly seed: Seed;
	/** L or kg to 100 kg or one unit. */
	readonly doseOnSeed: number;
	readonly date: string;
	readonly areaHa: number;
	readonly productId: string;
	readonly dosePerHa: number;
};

/** The entries a limit summed, as a reader finds them again: by number, and a sowing, which has none, by its day. */
export function entriesSummed(records: readonly string[], sown: readonly SownTreatment[]): string | null {
	const days = new Map(sown.map(({ sowingId, date }) => [sowingId, `seed sown ${writtenDate(date)}`]));
	return [...new Set(records.map((record) => days.get(record) ?? record))].join(', ') || null;
}

/** What came onto the ground on treated seed, product by product, with the dose that truly stands on the seed; oldest first. */
export async function sownOn(db: ReadDb, of: { readonly fieldId?: string } = {}): Promise<SownTreatment[]> {
	const sowings = await listSowings(db, of);
	const jobIds = [...new Set(sowings.map(({ jobId }) => jobId))];
	const logs = Map.groupBy(await loadLogs(db, jobIds), ({ jobId }) => jobId);
	const products = Map.groupBy(await jobProducts(db, jobIds), ({ line }) => line.jobId);
	const treatments: SownTreatment[] = [];
	for (const sowing of sowings) {
		const { id: sowingId, jobId, fieldId, field, sownOn: date } = sowing;
		const found = await findJob(db, jobId);
		const seed = found && detailsOf(found.job).seed;
		if (!seed) continue;
		const areaHa = toHectares(sowing.areaM2);
		for (const { line } of products.get(jobId) ?? []) {
			const dose = doseOnSeed(logs.get(jobId) ?? [], line.productId, seed);
			if (dose === 0) continue;
			const dosePerHa = dosePerHaSown(dose, { amount: sowing.seed, unit: seed.unit }, areaHa);
			const on = { sowingId, jobId, fieldId, field, date, season: sowing.season, areaHa };
			treatments.push({ ...on, productId: line.productId, dosePerHa, seed, doseOnSeed: dose });
		}
	}
	return treatments;
}

/** Jobs of which seed was sown. */
export async function jobsSown(db: ReadDb): Promise<ReadonlySet<string>> {
	return new Set((await listSowings(db)).map(({ jobId }) => jobId));
}
