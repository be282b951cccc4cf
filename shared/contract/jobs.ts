import { z } from 'zod';
import { applicationKinds } from '../core/loads/application-kind.ts';
import { LoadCard } from './jobs-card.ts';
import { drawnContract, NotAsNamed } from './jobs-drawn.ts';
import { Indoors, PlannedIndoors, SpaceDone, SpaceTreated } from './jobs-indoors.ts';
import { Carrier, Seed, Sowing, sowingContract } from './jobs-kinds.ts';
import { MarginsOnField } from './jobs-margins.ts';
import { Alternative, Dosed, JobPlan, PlannedLoad, SaidDose, Strategy } from './jobs-plan.ts';
import { Washings, washingsContract } from './jobs-washings.ts';
import { LimitFinding } from './limits.ts';
import {
	command,
	Id,
	Instant,
	Key,
	LocalDate,
	LongText,
	Nothing,
	NotNegative,
	Positive,
	query,
	Text,
	Unit,
	Warning,
} from './procedure.ts';
import { StoreSaid } from './store-list.ts';
import { RinseWay } from './waste.ts';
import { InFlower, Weather } from './weather.ts';

const Reason = LongText.min(1).describe('why the job goes on against its warnings');

const plan = {
	name: z.string().trim().max(120).optional(),
	kind: z.enum(applicationKinds).default('spray in water').describe('how it is brought out'),
	sprayerId: Id.describe(
		'the machine: a sprayer, a granule applicator, a seed treater or an indoor applicator, as the kind needs',
	),
	sprayVolumeLPerHa: Positive.optional().describe('mix on one hectare; asked for where a mix is sprayed'),
	carrier: Carrier.optional().describe('asked for where liquid fertiliser is the carrier'),
	seed: Seed.optional().describe('asked for where seed is treated'),
	indoors: Indoors.optional().describe('asked for where closed spaces are treated'),
	fields: z
		.array(z.strictObject({ fieldId: Id, areaHa: Positive.optional().describe('left out: the area to load for') }))
		.max(500)
		.describe('of a seed treatment: where the seed is to be sown, as far as that is known; of closed spaces: none'),
	products: z.array(Dosed).min(1).max(40),
	strategy: Strategy.optional(),
	date: LocalDate.optional(),
	storeId: StoreSaid.describe('the store its loads draw from; left out: the first'),
	customer: z.string().trim().max(120).optional().describe('for whom, where it is contract work'),
	reason: z.string().trim().max(300).optional(),
	operator: z.string().trim().max(120).optional(),
	growthStage: z.string().trim().max(20).optional().describe('BBCH'),
	nozzle: z.string().trim().max(60).optional(),
	pressureBar: Positive.optional(),
	speedKmh: Positive.optional(),
	boomHeightM: Positive.optional(),
	bufferM: NotNegative.optional(),
	leftInTankL: NotNegative.optional().describe('mix of this same recipe already in the tank'),
	leftInHopperKg: NotNegative.optional().describe('granules of the same product already in the hopper'),
	recommendationId: Id.optional().describe('the adviser’s recommendation it starts from'),
};

/** All of a plan but the recommendation it started from, which stays. */
const { recommendationId: _, ...changeable } = plan;

/** What is still open of a job, as it is to be planned again. */
const rest = {
	id: Id,
	fields: z
		.array(z.strictObject({ fieldId: Id, areaHa: Positive.describe('still to go') }))
		.max(500)
		.default([])
		.describe('of a seed treatment: none, its ground stays as it was said'),
	seed: Positive.optional().describe('seed still to be treated, kg or units, where the job treats seed'),
	date: LocalDate.optional(),
	strategy: Strategy.optional(),
	leftInTankL: NotNegative.optional().describe('mix of this job in the tank, with sump and lines'),
	leftInHopperKg: NotNegative.optional().describe('granules of this job in the hopper'),
	carryFrom: z.int().positive().optional().describe('the load, fill or batch that was broken off; it is over then'),
};

export const JobFieldRow = z.strictObject({
	fieldId: Id,
	name: z.string(),
	areaHa: z.number(),
	mappedHa: z.number().nullable(),
	measuredHa: z.number().nullable(),
	crop: z.string().nullable(),
	treatedHa: z.number().describe('logged so far'),
});

export const LoadLog = z.strictObject({
	id: Id,
	load: z.int(),
	state: z.enum(['complete', 'stopped', 'reversed']),
	startedAt: z.string(),
	finishedAt: z.string(),
	operator: z.string(),
	meteredL: z.number().nullable(),
	confirmed: z.boolean().describe('false: the planned amounts stand, nobody entered actual ones'),
	products: z.array(
		z.strictObject({
			productId: Id,
			amount: z.number(),
			batches: z.array(z.string()).optional().describe('the batches the operator named'),
			notAsNamed: NotAsNamed.optional().describe('what the plan named for it and was not there'),
		}),
	),
	fields: z.array(z.strictObject({ fieldId: Id, areaHa: z.number() })),
	seed: z.number().optional().describe('seed treated, kg or units'),
	spaces: z.array(SpaceTreated).optional().describe('the closed spaces treated'),
	stopped: z
		.strictObject({ why: z.string(), mixLeftL: z.number().nullable(), mix: z.enum(['kept', 'disposed', 'carried on']) })
		.nullable()
		.describe('why the load was broken off, and what became of the mix'),
	margins: MarginsOnField.optional().describe('distances kept, as they were assessed'),
	note: z.string().nullable(),
});
export type LoadLog = z.infer<typeof LoadLog>;

