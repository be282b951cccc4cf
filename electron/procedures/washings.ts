import type { z } from 'zod';
import { addCleaning } from '../../db/modules/fills.ts';
import { operatorNamed } from '../../db/modules/operators.ts';
import { addRecords, listRecords, type NewRecord, recordVersions } from '../../db/modules/records.ts';
import { addWashings, listWashings, standingWashings, type WashingsStored } from '../../db/modules/washings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Washings, washingsContract } from '../../shared/contract/jobs-washings.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import { splitWithoutLoss } from '../../shared/units/split.ts';
import { hourOf, toInstant, toIso, toLocalDate } from './clock.ts';
import type { RinsedOut } from './fills.ts';
import type { CommandContext } from './handler.ts';
import { heldWords, type RestOfMix, restOfMix } from './rest-of-mix.ts';
import { leavingRecords, withAmount } from './washed-from-records.ts';
import { washingsFindings } from './washings-ahead.ts';
import { type Placed, placed } from './washings-ground.ts';
import { recordOf } from './write-records.ts';

type Input<Name extends keyof typeof washingsContract> = z.output<
	(typeof washingsContract)[Name]['~orpc']['inputSchema'] & z.ZodType
>;

/** What washings keep beside their columns. */
type Details = {
	readonly load: number;
	readonly rinsesL: readonly number[];
	readonly products: Washings['products'];
	/** Those from before have neither the job nor the ground, nor a weather. */
	readonly fields: readonly (Omit<Washings['fields'][number], 'onJob' | 'ground'> &
		Partial<Washings['fields'][number]>)[];
	readonly weather?: Washings['weather'];
	/** What was taken off the records of the loads, µL or mg. */
	readonly fromRecords: readonly { readonly recordId: string; readonly amount: number }[];
	readonly note: string | null;
};

/**
 * Logs washings put onto ground. Their product was poured with the loads: nothing leaves the store, the lines of the loads
 * give it up, and lines of their own say where it lies. Limits that are not kept stand on those lines; they never stop the
 * record of what was done.
 */
export async function logWashings(context: CommandContext, input: Input<'logWashings'>) {
	const { tx, farm, now, newId, signedBy } = context;
	const startedAt = toInstant(input.startedAt, farm.zone);
	const finishedAt = toInstant(input.finishedAt, farm.zone);
	if (finishedAt < startedAt) {
		return refuse('load.timesReversed', { startedAt: input.startedAt, finishedAt: input.finishedAt });
	}
	const found = await restOfMix(tx, input);
	if (!found.ok) return found;
	const rest = found.value;
	if (rest.out.mixL <= 0) {
		const why = 'nothing comes out: no more is left than stays in the sprayer, and no rinse water went in';
		return refuse('input.invalid', { path: 'rinsesL', why });
	}
	const date = toLocalDate(startedAt, farm.zone);
	const parts = await placed(tx, farm, { date, rest, parts: input.fields });
	if (!parts.ok) return parts;
	const leaving = await leavingRecords(tx, rest);
	if (!leaving.ok) return leaving;
	signedBy(input.operator);
	const begun = { hour: hourOf(startedAt, farm.zone), inFlower: input.flowering };
	const washed = { rest, date, leaving: leaving.value, begun };
	const findings = await washingsFindings({ db: tx, farm, now }, parts.value, washed);
	const off = [...leaving.value.values()].filter(({ amount }) => amount > 0);
	const washingsId = newId();
	const details: Details = {
		load: rest.last.loadNumber,
		rinsesL: rest.rinsesL,
		products: heldWords(rest),
		weather: input.weather ?? null,
		fields: parts.value.map(({ row, areaHa, over, onJob, ground }) => ({
			fieldId: row.field.id,
			field: row.field.name,
			areaHa,
			over,
			onJob: onJob?.name ?? null,
			ground: ground ? (ground as NonNullable<Washings['fields'][number]['ground']>) : null,
		})),
		fromRecords: off.map(({ row, amount }) => ({ recordId: row.recordId, amount })),
		note: input.note ?? null,
	};
	const { userId, deviceId } = farm;
	await addWashings(tx, {
		id: washingsId,
		farmId: farm.id,
		jobId: rest.job.id,
		loadLogId: rest.last.id,
		sprayerId: rest.sprayer.id,
		reverses: null,
		startedAt,
		finishedAt,
		leftL: rest.leftL,
		residualL: rest.residualL,
		mixL: rest.out.mixL,
		sprayedL: rest.out.sprayedL,
		details: JSON.stringify(details),
		who: input.operator,
		postedAt: now,
		userId,
		deviceId,
	});
	const certificateNo = (await operatorNamed(tx, input.operator))?.certificateNo ?? null;
	const where = { rest, parts: parts.value, startedAt, finishedAt };
	const lines = linesOf(context, { washingsId, ...where, findings, input, certificateNo });
	const why = 'what stayed in the tank went out as washings';
	const less = off.map(({ row, amount }) =>
		withAmount(context, row, { amount: row.amount - amount, why, who: input.operator }),
	);
	await addRecords(tx, [...less, ...lines]);
	if (input.rinsedOut && rest.rinsesL.length > 0) await noteRinsedOut(context, rest, { input, details, finishedAt });
	return ok({
		washingsId,
		recordIds: lines.map(({ recordId }) => recordId),
		mixL: rest.out.mixL,
		sprayedL: rest.out.sprayedL,
		products: heldWords(rest),
		findings: findings.filter(({ verdict }) => verdict === 'block' || verdict === 'warn'),
	});
}

type Lines = {
	readonly washingsId: string;
	readonly rest: RestOfMix;
	readonly parts: readonly Placed[];
	readonly startedAt: number;
	readonly finishedAt: number;
	readonly findings: readonly LimitFinding[];
	readonly input: Input<'logWashings'>;
	/** Of the operator. */
	readonly certificateNo: string | null;
};

