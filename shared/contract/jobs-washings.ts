import { z } from 'zod';
import { Boundary } from './ground.ts';
import { WashingsRoom } from './jobs-end.ts';
import { LimitFinding } from './limits.ts';
import {
	command,
	Id,
	Instant,
	Key,
	LocalDate,
	LongText,
	NotNegative,
	Positive,
	query,
	Text,
	Unit,
} from './procedure.ts';
import { InFlower, Weather } from './weather.ts';

const Over = z.enum(['sprayed ground', 'unsprayed ground']);
const Where = z.strictObject({
	fieldId: Id,
	areaHa: Positive,
	over: Over.default('sprayed ground').describe(
		'ground this job had sprayed, or ground it had not: kept back, or another field',
	),
	onJobId: Id.optional().describe('another job that had sprayed this ground; left out: this job'),
	ground: Boundary.optional().describe('the part of the field where they lie, as drawn'),
});
const Rinses = z.array(Positive).max(10);
const Held = z.strictObject({ productId: Id, name: z.string(), unit: Unit, amount: z.number() });

/** Washings that were put onto ground. */
export const Washings = z.strictObject({
	id: Id,
	state: z.enum(['current', 'reversed']),
	load: z.int().describe('the load whose rest it was'),
	startedAt: z.string(),
	finishedAt: z.string(),
	operator: z.string(),
	leftL: z.number(),
	residualL: z.number(),
	rinsesL: z.array(z.number()),
	mixL: z.number().describe('mix as it was made up that came out'),
	sprayedL: z.number().describe('water and mix'),
	products: z.array(Held),
	weather: Weather.nullable(),
	fields: z.array(
		z.strictObject({
			fieldId: Id,
			field: z.string(),
			areaHa: z.number(),
			over: Over,
			onJob: z.string().nullable().describe('another job that had sprayed this ground'),
			ground: Boundary.nullable().describe('as drawn; null: told by its size alone'),
		}),
	),
	note: z.string().nullable(),
});
export type Washings = z.infer<typeof Washings>;

export const WashingsAhead = z.strictObject({
	load: z.int(),
	leftL: z.number(),
	residualL: z.number(),
	rinsesL: z.array(z.number()),
	rinsedAt: z.string().nullable().describe('the rinsing out these figures are taken from'),
	mixL: z.number(),
	sprayedL: z.number(),
	factor: z.number().describe('how many times weaker the rest in the sprayer is then'),
	products: z
		.array(Held)
		.describe('what the washings hold: it was poured with the loads, nothing leaves the store again'),
	fields: z.array(
		WashingsRoom.extend({
			fieldId: Id,
			field: z.string(),
			crop: z.string().nullable(),
			sprayedHa: z.number().describe('by this job, or by the one whose ground was named'),
			strips: z.array(z.string()).describe('ground there that washings must keep off'),
			otherJobs: z
				.array(z.strictObject({ jobId: Id, job: z.string(), on: LocalDate }))
				.describe('that sprayed it this season, newest first: their ground may take the washings'),
			over: Over,
			areaHa: z.number().nullable().describe('null: not among the fields asked about'),
			enough: z
				.boolean()
				.nullable()
				.describe('is the ground asked about enough for the doses on the books; null: not asked, or none there'),
		}),
	),
	findings: z.array(LimitFinding),
});
export type WashingsAhead = z.infer<typeof WashingsAhead>;

export const washingsContract = {
	washingsAhead: query(
		'What washings of a job hold, and on which of its fields the doses on the books leave room for them; it informs, the label comes first',
		z.strictObject({
			jobId: Id,
			leftL: Positive.optional().describe('mix left, with sump and lines; left out: what the books know'),
			residualL: NotNegative.optional().describe(
				'what stays when it is sprayed out; left out: the sprayer’s unsprayable',
			),
			rinsesL: Rinses.optional().describe('left out: those of the last rinsing out, where it came after the job'),
			fields: z.array(Where).max(50).default([]),
			date: LocalDate.optional(),
			startedAt: Instant.optional(),
			flowering: InFlower.optional(),
		}),
		WashingsAhead,
	),
	logWashings: command(
		'Logs washings put onto ground: record lines of their own and doses that count, no draw from the store and no treatment more',
		z.strictObject({
			key: Key,
			jobId: Id,
			leftL: Positive.describe('mix left, with sump and lines'),
			residualL: NotNegative.optional(),
			rinsesL: Rinses.default([]),
			fields: z.array(Where).min(1).max(50),
			startedAt: Instant,
			finishedAt: Instant,
			operator: Text,
			weather: Weather.optional().describe('as it was seen while they were sprayed out'),
			flowering: InFlower.optional(),
			rinsedOut: z.boolean().default(false).describe('note the sprayer as rinsed out with these rinses'),
			note: LongText.optional(),
		}),
		z.strictObject({
			washingsId: Id,
			recordIds: z.array(Id),
			mixL: z.number(),
			sprayedL: z.number(),
			products: z.array(Held),
			findings: z.array(LimitFinding),
		}),
	),
	reverseWashings: command(
		'Takes back washings that were logged wrongly: their record lines are marked reversed, the others hold what they held',
		z.strictObject({ key: Key, jobId: Id, washingsId: Id, why: Text, by: Text }),
		z.strictObject({ recordIds: z.array(Id) }),
	),
};