/** Washings within what the sprayer’s own counters say. */
const InReadings = z.strictObject({
	litres: NotNegative.describe('of the litres sprayed'),
	areaHa: NotNegative.describe('of the sprayed area'),
});

export const Job = z.strictObject({
	id: Id,
	name: z.string(),
	state: z.enum(['planned', 'in progress', 'done', 'closed']),
	kind: z.enum(applicationKinds),
	date: LocalDate,
	sprayerId: Id,
	sprayer: z.string(),
	sprayVolumeLPerHa: z.number().describe('0: nothing is sprayed'),
	seed: Seed.nullable(),
	indoors: PlannedIndoors.nullable(),
	storeId: Id.describe('the store its loads draw from'),
	customer: z.string().nullable(),
	reason: z.string().nullable(),
	operator: z.string().nullable(),
	growthStage: z.string().nullable(),
	nozzle: z.string().nullable(),
	pressureBar: z.number().nullable(),
	speedKmh: z.number().nullable(),
	boomHeightM: z.number().nullable(),
	bufferM: z.number().nullable(),
	overrideWhy: z.string().nullable().describe('why it goes on against its warnings'),
	fields: z.array(JobFieldRow),
	products: z.array(
		z.strictObject({
			productId: Id,
			name: z.string(),
			formulation: z.string(),
			unit: Unit,
			dosePerHa: z
				.number()
				.nullable()
				.describe('null: in a closed space, or on seed of which nobody knows yet where it goes'),
			dose: SaidDose.describe('as it was said'),
		}),
	),
	sowings: z.array(Sowing),
	washings: z.array(Washings).describe('put onto ground, those taken back among them'),
	plan: JobPlan,
	logs: z.array(LoadLog),
	closing: z
		.strictObject({
			sprayedHa: z.number().nullable(),
			fields: z.array(z.strictObject({ fieldId: Id, sprayedHa: z.number() })).optional(),
			withOverlap: z.boolean().optional().describe('the counter adds ground the boom covered twice'),
			controllerL: z.number().nullable(),
			leftL: z.number().nullable(),
			ranOutHa: z.number().nullable(),
			washings: InReadings.nullable().describe('that these readings hold'),
			note: z.string().nullable(),
		})
		.nullable(),
	version: z.int(),
});
export type Job = z.infer<typeof Job>;

export const JobRow = z.strictObject({
	id: Id,
	name: z.string(),
	state: Job.shape.state,
	kind: Job.shape.kind,
	date: LocalDate,
	sprayer: z.string(),
	fields: z.array(z.string()).describe('of closed spaces: their names'),
	products: z.array(z.string()),
	areaHa: z.number(),
	loads: z.int(),
	loadsLogged: z.int(),
	nextLoad: z.int().nullable(),
});
export type JobRow = z.infer<typeof JobRow>;

