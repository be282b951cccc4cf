import { z } from 'zod';
import { Id, LocalDate, Positive, query } from './procedure.ts';

export const LimitFinding = z.strictObject({
	fieldId: Id,
	field: z.string().optional(),
	productId: Id.optional(),
	product: z.string().optional(),
	kind: z.string(),
	verdict: z.enum(['ok', 'block', 'warn', 'ask', 'unknown']),
	limit: z.union([z.number(), z.string()]).nullable(),
	value: z.union([z.number(), z.string()]).nullable(),
	unit: z.string().nullable(),
	records: z.array(z.string()),
	source: z.string(),
	say: z.string(),
});
export type LimitFinding = z.infer<typeof LimitFinding>;

export const limitsContract = {
	check: query(
		'Holds a job, or doses on fields, against every label limit on the treated ground; it informs, the label and local law come first',
		z.union([
			z.strictObject({ jobId: Id }),
			z.strictObject({
				fields: z.array(z.strictObject({ fieldId: Id, areaHa: Positive.optional() })).min(1),
				products: z.array(z.strictObject({ productId: Id, dosePerHa: Positive })).min(1),
				date: LocalDate,
				sprayVolumeLPerHa: Positive.optional(),
				growthStage: z.string().optional(),
			}),
		]),
		z.array(LimitFinding),
	),
};
