import { z } from 'zod';
import { spaceKinds, spaceUnits } from '../core/loads/closed-space.ts';
import { Id, Instant, NotNegative, Positive } from './procedure.ts';

const ofSpace = {
	spaceId: Id,
	crop: z.string().trim().min(1).max(100).optional().describe('what is stored or grown in it; left out: it is empty'),
	eppoCode: z.string().trim().max(12).optional().describe('of that crop'),
};
const underRoof = {
	unit: z.enum(spaceUnits).describe('what the doses are for: air, a surface, or the crop stored there'),
	mixL: Positive.optional().describe('product and water made up together for all of them, L; left out: no water'),
};

/** The closed spaces a job treats, in their order. */
export const Indoors = z.strictObject({
	...underRoof,
	spaces: z
		.array(
			z.strictObject({
				...ofSpace,
				amount: Positive.optional().describe('m³, m² or t; left out: the volume or floor area on the books'),
			}),
		)
		.min(1)
		.max(200),
});
export const PlannedSpace = z.strictObject({
	...ofSpace,
	name: z.string(),
	kind: z.enum(spaceKinds),
	amount: z.number(),
});
/** The same as a job keeps them. */
export const PlannedIndoors = z.strictObject({ ...underRoof, spaces: z.array(PlannedSpace) });
/** What a log treated of one closed space. */
export const SpaceTreated = z.strictObject({ spaceId: Id, amount: NotNegative.describe('m³, m² or t') });
export const SpaceDone = SpaceTreated.extend({ startedAt: Instant.optional(), finishedAt: Instant.optional() });
export type Indoors = z.infer<typeof Indoors>;
export type PlannedSpace = z.infer<typeof PlannedSpace>;
export type PlannedIndoors = z.infer<typeof PlannedIndoors>;
