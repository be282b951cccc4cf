import { z } from 'zod';
import { mixKinds } from '../core/filling/mix-ranking.ts';
import { pure, Text } from './procedure.ts';

const Names = z.union([Text, z.array(Text).max(60)]);
const Coding = z.enum(['international', 'north american']).describe('which system the letters ME, SC and DS belong to');

export const MixOrderInput = z.strictObject({
	products: z
		.array(
			z.strictObject({
				name: Text,
				formulation: z.string().trim().max(20).optional(),
				kind: z.enum(mixKinds).optional(),
				waterSolubleBag: z.boolean().optional(),
				after: Names.optional().describe('label instruction: partners that go in before this one'),
				before: Names.optional().describe('label instruction: partners that go in after this one'),
				coding: Coding.optional(),
			}),
		)
		.max(60),
	coding: Coding.optional(),
});

export const MixOrderOutput = z.array(
	z.strictObject({
		name: z.string(),
		step: z.number().int(),
		group: z.string(),
		why: z.string(),
		source: z.string(),
		waitAfterS: z.number(),
	}),
);

export type MixOrderInput = z.infer<typeof MixOrderInput>;

export const fillingContract = {
	mixOrder: pure('the order in which the products of a mix go into the tank, and why', MixOrderInput, MixOrderOutput),
};
