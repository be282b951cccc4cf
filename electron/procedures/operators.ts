import {
	addOperator,
	listOperators,
	type OperatorStored,
	operatorNamed,
	saveOperator,
} from '../../db/modules/operators.ts';
import { listSprayers } from '../../db/modules/sprayers.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Operator } from '../../shared/contract/settings-operators.ts';
import { type Reminder, remindersOf } from '../../shared/core/sprayers/reminders.ts';
import { toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import type { SprayerDetails } from './sprayers.ts';

type Entered = {
	readonly name: string;
	readonly certificateNo?: string | undefined;
	readonly certificateUntil?: string | undefined;
};

export async function listAllOperators({ db }: QueryContext): Promise<Result<Operator[]>> {
	return ok((await listOperators(db)).map(shown));
}

export async function addNewOperator(
	{ tx, farm, newId }: CommandContext,
	input: Entered,
): Promise<Result<{ id: string }>> {
	if (await operatorNamed(tx, input.name)) return refuse('operator.listed', { name: input.name });
	const id = newId();
	await addOperator(tx, { id, farmId: farm.id, ...certified(input), removedAt: null, version: 1 });
	return ok({ id });
}

export async function updateOperator(
	{ tx, note }: CommandContext,
	{ id, version, ...input }: Entered & { readonly id: string; readonly version: number },
): Promise<Result<Operator>> {
	const before = await standingOperator(tx, { id, version });
	if (!before.ok) return before;
	const other = await operatorNamed(tx, input.name);
	if (other && other.id !== id) return refuse('operator.listed', { name: input.name });
	const next: OperatorStored = { ...before.value, ...certified(input) };
	await saveOperator(tx, next);
	note({ table: 'operator', id, before: JSON.stringify(before.value), after: JSON.stringify(next) });
	return ok(shown({ ...next, version: version + 1 }));
}

export async function removeOperator(
	{ tx, note, now }: CommandContext,
	input: { readonly id: string; readonly version: number },
): Promise<Result<{ id: string }>> {
	const before = await standingOperator(tx, input);
	if (!before.ok) return before;
	const next: OperatorStored = { ...before.value, removedAt: now };
	await saveOperator(tx, next);
	note({ table: 'operator', id: input.id, before: JSON.stringify(before.value), after: JSON.stringify(next) });
	return ok({ id: input.id });
}

/** Sprayer tests and certificates that run out within two months, or did. */
export async function remindersNow({ db, farm, now }: QueryContext): Promise<Result<Reminder[]>> {
	const tests = (await listSprayers<SprayerDetails>(db)).map(({ name, testDueOn }) => ({
		what: 'sprayer test' as const,
		of: name,
		due: testDueOn ?? null,
	}));
	const certificates = (await listOperators(db)).map(({ name, certificateUntil }) => ({
		what: 'certificate' as const,
		of: name,
		due: certificateUntil,
	}));
	return ok(remindersOf([...tests, ...certificates], toLocalDate(now, farm.zone)));
}

async function standingOperator(
	tx: CommandContext['tx'],
	{ id, version }: { readonly id: string; readonly version: number },
): Promise<Result<OperatorStored>> {
	const found = (await listOperators(tx)).find((each) => each.id === id);
	if (!found) return refuse('not.found', { what: 'operator', id });
	return found.version === version ? ok(found) : refuse('row.changed', { what: found.name });
}

function certified({ name, certificateNo, certificateUntil }: Entered) {
	return { name, certificateNo: certificateNo || null, certificateUntil: certificateUntil ?? null };
}

function shown({ farmId: _, removedAt: __, ...operator }: OperatorStored): Operator {
	return operator;
}
