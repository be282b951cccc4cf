import { z } from 'zod';
import { Id, NotNegative, query, Text } from './procedure.ts';

const Lot = { amount: z.number(), batch: z.string().nullable(), expires: z.string().nullable() };

/** Out of what a product is drawn. */
export const DrawnPart = z.strictObject({
	what: z.enum(['opened', 'full', 'newly opened', 'beyond the book']),
	...Lot,
});
export type DrawnPart = z.infer<typeof DrawnPart>;

/** What the plan named and is not there, and what is drawn in its place. */
export const NotAsNamed = z.strictObject({
	missing: z.array(z.strictObject({ what: z.enum(['opened', 'full', 'measured']), ...Lot })),
	instead: z.array(DrawnPart),
});
export type NotAsNamed = z.infer<typeof NotAsNamed>;

export const DrawnProduct = z.strictObject({
	productId: Id,
	amount: z.number(),
	parts: z.array(DrawnPart),
	by: z.enum(['plan', 'batches', 'store']).describe('who says out of what: the plan, the operator, the store’s order'),
	notAsNamed: NotAsNamed.nullable(),
});
export type DrawnProduct = z.infer<typeof DrawnProduct>;

export const drawnContract = {
	drawAhead: query(
		'Out of what a load would be drawn if it were logged now: the containers its plan named, as far as they are there',
		z.strictObject({
			jobId: Id,
			load: z.int().positive(),
			products: z
				.array(
					z.strictObject({
						productId: Id,
						amount: NotNegative.optional().describe('left out: as planned'),
						batches: z.array(Text).max(10).optional(),
					}),
				)
				.default([]),
		}),
		z.array(DrawnProduct),
	),
};
