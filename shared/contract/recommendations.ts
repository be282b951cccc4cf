import { z } from 'zod';
import { deviationKinds } from '../core/recommendations/deviations.ts';
import { command, Id, Key, LocalDate, LongText, Nothing, Positive, query, Text, Unit } from './procedure.ts';

export const Deviation = z.strictObject({ kind: z.enum(deviationKinds), say: z.string() });

export const Recommendation = z.strictObject({
	id: Id,
	adviser: z.string(),
	certificateNo: z.string().nullable(),
	reference: z.string().nullable(),
	givenOn: LocalDate,
	validUntil: LocalDate,
	state: z.enum(['to come', 'holds', 'ran out', 'withdrawn']).describe('as of today'),
	crop: z.string().nullable(),
	fields: z.array(z.strictObject({ fieldId: Id, name: z.string() })).describe('none: every field of the crop'),
	products: z.array(
		z.strictObject({ productId: Id, name: z.string(), formulation: z.string(), unit: Unit, dosePerHa: z.number() }),
	),
	sprayVolumeLPerHa: z.number().nullable(),
	growthStage: z.string().nullable(),
	reason: z.string().nullable(),
	note: z.string().nullable(),
	by: z.string(),
	writtenAt: z.string(),
	withdrawn: z.strictObject({ why: z.string(), by: z.string(), at: z.string() }).nullable(),
	jobs: z.int().describe('jobs planned from it'),
});
export type Recommendation = z.infer<typeof Recommendation>;

export const recommendationsContract = {
	add: command(
		'Enters an adviser’s recommendation; it only grows: a wrong one is withdrawn and entered again',
		z.strictObject({
			key: Key,
			adviser: Text,
			certificateNo: z.string().trim().max(60).optional(),
			reference: z.string().trim().max(60).optional().describe('the number on the adviser’s own sheet'),
			givenOn: LocalDate,
			validUntil: LocalDate,
			crop: z.string().trim().max(100).optional(),
			fieldIds: z.array(Id).max(500).default([]).describe('left out: every field of the crop'),
			products: z
				.array(z.strictObject({ productId: Id, dosePerHa: Positive }))
				.min(1)
				.max(40),
			sprayVolumeLPerHa: Positive.max(5000).optional(),
			growthStage: z.string().trim().max(20).optional(),
			reason: z.string().trim().max(300).optional(),
			note: LongText.optional(),
			by: z.string().trim().max(100).optional(),
		}),
		Recommendation,
	),
	list: query('Advisers’ recommendations, newest first', Nothing, z.array(Recommendation)),
	withdraw: command(
		'Withdraws a recommendation, with the reason; it stays to be read',
		z.strictObject({ key: Key, id: Id, why: Text, by: Text }),
		Recommendation,
	),
	ofJob: query(
		'The recommendation a job was planned from, and where it departs from it',
		z.strictObject({ jobId: Id }),
		z.strictObject({ recommendation: Recommendation, deviations: z.array(Deviation) }).nullable(),
	),
};
