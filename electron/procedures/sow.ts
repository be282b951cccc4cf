import { findField } from '../../db/modules/fields.ts';
import { findJob, jobProducts, loadLogs } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import { addSowing, listSowings } from '../../db/modules/seed-sowings.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import { dosePerHaSown } from '../../shared/core/loads/seed.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { loadFor } from './field-register.ts';
import type { CommandContext } from './handler.ts';
import { detailsOf, quantityTreated } from './job-details.ts';
import { perSeedWords } from './job-kinds.ts';
import { findingsFor } from './limits.ts';
import type { ProductDetails } from './products.ts';
import { doseOnSeed } from './seed-sowings.ts';

type SowInput = {
	readonly jobId: string;
	readonly date: string;
	readonly by: string;
	readonly fields: readonly {
		readonly fieldId: string;
		readonly areaHa?: number | undefined;
		readonly seed: number;
	}[];
	readonly note?: string | undefined;
};

/** A grain of seed more or less is binary noise. */
const NO_SEED = 1e-6;

/**
 * Says where treated seed was sown. Only what was treated and is not sown yet can be; the limits are held against the
 * ground it went on, and never stop the record of what was done.
 */
export async function sow(
	context: CommandContext,
	input: SowInput,
): Promise<Result<{ sowingIds: string[]; findings: LimitFinding[] }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const found = await findJob(tx, input.jobId);
	if (!found) return refuse('not.found', { what: 'job', id: input.jobId });
	const { seed } = detailsOf(found.job);
	if (!seed) return refuse('job.noSeed', {});
	const logs = await loadLogs(tx, [input.jobId]);
	const before = (await listSowings(tx, { jobId: input.jobId })).reduce((sum, sowing) => sum + sowing.seed, 0);
	const left = quantityTreated(logs) - before;
	const sown = input.fields.reduce((sum, field) => sum + field.seed, 0);
	if (sown > left + NO_SEED) return refuse('seed.moreThanTreated', { sown, left: Math.max(0, left), unit: seed.unit });
	const season = seasonOf(input.date, farm.seasonStartMonth);
	signedBy(input.by);
	const lines = await jobProducts(tx, [input.jobId]);
	const products = await findProducts<ProductDetails>(
		tx,
		lines.map(({ line }) => line.productId),
	);
	const sowingIds: string[] = [];
	const findings: LimitFinding[] = [];
	for (const [index, field] of input.fields.entries()) {
		const row = await findField(tx, field.fieldId, season);
		if (!row) return refuse('not.found', { what: 'field', id: field.fieldId });
		const { m2 } = loadFor(row);
		const areaHa = field.areaHa ?? (m2 === null ? null : toHectares(m2));
		if (areaHa === null) {
			return refuse('input.invalid', { path: `fields[${index}].areaHa`, why: `${row.field.name} has no area yet` });
		}
		findings.push(
			...(await findingsFor(
				{ db: tx, farm, now },
				{
					date: input.date,
					kind: found.job.kind,
					fields: [{ row, areaHa }],
					products: lines.flatMap(({ line }) => {
						const product = products.get(line.productId);
						const amount = doseOnSeed(logs, line.productId, seed);
						if (!product || amount === 0) return [];
						const dosePerHa = dosePerHaSown(amount, { amount: field.seed, unit: seed.unit }, areaHa);
						return [{ product, dosePerHa, seedDose: { amount, unit: perSeedWords(product.unit, seed.unit) } }];
					}),
					sprayVolumeLPerHa: null,
					growthStage: null,
					bufferM: null,
					jobId: input.jobId,
				},
			)),
		);
		const id = newId();
		sowingIds.push(id);
		await addSowing(tx, {
			id,
			farmId: farm.id,
			jobId: input.jobId,
			fieldId: field.fieldId,
			areaM2: toSquareMetres(areaHa),
			seed: field.seed,
			sownOn: input.date,
			season,
			reverses: null,
			note: input.note ?? null,
			who: input.by,
			postedAt: now,
			userId: farm.userId,
			deviceId: farm.deviceId,
		});
	}
	return ok({ sowingIds, findings: findings.filter(({ verdict }) => verdict === 'block' || verdict === 'warn') });
}

/** Takes a sowing back by its mirror; both stay on the books. */
export async function unsow(
	{ tx, farm, now, newId, signedBy }: CommandContext,
	{ jobId, sowingId, why, by }: { jobId: string; sowingId: string; why: string; by: string },
): Promise<Result<{ id: string }>> {
	const sowing = (await listSowings(tx, { jobId })).find(({ id }) => id === sowingId);
	if (!sowing) return refuse('not.found', { what: 'sowing', id: sowingId });
	signedBy(by);
	const { field: _, ...row } = sowing;
	const { userId, deviceId } = farm;
	const id = newId();
	await addSowing(tx, { ...row, id, reverses: sowingId, note: why, who: by, postedAt: now, userId, deviceId });
	return ok({ id });
}
