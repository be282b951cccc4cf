import { z } from 'zod';
import { applicationKinds } from '../core/loads/application-kind.ts';
import { spaceKinds, spaceUnits } from '../core/loads/closed-space.ts';
import { useTypes } from '../core/records/rule-sets.ts';
import { AssessedMargins, MarginEntered, MarginsOnField } from './jobs-margins.ts';
import { SaidDose } from './jobs-plan.ts';
import { command, Id, Key, LocalDate, LongText, Nothing, pure, query, Text, Unit } from './procedure.ts';
import { NutrientDose } from './products.ts';
import { InFlower, Weather } from './weather.ts';

export const RecordLine = z.strictObject({
	id: Id,
	date: LocalDate,
	fieldId: Id.nullable().describe('null: seed or a closed space was treated, which is no ground'),
	field: z.string().describe('of treated seed: its lot; of a closed space: its name'),
	treatedHa: z.number().describe('ground treated anew: of washings over sprayed ground 0'),
	kind: z.enum(applicationKinds),
	carrier: z.string().nullable().describe('liquid fertiliser it was sprayed in'),
	seed: z
		.strictObject({
			amount: z.number(),
			unit: z.enum(['kg', 'unit']),
			lot: z.string().nullable(),
			dose: z.number(),
			waterL: z.number().optional().describe('water that went on with the products'),
		})
		.nullable()
		.describe('seed treated, with the dose to 100 kg or to one unit'),
	space: z
		.strictObject({
			spaceId: Id,
			kind: z.enum(spaceKinds),
			code: z.string().nullable(),
			place: z.string().nullable(),
			point: z.strictObject({ latitude: z.number(), longitude: z.number() }).nullable(),
			volumeM3: z.number().nullable().describe('of the whole space, as the books had it then'),
			floorM2: z.number().nullable(),
			amount: z.number(),
			unit: z.enum(spaceUnits),
			dose: SaidDose,
			empty: z.boolean().describe('nothing was stored or grown in it'),
		})
		.nullable()
		.describe('the closed space that was treated'),
	washings: z
		.strictObject({
			id: Id,
			areaHa: z.number().describe('where they lie'),
			litres: z.number().describe('sprayed out there, water and mix'),
			over: z.enum(['sprayed ground', 'unsprayed ground']),
		})
		.nullable()
		.describe('washings of the sprayer, put onto ground'),
	productId: Id,
	product: z.string(),
	formulation: z.string(),
	authorisationNo: z.string().nullable(),
	dosePerHa: z.number().nullable(),
	nutrients: z.array(NutrientDose).describe('by the content of the product as it is on the books now'),
	amount: z.number(),
	stayedInTank: z
		.number()
		.optional()
		.describe('of the amount, what stayed in sump and lines: the dose is without it; left out: nothing'),
	unit: Unit,
	crop: z.string().nullable(),
	eppoCode: z.string().nullable(),
	useType: z.enum(useTypes),
	growthStage: z.string().nullable(),
	reason: z.string().nullable(),
	startedAt: z.string(),
	finishedAt: z.string(),
	operator: z.string(),
	certificateNo: z.string().nullable(),
	sprayer: z.string(),
	sprayVolumeLPerHa: z.number().nullable().describe('null: nothing was sprayed'),
	weather: Weather.nullable(),
	bufferM: z.number().nullable(),
	assessed: AssessedMargins.nullable().describe('distances kept, margin by margin; null: none was assessed'),
	flowering: z.string().nullable().describe('what was in flower; “nothing” where nothing was'),
	told: z.string().nullable().describe('neighbours and beekeepers who were told'),
	noEntryUntil: z.string().nullable().describe('by the re-entry time of the product as it stood when it was logged'),
	harvestFrom: LocalDate.nullable().describe('by its harvest interval as it stood then'),
	jobId: Id,
	load: z.int(),
	version: z.int(),
	state: z.enum(['current', 'reversed']),
	confirmed: z.boolean().describe('false: amounts taken from the plan, not entered'),
	overrideWhy: z.string().nullable().describe('why the job went on against its warnings'),
	findings: z.array(z.string()).describe('limits that were not kept, as they stood when it was logged'),
	why: z.string().nullable().describe('why this version was written'),
	by: z.string(),
	writtenAt: z.string(),
	createdAt: z.string().describe('when its first version was written'),
	missing: z.array(z.string()),
	writeBy: LocalDate.nullable().describe('the rule set wants it in its final form by then'),
	keepUntil: LocalDate.describe('by the rule set: 31 December of so many years after the use'),
	seq: z.int(),
	hash: z.string(),
	onGround: z
		.strictObject({ leastHa: z.number(), mostHa: z.number() })
		.optional()
		.describe('asked for the ground of a field: how much of what was treated under an earlier name lies on it'),
});
export type RecordLine = z.infer<typeof RecordLine>;

