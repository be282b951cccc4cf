import { z } from 'zod';
import { doseClasses, driftReductions, watersThere, waterWidths } from '../core/limits/margin-kept.ts';
import { Id, NotNegative, Positive, Text } from './procedure.ts';

const margin = {
	margin: Text.max(120).describe('which side, which water'),
	water: z.enum(watersThere).optional().describe('when it was treated; none: no water at this margin'),
	width: z.enum(waterWidths).optional().describe('of the water at its narrowest beside the treated ground'),
	driftReduction: z
		.literal(driftReductions)
		.optional()
		.describe('of the nozzles, at least so many percent less drift; 0: not drift-reducing'),
	pressureFromBar: Positive.max(100).optional().describe('at the nozzles, the least; alone where it did not vary'),
	pressureToBar: Positive.max(100).optional().describe('the most'),
	lessDriftWithin30M: z
		.boolean()
		.optional()
		.describe(
			'drift-reducing equipment used within 30 m of the top of the bank; asked where a label asks for more than 5 m',
		),
	keptM: NotNegative.max(1000).optional().describe('left unsprayed from the top of the bank'),
};

/** Metres are asked for but where there is no water. */
function hasItsMetres({ water, keptM }: { readonly water?: string | undefined; readonly keptM?: number | undefined }) {
	return water === 'none' || keptM !== undefined;
}
const lacksMetres = { path: ['keptM'], message: 'how many metres were kept' };

function isInOrder({
	pressureFromBar: from,
	pressureToBar: to,
}: {
	readonly pressureFromBar?: number | undefined;
	readonly pressureToBar?: number | undefined;
}) {
	return from === undefined || to === undefined || from <= to;
}
const outOfOrder = { path: ['pressureToBar'], message: 'not below the least pressure' };

/** One margin as it is entered; who assessed it where it was not who enters it. */
const entered = { ...margin, by: Text.max(120).optional().describe('who assessed it; left out: who enters it') };
export const MarginEntered = z.strictObject(entered).refine(hasItsMetres, lacksMetres).refine(isInOrder, outOfOrder);
export const MarginOnField = z
	.strictObject({ ...entered, fieldId: Id.optional().describe('left out: on every field') })
	.refine(hasItsMetres, lacksMetres)
	.refine(isInOrder, outOfOrder);
export type MarginOnField = z.infer<typeof MarginOnField>;

export const MarginsOnField = z.array(MarginOnField).max(200);

/** The margins of a record as they were assessed, beside what the label said then. */
export const AssessedMargins = z.strictObject({
	margins: z.array(z.strictObject({ ...margin, by: z.string() })),
	labelM: z.number().optional().describe('metres the label asks to keep from water; left out: it asks for none'),
	reducible: z.boolean().optional().describe('whether an assessment may reduce them; left out: not on the books'),
	doseClass: z.enum(doseClasses).optional().describe('by the share of the largest single dose of the label'),
	largestDose: z.number().optional(),
});
