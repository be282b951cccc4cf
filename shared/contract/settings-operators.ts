import { z } from 'zod';
import { reminderKinds } from '../core/sprayers/reminders.ts';
import { command, Id, Key, LocalDate, Nothing, query, Text } from './procedure.ts';

const entered = {
	name: Text,
	certificateNo: z.string().trim().max(60).optional(),
	certificateUntil: LocalDate.optional().describe('the last day on which the certificate holds'),
};

export const Operator = z.strictObject({
	id: Id,
	name: z.string(),
	certificateNo: z.string().nullable().describe('stands on the records of what this operator sprays from then on'),
	certificateUntil: LocalDate.nullable(),
	version: z.int(),
});
export type Operator = z.infer<typeof Operator>;

export const operatorsContract = {
	operators: query('Who sprays, with their certificates', Nothing, z.array(Operator)),
	addOperator: command(
		'Puts an operator on the list, with certificate number and the day it runs out',
		z.strictObject({ key: Key, ...entered }),
		z.strictObject({ id: Id }),
	),
	updateOperator: command(
		'Enters an operator anew: what is left out is not known',
		z.strictObject({ key: Key, id: Id, version: z.int(), ...entered }),
		Operator,
	),
	removeOperator: command(
		'Takes an operator off the list; the records keep the name',
		z.strictObject({ key: Key, id: Id, version: z.int() }),
		z.strictObject({ id: Id }),
	),
	reminders: query(
		'Sprayer tests and certificates that run out within 60 days, or did, the earliest first',
		Nothing,
		z.array(
			z.strictObject({
				what: z.enum(reminderKinds),
				of: z.string().describe('name of the sprayer or operator'),
				due: LocalDate,
				days: z.int().describe('until then; below 0: since then'),
				urgent: z.boolean().describe('within 30 days, or over'),
				say: z.string(),
			}),
		),
	),
};
