import { z } from 'zod';
import { Id, LocalDate, query, Unit } from './procedure.ts';

const Period = z.strictObject({ from: LocalDate, to: LocalDate });

export const Statement = z.strictObject({
	from: LocalDate,
	to: LocalDate,
	products: z.array(
		z.strictObject({
			productId: Id,
			name: z.string(),
			unit: Unit,
			opening: z.number(),
			delivered: z.number(),
			used: z.number(),
			otherOut: z.number(),
			counted: z.number().describe('sum of count adjustments'),
			closing: z.number(),
			onGround: z.number().describe('dose × treated area over all records'),
			treatedHa: z.number().describe('each pass counts'),
			basicHa: z.number().describe('each hectare once'),
		}),
	),
	actives: z.array(z.strictObject({ substance: z.string(), kg: z.number(), treatedHa: z.number() })),
	fields: z.array(
		z.strictObject({
			fieldId: Id,
			name: z.string(),
			crop: z.string().nullable(),
			mappedHa: z.number().nullable(),
			measuredHa: z.number().nullable(),
			loadForHa: z.number().nullable(),
			treatments: z.int(),
			treatedHa: z.number(),
		}),
	),
	loadsLogged: z.int(),
	recordsIncomplete: z.int(),
});
export type Statement = z.infer<typeof Statement>;

export const reportNames = [
	'spray diary',
	'diary by field',
	'product totals',
	'active substance totals',
	'stock statement',
	'area statement',
	'operator log',
] as const;

export const seasonContract = {
	statement: query('The season in figures: store, ground, active substances, fields', Period, Statement),
	report: query(
		'Writes a season report to a file',
		z.strictObject({
			report: z.string(),
			format: z.enum(['json', 'csv', 'xlsx', 'pdf']),
			from: LocalDate,
			to: LocalDate,
			path: z.string().min(1).optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({ path: z.string(), rows: z.int() }),
	),
};