/** One record line for each product and piece of ground, by the share of its area. */
function linesOf(context: CommandContext, { rest, parts, startedAt, finishedAt, ...of }: Lines): NewRecord[] {
	const { zone, seasonStartMonth } = context.farm;
	const date = toLocalDate(startedAt, zone);
	const areas = parts.map(({ areaHa }) => areaHa);
	const totalHa = areas.reduce((sum, areaHa) => sum + areaHa, 0);
	return rest.held.flatMap(({ product, amount }) => {
		const amounts = splitWithoutLoss(amount, areas);
		return parts.map(({ row, areaHa, over, sprayedWith }, index) => {
			const own = amounts[index] ?? 0;
			const m2 = toSquareMetres(areaHa);
			const isTreated = over === 'sprayed ground' && (sprayedWith === 'all' || sprayedWith.has(product.id));
			return recordOf(context, {
				job: rest.job,
				log: rest.last,
				place: {
					fieldId: row.field.id,
					name: row.field.name,
					date,
					season: seasonOf(date, seasonStartMonth),
					treatedM2: isTreated ? 0 : m2,
					crop: row.crop?.crop ?? null,
					eppoCode: row.crop?.eppoCode ?? null,
					startedAt,
					finishedAt,
					weather: of.input.weather ?? null,
				},
				productId: product.id,
				product,
				amount: own,
				dosePerHa: fromStockAmount(own) / areaHa,
				seed: null,
				space: null,
				sprayer: rest.sprayer.name,
				sprayVolumeLPerHa: rest.out.sprayedL / totalHa,
				operator: of.input.operator,
				certificateNo: of.certificateNo,
				flowering: of.input.flowering || null,
				confirmed: true,
				findings: of.findings,
				why: null,
				washings: { id: of.washingsId, m2, litres: (rest.out.sprayedL * areaHa) / totalHa },
			});
		});
	});
}

type Noted = { readonly input: Input<'logWashings'>; readonly details: Details; readonly finishedAt: number };

async function noteRinsedOut({ tx, farm, now, newId }: CommandContext, rest: RestOfMix, noted: Noted): Promise<void> {
	const { input, details, finishedAt } = noted;
	const rinsed: RinsedOut = {
		residualL: rest.residualL,
		rinsesL: rest.rinsesL,
		factor: rest.out.factor,
		washings: details.fields.map(({ field }) => field).join(', '),
		note: input.note ?? null,
	};
	await addCleaning(tx, {
		id: newId(),
		farmId: farm.id,
		sprayerId: rest.sprayer.id,
		kind: 'sprayer rinsed out',
		jobId: null,
		loadNumber: null,
		at: finishedAt,
		details: JSON.stringify(rinsed),
		who: input.operator,
		postedAt: now,
		userId: farm.userId,
		deviceId: farm.deviceId,
	});
}

/** Takes washings back by their mirror: their lines are marked reversed, and the lines of the loads hold again what they held. */
export async function reverseWashings(
	context: CommandContext,
	{ jobId, washingsId, why, by }: Input<'reverseWashings'>,
): Promise<Result<{ recordIds: string[] }>> {
	const { tx, farm, now, newId, signedBy } = context;
	const row = standingWashings(await listWashings(tx, { jobId })).find(({ id }) => id === washingsId);
	if (!row) return refuse('not.found', { what: 'washings', id: washingsId });
	signedBy(by);
	const { userId, deviceId } = farm;
	const details = detailsOfWashings(row);
	await addWashings(tx, {
		...row,
		id: newId(),
		reverses: washingsId,
		details: JSON.stringify({ ...details, note: why }),
		who: by,
		postedAt: now,
		userId,
		deviceId,
	});
	const lines = (await listRecords(tx, { jobId })).filter((record) => record.washingsId === washingsId);
	const written = { why, who: by, writtenAt: now, userId, deviceId };
	const reversed = lines.map(({ seq: _, hash: __, ...line }) => ({
		...line,
		...written,
		id: newId(),
		version: line.version + 1,
		state: 'reversed' as const,
	}));
	const back: NewRecord[] = [];
	for (const { recordId, amount } of details.fromRecords) {
		const newest = (await recordVersions(tx, recordId)).at(-1);
		if (newest?.state === 'current')
			back.push(
				withAmount(context, newest, { amount: newest.amount + amount, why: `washings taken back: ${why}`, who: by }),
			);
	}
	await addRecords(tx, [...reversed, ...back]);
	return ok({ recordIds: lines.map(({ recordId }) => recordId) });
}

export function detailsOfWashings({ details }: Pick<WashingsStored, 'details'>): Details {
	return JSON.parse(details) as Details;
}

/** Washings of a job, those taken back among them. */
export async function washingsOfJob(db: ReadDb, jobId: string, zone: string): Promise<Washings[]> {
	const rows = await listWashings(db, { jobId });
	const standing = new Set(standingWashings(rows).map(({ id }) => id));
	return rows
		.filter(({ reverses }) => reverses === null)
		.map((row) => {
			const { load, rinsesL, products, fields, weather = null, note } = detailsOfWashings(row);
			return {
				id: row.id,
				state: standing.has(row.id) ? 'current' : 'reversed',
				load,
				startedAt: toIso(row.startedAt, zone),
				finishedAt: toIso(row.finishedAt, zone),
				operator: row.who,
				leftL: row.leftL,
				residualL: row.residualL,
				rinsesL: [...rinsesL],
				mixL: row.mixL,
				sprayedL: row.sprayedL,
				products,
				weather,
				fields: fields.map((field) => ({ onJob: null, ground: null, ...field })),
				note,
			};
		});
}
