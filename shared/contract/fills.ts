import { z } from 'zod';
import { stepKinds } from '../core/filling/fill-steps.ts';
import { handlingMethods } from '../core/filling/handling.ts';
import { cleanDownTasks, incidentKinds } from '../core/filling/yard-routines.ts';
import { LoadCard } from './jobs-card.ts';
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
import { StoreSaid } from './store-list.ts';

const OfLoad = { jobId: Id, load: z.int().positive() };
const Person = z.string().trim().min(1).max(120);

/** What the fill of a load is computed from, with the times that count today. */
const Given = z.strictObject({
	totalL: z.number(),
	waterL: z.number(),
	carriedInL: z.number(),
	inflowLPerMin: z.number(),
	startL: z.number(),
	containers: z.array(
		z.strictObject({
			product: z.string(),
			size: z.number(),
			unit: Unit,
			volumeL: z.number(),
			method: z.enum(handlingMethods).optional(),
		}),
	),
	handling: z.strictObject({
		preSlurryS: z.number(),
		openAndPourS: z.number(),
		rinsesS: z.array(z.number()),
		drainS: z.number(),
		rinseLPerMin: z.number(),
		rinseFrom: z.enum(['inlet', 'clean tank']),
		waitAfterS: z.union([z.number(), z.record(z.string(), z.number())]),
	}),
	closeReserveL: z.number(),
	valveRunOnL: z.number(),
	leastWaterL: z.number(),
});

export const FillStepRow = z.strictObject({
	id: Id,
	at: z.number().describe('UTC milliseconds'),
	what: z.enum(stepKinds),
	container: z.int().nullable(),
	meteredL: z.number().nullable(),
	undoes: Id.nullable(),
});

export const FillRow = z.strictObject({
	id: Id,
	...OfLoad,
	startedAt: z.string(),
	finishedAt: z.string(),
	meteredL: z.number(),
	runningS: z.number().describe('seconds the inlet was open'),
	stopsS: z.array(z.number()).describe('how long the inlet was shut, each time'),
	containers: z.int(),
	handlingS: z
		.number()
		.nullable()
		.describe('on containers that followed one of the same product; null: it teaches no pace'),
	operator: z.string(),
});
export type FillRow = z.infer<typeof FillRow>;

const Rate = { estimate: z.number(), spread: z.number().describe('standard error'), n: z.int() };
export const Learned = z.strictObject({
	secondsPerContainer: z.strictObject({ ...Rate, operator: z.string().nullable() }),
	inflowLPerMin: z.strictObject(Rate),
	fills: z.int(),
	settings: z.strictObject({ secondsPerContainer: z.number(), inflowLPerMin: z.number() }),
	usedFrom: z.int().describe('fills from which the learned figures are used instead of the settings'),
});
export type Learned = z.infer<typeof Learned>;

const incident = {
	storeId: StoreSaid.describe('the store the product was lost from; left out: that of the job, without one the first'),
	productId: Id.optional().describe('the product that was lost, undiluted'),
	amount: Positive.optional().describe('of that product, in its unit: posted to the store as a spill'),
	mixL: NotNegative.optional().describe('litres of mix or water that went over'),
	wentTo: z.string().trim().max(300).optional(),
	done: z.string().trim().max(600).optional(),
	told: z.string().trim().max(300).optional(),
};

export const Incident = z.strictObject({
	id: Id,
	jobId: Id.nullable(),
	job: z.string().nullable(),
	load: z.int().nullable(),
	kind: z.enum(incidentKinds),
	happenedAt: z.string(),
	productId: Id.nullable(),
	product: z.string().nullable(),
	unit: Unit.nullable(),
	amount: z.number().nullable(),
	mixL: z.number().nullable(),
	wentTo: z.string().nullable(),
	done: z.string().nullable(),
	told: z.string().nullable(),
	withdrawn: z
		.strictObject({ why: z.string(), by: z.string(), at: z.string() })
		.nullable()
		.describe('it never happened, or not so: it counts nowhere'),
	who: z.string(),
	entries: z.int(),
});
export type Incident = z.infer<typeof Incident>;

export const fillsContract = {
	sheet: query(
		'Everything the running fill of one load is worked out from',
		z.strictObject(OfLoad),
		z.strictObject({
			card: LoadCard,
			given: Given.nullable(),
			portions: z
				.array(z.strictObject({ product: z.string(), size: z.number(), unit: Unit }))
				.nullable()
				.describe('of a fill without an inlet: what goes in, one after another'),
		}),
	),
	steps: query(
		'The steps of the fill that is running, and the fill logged last',
		z.strictObject(OfLoad),
		z.strictObject({ steps: z.array(FillStepRow), logged: FillRow.nullable() }),
	),
	step: command(
		'Notes one step of a fill; its key is its id, so that it can be taken back before the answer is there',
		z.strictObject({
			key: Key.max(64),
			...OfLoad,
			at: Instant,
			what: z.enum(stepKinds),
			container: z.int().positive().optional(),
			meteredL: NotNegative.optional(),
			undoes: Id.optional().describe('the step an undo takes back'),
			who: Person.optional(),
		}),
		z.strictObject({ id: Id }),
	),
	log: command(
		'Ends a fill: start, end, stops and containers follow from its steps',
		z.strictObject({
			key: Key,
			...OfLoad,
			meteredL: NotNegative.optional().describe('read off at the end; a fill without an inlet has none'),
			operator: Person,
			at: Instant.optional().describe('when it ended, with the inlet still open; left out: now'),
		}),
		FillRow,
	),
	ofLoad: query('The fill logged for a load, if there is one', z.strictObject(OfLoad), FillRow.nullable()),
	learned: query(
		'How fast water comes in and a container is handled, from the fills logged',
		z.strictObject({ sprayerId: Id, operator: Person.optional() }),
		Learned,
	),
	incident: command(
		'Logs an incident at once; the rest may follow',
		z.strictObject({
			key: Key,
			jobId: Id.optional(),
			load: z.int().positive().optional(),
			kind: z.enum(incidentKinds),
			at: Instant.optional(),
			by: Person,
			...incident,
		}),
		Incident,
	),
	completeIncident: command(
		'Says more about an incident: what, how much, where it went, what was done, who was told',
		z.strictObject({ key: Key, id: Id, by: Person, ...incident }),
		Incident,
	),
	withdrawIncident: command(
		'Withdraws an incident that was entered wrongly, with the reason; product posted as spilled comes back to the shelf',
		z.strictObject({ key: Key, id: Id, why: Text, by: Person }),
		Incident,
	),
	incidents: query(
		'Incidents, newest first',
		z.strictObject({
			jobId: Id.optional(),
			load: z.int().positive().optional(),
			from: LocalDate.optional(),
			to: LocalDate.optional(),
		}),
		z.array(Incident),
	),
	cleanDown: command(
		'Logs the clean-down of the filling place after a fill',
		z.strictObject({
			key: Key,
			...OfLoad,
			tasks: z.array(z.enum(cleanDownTasks)).max(10),
			operator: Person,
			at: Instant.optional(),
		}),
		z.strictObject({ id: Id }),
	),
	rinseOut: command(
		'Logs that a sprayer was rinsed out',
		z.strictObject({
			key: Key,
			sprayerId: Id,
			at: Instant.optional(),
			residualL: Positive.max(1_000_000),
			rinsesL: z.array(Positive.max(1_000_000)).min(1).max(20),
			washings: Text.describe('where the washings went'),
			note: LongText.optional(),
			operator: Person,
		}),
		z.strictObject({ id: Id, factor: z.number() }),
	),
};
