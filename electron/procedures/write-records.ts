import { findField } from '../../db/modules/fields.ts';
import type { JobStored, LoadLogStored } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import { addRecords, listRecords, type NewRecord } from '../../db/modules/records.ts';
import { findSprayer } from '../../db/modules/sprayers.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import { confinedBy } from '../../shared/core/records/rule-sets.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import { splitWithoutLoss } from '../../shared/units/split.ts';
import { toLocalDate } from './clock.ts';
import type { CommandContext } from './handler.ts';
import { detailsOf, type LogDetails } from './job-details.ts';
import type { Logged } from './log-load.ts';
import type { ProductDetails } from './products.ts';
import type { RecordDetails } from './records.ts';
import type { SprayerDetails } from './sprayers.ts';

type Recording = Omit<Logged, 'id' | 'startedAt' | 'finishedAt'> & {
	readonly job: JobStored;
	readonly logs: readonly LoadLogStored[];
	readonly log: LoadLogStored;
	readonly findings: readonly LimitFinding[];
};

/**
 * One record line per field and product. The parts add up to what went in: a finished load puts all of its mix on its
 * ground; a broken-off one puts the share of its area.
 */
export async function writeRecords(context: CommandContext, work: Recording): Promise<string[]> {
	const { tx, farm, now, newId } = context;
	const { job, load, logs, log, input, ground, poured } = work;
	const products = await findProducts<ProductDetails>(
		tx,
		load.products.map(({ productId }) => productId),
	);
	const sprayer = await findSprayer<SprayerDetails>(tx, job.sprayerId);
	const details = detailsOf(job);
	const onGround = await amountsOnGround(context, work);
	const rows: NewRecord[] = [];
	for (const [place, part] of ground.entries()) {
		const date = toLocalDate(part.startedAt, farm.zone);
		const season = seasonOf(date, farm.seasonStartMonth);
		const field = await findField(tx, part.fieldId, season);
		for (const { productId, said } of poured) {
			const amount = onGround.get(productId)?.[place] ?? 0;
			if (amount === 0) continue;
			const product = products.get(productId);
			const treatedM2 = toSquareMetres(part.areaHa);
			const recordId = newId();
			const content: RecordDetails = {
				formulation: product?.formulation ?? '?',
				authorisationNo: product?.authorisationNo ?? null,
				dosePerHa: fromStockAmount(amount) / part.areaHa,
				crop: field?.crop?.crop ?? null,
				eppoCode: field?.crop?.eppoCode ?? null,
				useType: 'treatment of surfaces',
				confined: confinedBy(product?.limits ?? []),
				createdAt: now,
				growthStage: details.growthStage,
				reason: details.reason,
				certificateNo: null,
				operator: input.operator,
				sprayer: sprayer?.name ?? '?',
				sprayVolumeLPerHa: job.sprayVolume,
				weather: part.weather,
				bufferM: details.bufferM,
				nozzle: details.nozzle,
				zone: farm.zone,
				overrideWhy: details.overrideWhy,
				findings: work.findings
					.filter((finding) => finding.verdict === 'block' || finding.verdict === 'warn')
					.filter(
						(finding) => finding.fieldId === part.fieldId && (!finding.productId || finding.productId === productId),
					)
					.map(({ say }) => say),
			};
			rows.push({
				id: newId(),
				recordId,
				version: 1,
				state: 'current',
				farmId: farm.id,
				jobId: job.id,
				loadLogId: log.id,
				loadNumber: load.load,
				sprayDate: date,
				season,
				fieldId: part.fieldId,
				fieldName: field?.field.name ?? '?',
				productId,
				productName: product?.name ?? '?',
				unit: product?.unit ?? 'L',
				treatedM2,
				amount,
				startedAt: part.startedAt,
				finishedAt: part.finishedAt,
				confirmed: said ? 1 : 0,
				details: JSON.stringify(content),
				why: logs.length > 0 ? 'went on after a stop' : null,
				who: input.operator,
				writtenAt: now,
				userId: farm.userId,
				deviceId: farm.deviceId,
			});
		}
	}
	await addRecords(tx, rows);
	return rows.map(({ recordId }) => recordId);
}

async function amountsOnGround({ tx }: CommandContext, work: Recording): Promise<Map<string, number[]>> {
	const { load, logs, ground, poured, log } = work;
	const earlier = logs.length > 0 ? await listRecords(tx, { loadLogIds: logs.map(({ id }) => id) }) : [];
	const areas = ground.map(({ areaHa }) => areaHa);
	const covered = areas.reduce((sum, area) => sum + area, 0);
	const amounts = new Map<string, number[]>();
	for (const { productId, amount } of poured) {
		const before = logs.flatMap(({ details }) => (JSON.parse(details) as LogDetails).products);
		const total =
			amount +
			before.filter((line) => line.productId === productId).reduce((sum, line) => sum + toStockAmount(line.amount), 0);
		const recorded = earlier.filter((row) => row.productId === productId).reduce((sum, row) => sum + row.amount, 0);
		const share = log.state === 'complete' ? total - recorded : Math.round((total * covered) / load.areaHa);
		amounts.set(productId, splitWithoutLoss(Math.max(0, Math.min(share, total - recorded)), areas));
	}
	return amounts;
}
