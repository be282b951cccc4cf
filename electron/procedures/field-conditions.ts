import type { z } from 'zod';
import {
	addFieldConditions,
	endFieldCondition,
	type FieldConditionStored,
	listFieldConditions,
} from '../../db/modules/field-conditions.ts';
import { findField } from '../../db/modules/fields.ts';
import { listProducts } from '../../db/modules/products.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldCondition, limitsContract } from '../../shared/contract/limits.ts';
import { type GroundCondition, sameName } from '../../shared/core/limits/limit.ts';
import { seasonNow } from './fields.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';

type Answers = z.output<(typeof limitsContract.answerCondition)['~orpc']['inputSchema'] & z.ZodType>;

/** What was answered about the ground of some fields, or of all, by field. */
export async function conditionsByField(
	db: ReadDb,
	fieldIds?: readonly string[],
): Promise<Map<string, GroundCondition[]>> {
	const rows = Map.groupBy(await listFieldConditions(db, fieldIds), ({ fieldId }) => fieldId);
	return new Map(
		[...rows].map(([id, own]) => [id, own.map(({ condition, holds }) => ({ condition, holds: holds === 1 }))]),
	);
}

/** What the labels on the books ask of the ground, and what was answered for one field; answers no label asks for last. */
export async function conditionsOfField(
	{ db }: QueryContext,
	{ fieldId }: { fieldId: string },
): Promise<Result<FieldCondition[]>> {
	if (!(await findField(db, fieldId, 0))) return refuse('not.found', { what: 'field', id: fieldId });
	const answered = (await conditionsByField(db, [fieldId])).get(fieldId) ?? [];
	const found: FieldCondition[] = [];
	for (const { name, limits } of await listProducts<ProductDetails>(db)) {
		for (const { condition } of limits) {
			if (condition === undefined) continue;
			const known = found.find((one) => sameName(one.condition, condition));
			if (known) {
				if (!known.products.includes(name)) known.products.push(name);
				continue;
			}
			const answer = answered.find((one) => sameName(one.condition, condition));
			found.push({ condition, holds: answer?.holds ?? null, products: [name] });
		}
	}
	const others = answered.filter(({ condition }) => !found.some((one) => sameName(one.condition, condition)));
	return ok([...found, ...others.map((other) => ({ ...other, products: [] }))]);
}

/**
 * Answers for some fields whether a condition holds there; null takes an answer back. A field that was split or merged is
 * answered for too: its treatments are still looked back at.
 */
export async function answerCondition(
	context: CommandContext,
	{ condition, fields }: Answers,
): Promise<Result<{ fields: number }>> {
	const { tx, now, newId, note } = context;
	const wanted = new Map(fields.map(({ fieldId, holds }) => [fieldId, holds]));
	const before = await listFieldConditions(tx, [...wanted.keys()]);
	const added: FieldConditionStored[] = [];
	let changed = 0;
	for (const [fieldId, holds] of wanted) {
		if (!(await findField(tx, fieldId, seasonNow(context)))) return refuse('not.found', { what: 'field', id: fieldId });
		const known = before.find((one) => one.fieldId === fieldId && sameName(one.condition, condition)) ?? null;
		if ((known === null ? null : known.holds === 1) === holds) continue;
		const next = holds === null ? null : row(newId(), { fieldId, condition, holds: holds ? 1 : 0, createdAt: now });
		if (known) await endFieldCondition(tx, known.id, now);
		note({ table: 'field_condition', id: known?.id ?? next?.id ?? '', before: told(known), after: told(next) });
		if (next) added.push(next);
		changed += 1;
	}
	await addFieldConditions(tx, added);
	return ok({ fields: changed });
}

/** A field that came out of others keeps what was answered alike for all of them; what differs is to be answered anew. */
export async function carryConditions(
	{ tx, now, newId }: CommandContext,
	fieldId: string,
	from: readonly string[],
): Promise<void> {
	const carried: FieldConditionStored[] = [];
	const answers = await listFieldConditions(tx, from);
	for (const { condition, holds } of answers.filter((one) => one.fieldId === from[0])) {
		const alike = answers.filter((one) => sameName(one.condition, condition) && one.holds === holds);
		if (alike.length === from.length) carried.push(row(newId(), { fieldId, condition, holds, createdAt: now }));
	}
	await addFieldConditions(tx, carried);
}

function told(one: FieldConditionStored | null) {
	return one && { fieldId: one.fieldId, condition: one.condition, holds: one.holds === 1 };
}

function row(id: string, said: Omit<FieldConditionStored, 'id' | 'endedAt'>): FieldConditionStored {
	return { id, ...said, endedAt: null };
}