export const jobsContract = {
	preview: query(
		'Plans a job without saving it: loads, stock, limits',
		z.strictObject({
			...plan,
			forJob: Id.optional().describe('the saved job it would change: it does not count twice'),
		}),
		JobPlan,
	),
	add: command(
		'Saves a job with its plan',
		z.strictObject({
			key: Key,
			...plan,
			overrideWhy: Reason.optional().describe('reason for going on against a warning'),
		}),
		z.strictObject({
			id: Id,
			loads: z.array(PlannedLoad),
			strategy: Strategy,
			alternatives: z.array(Alternative),
			warnings: z.array(Warning),
			limits: z.array(LimitFinding),
		}),
	),
	change: command(
		'Changes the plan of a job of which no load is logged; the earlier plan stays in its history',
		z.strictObject({
			key: Key,
			id: Id,
			version: z.int().describe('as it was read: a job that someone else changed since is refused'),
			...changeable,
			overrideWhy: Reason.optional(),
			why: z.string().trim().max(300).optional().describe('why the plan changes'),
			by: z.string().trim().max(100).optional(),
		}),
		Job,
	),
	previewRest: query('Plans what is still open of a job again, without saving it', z.strictObject(rest), JobPlan),
	replan: command(
		'Plans what is still open of a job again: other ground, another day, mix left carried in; logged loads stay',
		z.strictObject({
			key: Key,
			version: z.int(),
			...rest,
			overrideWhy: Reason.optional(),
			why: Text,
			by: z.string().trim().max(100).optional(),
		}),
		Job,
	),
	earlierPlans: query(
		'The plans a job had before, newest first',
		z.strictObject({ id: Id }),
		z.array(
			z.strictObject({
				version: z.int(),
				replacedAt: z.string(),
				by: z.string(),
				why: z.string().nullable(),
				date: LocalDate,
				sprayVolumeLPerHa: z.number(),
				fields: z.array(z.strictObject({ field: z.string(), areaHa: z.number() })),
				products: z.array(z.strictObject({ product: z.string(), unit: Unit, dosePerHa: z.number() })),
				loads: z.array(PlannedLoad),
			}),
		),
	),
	giveReason: command(
		'Keeps with a job why it goes on against its warnings; the records of its loads carry it',
		z.strictObject({ key: Key, id: Id, why: Reason, by: z.string().trim().max(100).optional() }),
		Job,
	),
	list: query('Every job, newest first', Nothing, z.array(JobRow)),
	get: query('One job with its plan and what was logged', z.strictObject({ id: Id }), Job),
	remove: command(
		'Withdraws a job of which nothing was logged',
		z.strictObject({ key: Key, id: Id, why: Text }),
		z.strictObject({ id: Id }),
	),
	card: query('The load card of one load, as data', z.strictObject({ jobId: Id, load: z.int().positive() }), LoadCard),
	findCard: query(
		'The load a card code belongs to',
		z.strictObject({ code: Text }),
		z.strictObject({ jobId: Id, load: z.int() }),
	),
	printCard: query(
		'Writes the load card as a PDF page; left out load: all loads',
		z.strictObject({
			jobId: Id,
			load: z.int().positive().optional(),
			path: z.string().min(1).optional(),
			paper: z.enum(['A4', 'A5']).default('A4'),
		}),
		z.strictObject({ path: z.string(), pages: z.int() }),
	),
	logLoad: command(
		'Logs one load: what went into the tank and onto the ground; draws the store and writes the record lines',
		z.strictObject({
			key: Key,
			jobId: Id,
			load: z.int().positive(),
			startedAt: Instant,
			finishedAt: Instant,
			operator: Text,
			actual: z
				.strictObject({
					products: z
						.array(
							z.strictObject({
								productId: Id,
								amount: NotNegative.optional().describe('left out: as planned, and marked as such'),
								batches: z
									.array(Text)
									.max(10)
									.optional()
									.describe('the batches it was poured from, in their order; left out: the containers the plan named'),
							}),
						)
						.optional(),
					meteredL: NotNegative.optional().describe(
						'water, of a slurry too, or liquid fertiliser where that is the carrier',
					),
					seed: Positive.optional().describe('seed treated, kg or units; left out: as planned'),
					spaces: z.array(SpaceDone).optional().describe('the closed spaces treated; left out: as planned'),
					fields: z
						.array(
							z.strictObject({
								fieldId: Id,
								areaHa: NotNegative,
								startedAt: Instant.optional(),
								finishedAt: Instant.optional(),
								weather: Weather.optional(),
							}),
						)
						.optional(),
				})
				.optional(),
			stopped: z
				.strictObject({
					why: Text,
					mixLeftL: NotNegative.optional(),
					mix: z.enum(['kept', 'disposed']).default('kept'),
				})
				.optional()
				.describe('the load was broken off; the ground covered so far stands in actual.fields'),
			weather: Weather.optional(),
			flowering: InFlower.optional(),
			told: z.string().trim().max(300).optional().describe('neighbours and beekeepers who were told'),
			margins: MarginsOnField.optional().describe('distances kept, margin by margin, as they were assessed before'),
			rinsed: RinseWay.optional().describe('how the containers it emptied were rinsed'),
			note: LongText.optional(),
			allowShort: z.boolean().default(false),
		}),
		z.strictObject({
			recordIds: z.array(Id),
			drawn: z.array(z.strictObject({ productId: Id, amount: z.number() })),
			notAsNamed: z
				.array(NotAsNamed.extend({ productId: Id }))
				.describe('what the plan named and was not there, with what was drawn in its place'),
			logId: Id,
			findings: z.array(LimitFinding),
		}),
	),
	reverseLoad: command(
		'Takes back a wrong log: the store is refilled, the record lines are marked reversed',
		z.strictObject({ key: Key, jobId: Id, load: z.int().positive(), why: Text, by: Text }),
		z.strictObject({
			recordIds: z.array(Id),
			returned: z.array(z.strictObject({ productId: Id, amount: z.number() })),
		}),
	),
	...drawnContract,
	...washingsContract,
	...sowingContract,
	close: command(
		'Ends a job with what the sprayer itself says: sprayed area, litres, mix left',
		z.strictObject({
			key: Key,
			id: Id,
			sprayedHa: Positive.optional().describe('of the whole job; left out: the sum where every field is given'),
			fields: z
				.array(z.strictObject({ fieldId: Id, sprayedHa: Positive }))
				.max(1000)
				.optional()
				.describe('by its counter, field by field'),
			withOverlap: z
				.boolean()
				.optional()
				.describe('the counter adds ground the boom covered twice: kept as machine area'),
			controllerL: NotNegative.optional(),
			leftL: NotNegative.optional().describe('with sump and lines, before it was washed out'),
			ranOutHa: NotNegative.optional(),
			washings: InReadings.optional().describe('washings that counter and controller ran on for'),
			note: LongText.optional(),
			by: z.string().trim().max(100).optional(),
		}),
		Job,
	),
};