export const RuleSet = z.strictObject({
	id: z.string(),
	name: z.string(),
	asOf: LocalDate,
	keepYears: z.int(),
	writeWithin: z
		.strictObject({ days: z.int(), source: z.string(), fromMemory: z.boolean() })
		.nullable()
		.describe('days from the use for the record to be in its final form'),
	items: z.array(
		z.strictObject({
			item: z.string(),
			required: z.boolean(),
			when: z.string().nullable().describe('required where the limits of the product confine this'),
			source: z.string(),
			fromMemory: z.boolean(),
		}),
	),
});

export type RuleSet = z.infer<typeof RuleSet>;

/** What only a person knows about a treatment, asked once per job. */
const known = {
	growthStage: z.string().trim().max(20).optional(),
	reason: z.string().trim().max(300).optional(),
	certificateNo: z.string().trim().max(60).optional(),
	operator: z.string().trim().max(120).optional(),
	weather: Weather.optional(),
	bufferM: z.number().nonnegative().optional(),
	flowering: InFlower.optional(),
	told: z.string().trim().max(300).optional(),
	crop: z.string().trim().max(100).optional(),
	eppoCode: z.string().trim().max(12).optional(),
};

export const recordsContract = {
	list: query(
		'Spray records, newest first: the current version of each',
		z.strictObject({
			from: LocalDate.optional(),
			to: LocalDate.optional(),
			fieldId: Id.optional(),
			ground: z.boolean().optional().describe('with a field: also what was put on its ground under earlier names'),
			jobId: Id.optional(),
			entry: z.int().positive().optional().describe('the number of any version of the record, as it stands on paper'),
			reversed: z.boolean().default(false).describe('also those taken back'),
		}),
		z.array(RecordLine),
	),
	versions: query('Every version of one record, oldest first', z.strictObject({ id: Id }), z.array(RecordLine)),
	complete: command(
		'Adds what the records of a job still lack, authorisation numbers from the products; each gets a new version',
		z.strictObject({
			key: Key,
			jobId: Id,
			by: Text,
			...known,
			margins: MarginsOnField.optional(),
			eppoCodes: z
				.array(z.strictObject({ crop: Text, eppoCode: z.string().trim().min(1).max(12) }))
				.max(200)
				.default([])
				.describe('the code of each crop, where the records of the job name several'),
		}),
		z.strictObject({ recordIds: z.array(Id) }),
	),
	correct: command(
		'Corrects one record by a new version; the old one stays',
		z.strictObject({
			key: Key,
			id: Id,
			version: z.int(),
			why: LongText.min(1),
			by: Text,
			...known,
			margins: z.array(MarginEntered).max(200).optional().describe('in place of those that stand there'),
			authorisationNo: z.string().trim().max(60).optional(),
		}),
		RecordLine,
	),
	ruleSets: pure('The record rules the program knows, by place', Nothing, z.array(RuleSet)),
	verify: query(
		'Proves that no record, ledger line or audit line was altered, removed or inserted',
		z.strictObject({
			head: z.string().optional().describe('a head printed earlier, 16 digits at least: must still be in a chain'),
		}),
		z.strictObject({
			ok: z.boolean(),
			entries: z.int(),
			head: z.string(),
			firstBad: z.strictObject({ chain: z.string(), seq: z.int(), why: z.string() }).optional(),
			found: z
				.strictObject({ chain: z.string(), seq: z.int() })
				.optional()
				.describe('the entry the given head belongs to'),
			chains: z.array(z.strictObject({ chain: z.string(), entries: z.int(), head: z.string() })),
		}),
	),
};
