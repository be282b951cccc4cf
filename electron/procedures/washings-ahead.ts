import { jobFields } from '../../db/modules/jobs.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result } from '../../shared/basics/result.ts';
import type { WashingsAhead } from '../../shared/contract/jobs-washings.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import type { Begun } from '../../shared/core/limits/limit.ts';
import { roomForWashings } from '../../shared/core/limits/washings-room.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { applied } from './applied-product.ts';
import { hourOf, toInstant, toIso, toLocalDate } from './clock.ts';
import { shownRoom } from './end-of-job.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import { concernsWashings, findingsFor, onFields } from './limits.ts';
import { heldWords, type RestOfMix, restOfMix } from './rest-of-mix.ts';
import { type Leaving, leavingRecords } from './washed-from-records.ts';
import { dosesOn, groundFindings, otherJobsOn, type Part, type Placed, placed } from './washings-ground.ts';

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };

type Input = {
	readonly jobId: string;
	readonly leftL?: number | undefined;
	readonly residualL?: number | undefined;
	readonly rinsesL?: readonly number[] | undefined;
	readonly fields: readonly Part[];
	readonly date?: string | undefined;
	readonly startedAt?: string | undefined;
	readonly flowering?: string | undefined;
};

/** What washings of a job hold, and on which of its fields the doses on the books leave room for them. */
export async function washingsAhead({ db, farm, now }: QueryContext, input: Input): Promise<Result<WashingsAhead>> {
	const found = await restOfMix(db, input);
	if (!found.ok) return found;
	const rest = found.value;
	const date = input.date ?? toLocalDate(now, farm.zone);
	const asked = await placed(db, farm, { date, rest, parts: input.fields });
	if (!asked.ok) return asked;
	const leaving = await leavingRecords(db, rest);
	if (!leaving.ok) return leaving;
	const { startedAt, flowering: inFlower } = input;
	const begun = startedAt ? { hour: hourOf(toInstant(startedAt, farm.zone), farm.zone), inFlower } : undefined;
	const washed = { rest, date, leaving: leaving.value, begun };
	const others = (await jobFields(db, [rest.job.id])).filter(
		({ line }) => !asked.value.some(({ fieldId }) => fieldId === line.fieldId),
	);
	const fields: WashingsAhead['fields'] = [];
	const totalHa = asked.value.reduce((sum, { areaHa }) => sum + areaHa, 0);
	for (const part of asked.value) {
		const room = await roomOn({ db, farm, now }, part, washed);
		const enough = room.leastHa === null ? false : room.limitedBy === null ? null : totalHa >= room.leastHa;
		fields.push({ ...room, over: part.over, areaHa: part.areaHa, enough });
	}
	for (const { line } of others) {
		const own = [{ fieldId: line.fieldId, areaHa: 0, over: 'sprayed ground' as const }];
		const found = await placed(db, farm, { date, rest, parts: own });
		const [part] = found.ok ? found.value : [];
		if (!part) continue;
		fields.push({ ...(await roomOn({ db, farm, now }, part, washed)), over: part.over, areaHa: null, enough: null });
	}
	const findings = await washingsFindings({ db, farm, now }, asked.value, washed);
	const { last, leftL, residualL, rinsesL, rinsedAt, out } = rest;
	return ok({
		load: last.loadNumber,
		leftL,
		residualL,
		rinsesL: [...rinsesL],
		rinsedAt: rinsedAt === null ? null : toIso(rinsedAt, farm.zone),
		...out,
		products: heldWords(rest),
		fields,
		findings: findings.filter(({ verdict }) => verdict === 'block' || verdict === 'warn' || verdict === 'ask'),
	});
}

export type Washed = {
	readonly rest: RestOfMix;
	readonly date: string;
	readonly leaving: Leaving;
	/** How it began; left out: not known yet. */
	readonly begun?: Begun | undefined;
};

async function roomOn(books: Books, part: Placed, washed: Washed) {
	const { row, sprayedHa } = part;
	const { rest, date } = washed;
	const base = await dosesOn(books.db, books.farm, part, washed);
	const [on] = await onFields(books, {
		...applicationOf(washed, part),
		fields: [{ row, areaHa: sprayedHa }],
		products: rest.held.map(({ product }) => ({ product, dosePerHa: base.get(product.id) ?? 0 })),
	});
	const washings = rest.held.map(({ product, amount }) => applied(product, fromStockAmount(amount)));
	const room = on
		? roomForWashings(on.planned, washings)
		: { leastHa: null, limitedBy: null, unknown: [], notForCrop: [] };
	return {
		fieldId: row.field.id,
		field: row.field.name,
		crop: row.crop?.crop ?? null,
		sprayedHa,
		otherJobs: await otherJobsOn(books.db, books.farm, { fieldId: row.field.id, date, rest }),
		strips: row.strips.map(({ label }) => label),
		...shownRoom(room),
	};
}

/** What the job whose ground it is put there counts as the dose beneath, not as a treatment before. */
function applicationOf({ rest: { job }, date }: Pick<Washed, 'rest' | 'date'>, { onJob }: Placed) {
	const jobId = onJob?.id ?? job.id;
	return { date, kind: job.kind, sprayVolumeLPerHa: null, growthStage: null, bufferM: null, jobId };
}

/** What stands against washings on some ground: label limits with their dose on top, and ground that cannot be right. */
export async function washingsFindings(
	books: Books,
	parts: readonly Placed[],
	washed: Washed,
): Promise<LimitFinding[]> {
	const { rest } = washed;
	const totalHa = parts.reduce((sum, { areaHa }) => sum + areaHa, 0);
	const findings: LimitFinding[] = [];
	for (const part of parts) {
		const { row, areaHa } = part;
		const base = await dosesOn(books.db, books.farm, part, washed);
		const found = await findingsFor(books, {
			...applicationOf(washed, part),
			growthStage: detailsOf(rest.job).growthStage,
			fields: [{ row, areaHa, begun: washed.begun }],
			products: rest.held.map(({ product, amount }) => ({
				product,
				dosePerHa: (base.get(product.id) ?? 0) + fromStockAmount(amount) / totalHa,
			})),
		});
		findings.push(...found.filter(concernsWashings), ...(await groundFindings(books.db, rest, part)));
	}
	return findings;
}
