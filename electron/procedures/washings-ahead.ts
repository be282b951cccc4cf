import { type FieldWithFigures, findField } from '../../db/modules/fields.ts';
import { jobFields, jobProducts } from '../../db/modules/jobs.ts';
import { listRecords, type RecordStored } from '../../db/modules/records.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { WashingsAhead } from '../../shared/contract/jobs-washings.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import { roomForWashings } from '../../shared/core/limits/washings-room.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied } from './applied-product.ts';
import { toIso, toLocalDate } from './clock.ts';
import { shownRoom } from './end-of-job.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf, logDetails } from './job-details.ts';
import { asPlanned, concernsWashings, findingsFor, onFields } from './limits.ts';
import { heldWords, type RestOfMix, restOfMix } from './rest-of-mix.ts';
import { type Leaving, leavingRecords } from './washed-from-records.ts';

type Books = { readonly db: ReadDb; readonly farm: FarmRow; readonly now: number };
type Over = 'sprayed ground' | 'unsprayed ground';
export type Part = { readonly fieldId: string; readonly areaHa: number; readonly over: Over };
export type Placed = Part & { readonly row: FieldWithFigures };

type Input = {
	readonly jobId: string;
	readonly leftL?: number | undefined;
	readonly residualL?: number | undefined;
	readonly rinsesL?: readonly number[] | undefined;
	readonly fields: readonly Part[];
	readonly date?: string | undefined;
};

/** What washings of a job hold, and on which of its fields the doses on the books leave room for them. */
export async function washingsAhead({ db, farm, now }: QueryContext, input: Input): Promise<Result<WashingsAhead>> {
	const found = await restOfMix(db, input);
	if (!found.ok) return found;
	const rest = found.value;
	const date = input.date ?? toLocalDate(now, farm.zone);
	const asked = await placed(db, farm, { date, parts: input.fields });
	if (!asked.ok) return asked;
	const leaving = await leavingRecords(db, rest);
	if (!leaving.ok) return leaving;
	const washed = { rest, date, leaving: leaving.value };
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
		const row = await findField(db, line.fieldId, seasonOf(date, farm.seasonStartMonth));
		if (!row) continue;
		const part = { fieldId: line.fieldId, areaHa: 0, over: 'sprayed ground' as const, row };
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

/** The fields that were named, with what the register knows of them; one ground named twice is refused. */
export async function placed(
	db: ReadDb,
	farm: FarmRow,
	{ date, parts }: { readonly date: string; readonly parts: readonly Part[] },
): Promise<Result<Placed[]>> {
	const season = seasonOf(date, farm.seasonStartMonth);
	const found: Placed[] = [];
	for (const [index, part] of parts.entries()) {
		if (found.some(({ fieldId, over }) => fieldId === part.fieldId && over === part.over)) {
			return refuse('input.invalid', { path: `fields[${index}].fieldId`, why: 'the field stands twice' });
		}
		const row = await findField(db, part.fieldId, season);
		if (!row) return refuse('not.found', { what: 'field', id: part.fieldId });
		found.push({ ...part, row });
	}
	return ok(found);
}

export type Washed = { readonly rest: RestOfMix; readonly date: string; readonly leaving: Leaving };

async function roomOn(books: Books, { row, over }: Placed, washed: Washed) {
	const { rest } = washed;
	const base = over === 'sprayed ground' ? await dosesOn(books, row.field.id, washed) : new Map<string, number>();
	const [on] = await onFields(books, {
		...applicationOf(washed),
		fields: [{ row, areaHa: sprayedHa(rest, row.field.id) }],
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
		sprayedHa: sprayedHa(rest, row.field.id),
		strips: row.strips.map(({ label }) => label),
		...shownRoom(room),
	};
}

function applicationOf({ rest: { job }, date }: Pick<Washed, 'rest' | 'date'>) {
	return { date, kind: job.kind, sprayVolumeLPerHa: null, growthStage: null, bufferM: null, jobId: job.id };
}

/** Ground of this job on a field, by its logs. */
function sprayedHa({ logs }: RestOfMix, fieldId: string): number {
	const parts = logs.flatMap((log) => logDetails(log).ground).filter((part) => part.fieldId === fieldId);
	return parts.reduce((sum, { areaHa }) => sum + areaHa, 0);
}

/** The dose of each product that is on a field from this job, what leaves its records for the washings taken off. */
async function dosesOn({ db, farm }: Books, fieldId: string, { rest, leaving }: Washed): Promise<Map<string, number>> {
	const records = await listRecords(db, { jobId: rest.job.id, fieldId });
	const planned = new Map((await jobProducts(db, [rest.job.id])).map(({ line }) => [line.productId, line.dose]));
	const perHa = ({ amount, washedM2, treatedM2 }: RecordStored) =>
		fromStockAmount(amount) / toHectares(washedM2 ?? treatedM2);
	return new Map(
		[...Map.groupBy(records, ({ productId }) => productId)].map(([productId, own]) => {
			const passes = own.filter(({ washedM2 }) => washedM2 === null);
			const before = own.filter(({ washedM2, treatedM2 }) => washedM2 !== null && treatedM2 === 0);
			const doses = passes.map((row) =>
				asPlanned(perHa({ ...row, amount: row.amount - (leaving.get(row.recordId)?.amount ?? 0) }), {
					planned: planned.get(productId) ?? 0,
					stepPerHa: farm.measureStep / toHectares(row.treatedM2),
				}),
			);
			return [productId, Math.max(0, ...doses) + before.reduce((sum, row) => sum + perHa(row), 0)];
		}),
	);
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
	for (const { row, areaHa, over } of parts) {
		const fieldId = row.field.id;
		const base = over === 'sprayed ground' ? await dosesOn(books, fieldId, washed) : new Map<string, number>();
		const found = await findingsFor(books, {
			...applicationOf(washed),
			growthStage: detailsOf(rest.job).growthStage,
			fields: [{ row, areaHa }],
			products: rest.held.map(({ product, amount }) => ({
				product,
				dosePerHa: (base.get(product.id) ?? 0) + fromStockAmount(amount) / totalHa,
			})),
		});
		findings.push(...found.filter(concernsWashings), ...groundFinding(rest, { row, areaHa, over }));
	}
	return findings;
}

/** Washings lie on ground that was sprayed: more of it than was sprayed there is asked about. */
function groundFinding(rest: RestOfMix, { row, areaHa, over }: Omit<Placed, 'fieldId'>): LimitFinding[] {
	const { id: fieldId, name: field } = row.field;
	const sprayed = sprayedHa(rest, fieldId);
	if (over === 'unsprayed ground' || areaHa <= sprayed * (1 + 1e-9)) return [];
	return [
		{
			fieldId,
			field,
			kind: 'ground',
			verdict: 'warn',
			limit: sprayed,
			value: areaHa,
			unit: 'ha',
			records: [],
			source: 'loads logged of this job',
			say:
				sprayed === 0
					? `This job sprayed nothing on ${field}: it is unsprayed ground.`
					: `This job sprayed ${Math.round(sprayed * 100) / 100} ha of ${field}, less than the washings are said to lie on.`,
		},
	];
}
