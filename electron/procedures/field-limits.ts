import type { z } from 'zod';
import {
	addFieldLimits,
	endFieldLimit,
	type FieldLimitStored,
	listFieldLimits,
} from '../../db/modules/field-limits.ts';
import { farmedFields, findField } from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { limitsContract } from '../../shared/contract/limits.ts';
import { type Limit, sameName } from '../../shared/core/limits/limit.ts';
import type { Nutrient } from '../../shared/core/products/nutrient.ts';
import { seasonNow } from './fields.ts';
import type { CommandContext } from './handler.ts';

type NewLimit = z.output<(typeof limitsContract.setNutrient)['~orpc']['inputSchema'] & z.ZodType>;

/** A limit of a field as the check takes it. */
export function asLimit(row: FieldLimitStored): Limit {
	const { nutrient, crop, maxKgPerHa, per, source } = row;
	return {
		kind: 'nutrient',
		nutrient,
		...(crop === null ? {} : { crop }),
		max: maxKgPerHa,
		per,
		source: `set for the field: ${source}`,
		fromMemory: row.fromMemory === 1,
		warnsOnly: row.warnsOnly === 1,
	};
}

/** The limits in force by field, of some fields or of all. */
export async function limitsByField(
	db: ReadDb,
	fieldIds?: readonly string[],
): Promise<Map<string, FieldLimitStored[]>> {
	return Map.groupBy(await listFieldLimits(db, fieldIds), ({ fieldId }) => fieldId);
}

/** The nutrients some field has a limit of. */
export function limitedIn(limits: ReadonlyMap<string, readonly FieldLimitStored[]>): Nutrient[] {
	return [...limits.values()].flat().map(({ nutrient }) => nutrient);
}

/** Limits a nutrient on some fields, all or none. What said the same before stays as it is. */
export async function setNutrientLimit(context: CommandContext, input: NewLimit): Promise<Result<{ fields: number }>> {
	const { tx, now, newId } = context;
	const { key: _, fieldIds, fromMemory, warnsOnly, ...limit } = input;
	const wanted = [...new Set(fieldIds)];
	const farmed = await farmedFields(tx);
	const stranger = wanted.find((id) => !farmed.has(id));
	if (stranger !== undefined) return notFarmed(context, stranger);
	const before = await limitsByField(tx, wanted);
	const added: FieldLimitStored[] = [];
	for (const fieldId of wanted) {
		const marks = { fromMemory: fromMemory ? 1 : 0, warnsOnly: warnsOnly ? 1 : 0 };
		const next = { id: newId(), fieldId, ...limit, ...marks, createdAt: now, endedAt: null };
		const known = before.get(fieldId)?.find((one) => isAboutTheSame(one, limit));
		if (known && saysTheSame(known, next)) continue;
		if (known) await end(context, known, next);
		else context.note({ table: 'field_limit', id: next.id, before: null, after: next });
		added.push(next);
	}
	await addFieldLimits(tx, added);
	return ok({ fields: added.length });
}

async function notFarmed(context: CommandContext, id: string) {
	const row = await findField(context.tx, id, seasonNow(context));
	if (!row?.field.retiredOn) return refuse('not.found', { what: 'field', id });
	return refuse('fields.retired', { field: row.field.name, on: row.field.retiredOn });
}

/** Takes a limit off its field. */
export async function endNutrientLimit(
	context: CommandContext,
	{ id }: { id: string },
): Promise<Result<Record<string, never>>> {
	const row = (await listFieldLimits(context.tx)).find((one) => one.id === id);
	if (!row) return refuse('not.found', { what: 'limit', id });
	await end(context, row, null);
	return ok({});
}

async function end(
	{ tx, now, note }: CommandContext,
	before: FieldLimitStored,
	after: FieldLimitStored | null,
): Promise<void> {
	await endFieldLimit(tx, before.id, now);
	note({ table: 'field_limit', id: before.id, before, after });
}

/** A field that came out of others keeps their limits; of two for the same nutrient and crop the lower one. */
export async function carryLimits(
	{ tx, now, newId }: CommandContext,
	fieldId: string,
	from: readonly string[],
): Promise<void> {
	const carried: FieldLimitStored[] = [];
	const lowestFirst = (await listFieldLimits(tx, from)).sort((a, b) => a.maxKgPerHa - b.maxKgPerHa);
	for (const row of lowestFirst) {
		if (carried.some((one) => isAboutTheSame(one, row))) continue;
		carried.push({ ...row, id: newId(), fieldId, createdAt: now });
	}
	await addFieldLimits(tx, carried);
}

function isAboutTheSame(
	a: Pick<FieldLimitStored, 'nutrient' | 'crop'>,
	b: Pick<FieldLimitStored, 'nutrient' | 'crop'>,
) {
	return a.nutrient === b.nutrient && sameName(a.crop ?? '', b.crop ?? '');
}

function saysTheSame(a: FieldLimitStored, b: FieldLimitStored): boolean {
	return (['crop', 'maxKgPerHa', 'per', 'source', 'fromMemory', 'warnsOnly'] as const).every(
		(key) => a[key] === b[key],
	);
}
