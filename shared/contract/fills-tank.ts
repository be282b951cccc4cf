import { z } from 'zod';
import { carryOverVerdicts } from '../core/sprayers/carry-over.ts';
import { Id, LocalDate, query } from './procedure.ts';

export const TankState = z.strictObject({
	last: z
		.strictObject({
			jobId: Id,
			job: z.string(),
			on: LocalDate,
			products: z.array(
				z.strictObject({ name: z.string(), substances: z.array(z.string()), cautions: z.string().nullable() }),
			),
		})
		.nullable()
		.describe('what was in the tank last'),
	rinsedOut: z
		.strictObject({
			at: z.string(),
			who: z.string(),
			factor: z.number(),
			washings: z.string(),
			note: z.string().nullable(),
		})
		.nullable()
		.describe('the last rinsing out, where it came after the last load'),
	next: z
		.strictObject({
			jobId: Id,
			job: z.string(),
			date: LocalDate,
			crops: z.array(z.string()),
			products: z.array(z.string()),
		})
		.nullable(),
});
export type TankState = z.infer<typeof TankState>;

export const Cleaning = z.strictObject({
	id: Id,
	sprayerId: Id,
	sprayer: z.string(),
	kind: z.enum(['after filling', 'sprayer rinsed out']),
	at: z.string(),
	who: z.string(),
	jobId: Id.nullable(),
	job: z.string().nullable(),
	load: z.int().nullable(),
	tasks: z.array(z.string()),
	residualL: z.number().nullable(),
	rinsesL: z.array(z.number()),
	factor: z.number().nullable().describe('how many times weaker, fully mixed'),
	washings: z.string().nullable(),
	note: z.string().nullable(),
	before: z
		.strictObject({ jobId: Id, job: z.string(), on: LocalDate, products: z.array(z.string()) })
		.nullable()
		.describe('what is or had been in the tank'),
});
export type Cleaning = z.infer<typeof Cleaning>;

export const CarriedOver = z.strictObject({
	last: TankState.shape.last,
	rinsedOut: TankState.shape.rinsedOut,
	notes: z.array(
		z.strictObject({
			product: z.string(),
			crops: z.array(z.string()),
			herbicide: z.boolean(),
			verdict: z.enum(carryOverVerdicts),
			say: z.string(),
		}),
	),
});
export type CarriedOver = z.infer<typeof CarriedOver>;

/** What was in a sprayer's tank, and how it was cleaned. */
export const fillsTankContract = {
	cleanings: query(
		'Clean-downs and rinsings out, newest first, each with what had been in the tank',
		z.strictObject({ sprayerId: Id.optional(), from: LocalDate.optional(), to: LocalDate.optional() }),
		z.array(Cleaning),
	),
	carryOver: query(
		'What was in the tank last, whether it was rinsed out since, and what a rest of it could do on the crops sprayed next',
		z.strictObject({
			sprayerId: Id,
			fieldIds: z.array(Id).max(500),
			productIds: z.array(Id).max(40).default([]).describe('the next mix: a rest of the same mix is no rest'),
			date: LocalDate.optional(),
			jobId: Id.optional().describe('the next job: once it has begun, the tank holds its own mix'),
		}),
		CarriedOver,
	),
	tankState: query(
		'What was in the tank last, whether it was rinsed out since, and what comes next',
		z.strictObject({ sprayerId: Id }),
		TankState,
	),
};
