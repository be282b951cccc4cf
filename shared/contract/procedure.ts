import { oc } from '@orpc/contract';
import { z } from 'zod';
import { wordingOf } from './wording.ts';

z.config({ customError: wordingOf });

/** What a procedure may touch: `pure` nothing, `query` a read-only connection, `command` one transaction. */
export type ProcedureKind = 'pure' | 'query' | 'command';
export type ProcedureMeta = { readonly kind: ProcedureKind; readonly does: string };

const base = oc.$meta<ProcedureMeta>({ kind: 'pure', does: '' });

/** Declares a procedure that computes from its input alone. */
export function pure<I extends z.ZodType, O extends z.ZodType>(does: string, input: I, output: O) {
	return base.meta({ kind: 'pure', does }).input(input).output(output);
}

/** Declares a procedure that reads the books. */
export function query<I extends z.ZodType, O extends z.ZodType>(does: string, input: I, output: O) {
	return base.meta({ kind: 'query', does }).input(input).output(output);
}

/** Declares a procedure that writes: one transaction, one audit row, one effect per key. */
export function command<I extends z.ZodType, O extends z.ZodType>(does: string, input: I, output: O) {
	return base.meta({ kind: 'command', does }).input(input).output(output);
}

/** A caller's key: the same key twice is one effect. */
export const Key = z.string().min(1).max(100).describe('unique per procedure: the same key twice is one effect');
/** Row id, UUIDv7 text. */
export const Id = z.string().min(1).max(64);
export const Text = z.string().trim().min(1).max(200);
export const LongText = z.string().trim().max(4000);
export const Positive = z.number().positive().finite();
export const NotNegative = z.number().nonnegative().finite();
export const Unit = z.enum(['L', 'kg']);
/** Local ISO date of the trade: spray date, expiry, delivery. */
export const LocalDate = z.iso.date();
/** Instant: ISO 8601 with `Z` or an offset, or without one in the farm's own zone. */
export const Instant = z.iso.datetime({ offset: true, local: true });
/** A note that accompanies a good answer; never an error. */
export const Warning = z.strictObject({ code: z.string(), message: z.string(), record: z.string().optional() });
export const Nothing = z.strictObject({});

type Change<Field> =
	Field extends z.ZodDefault<infer Inner extends z.ZodType>
		? z.ZodOptional<Inner>
		: Field extends z.ZodType
			? z.ZodOptional<Field>
			: never;

/** The fields of something kept, as a change to it names them: each may be left out, and then no default steps in. */
export function changeOf<Fields extends Readonly<Record<string, z.ZodType>>>(fields: Fields) {
	return Object.fromEntries(
		Object.entries(fields).map(([name, field]) => [
			name,
			(field instanceof z.ZodDefault ? (field.unwrap() as z.ZodType) : field).optional(),
		]),
	) as { [Name in keyof Fields]: Change<Fields[Name]> };
}
