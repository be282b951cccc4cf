import { z } from 'zod';
import { doseClasses, watersThere, waterWidths } from '../core/limits/margin-kept.ts';
import { spaceDoseUnits, spaceKinds, spaceUnits } from '../core/loads/closed-space.ts';
import { useTypes } from '../core/records/rule-sets.ts';
import { LocalDate } from './procedure.ts';

/** Names the form of the file; a change that readers would notice gets the next number. */
export const RECORD_FILE_ID = 'urn:fillmark:spray-records:6';

const Moment = z.iso.datetime({ offset: true });
const Measured = (...units: readonly [string, ...string[]]) =>
	z.strictObject({ value: z.number().nonnegative(), unit: z.enum(units) });

/** Distances to water as a person assessed them, beside what the label said then. */
const DistancesToWater = z.strictObject({
	labelDistance: Measured('m').nullable().describe('the label asks to keep from water; null: it asks for none'),
	labelAllowsReduction: z.boolean().nullable().describe('by an assessment; null: not known'),
	doseClass: z
		.enum(doseClasses)
		.nullable()
		.describe('of the dose, by its share of the largest single dose of the label; null: not known'),
	largestLabelDose: Measured('L/ha', 'kg/ha').nullable(),
	margins: z.array(
		z.strictObject({
			margin: z.string().describe('which side or which water, in words'),
			water: z.enum(watersThere).nullable().describe('when it was treated; none: no water at this margin'),
			waterWidth: z.enum(waterWidths).nullable().describe('at its narrowest beside the treated ground'),
			driftReduction: Measured('%').nullable().describe('of the nozzles, at least'),
			pressure: z
				.strictObject({
					from: z.number().nonnegative().nullable(),
					to: z.number().nonnegative(),
					unit: z.literal('bar'),
				})
				.nullable()
				.describe('at the nozzles'),
			driftReducedWithin30Metres: z
				.boolean()
				.nullable()
				.describe('drift-reducing equipment used within 30 m of the top of the bank; null: not said'),
			keptDistance: Measured('m').nullable().describe('left unsprayed, at water from the top of the bank'),
			assessedBy: z.string(),
		}),
	),
});
export type DistancesToWater = z.infer<typeof DistancesToWater>;

const FiledRecord = z.strictObject({
	id: z.string().describe('stays the same through all corrections'),
	entry: z.int().describe('number of this version in the hash chain of the records'),
	version: z.int().min(1),
	useType: z.enum(useTypes).describe('type of use, Implementing Regulation (EU) 2023/564, Annex'),
	product: z.strictObject({
		name: z.string(),
		authorisationNumber: z.string().nullable(),
		formulation: z.string().describe('international formulation code'),
	}),
	date: LocalDate.describe('day of use, local'),
	start: Moment.describe('start of use, local time with its offset from UTC'),
	end: Moment,
	dose: Measured('L/ha', 'kg/ha', 'L/100 kg', 'kg/100 kg', 'L/unit', 'kg/unit', ...spaceDoseUnits).describe(
		'product on the treated ground, on the treated seed, or in the closed space',
	),
	amount: Measured('L', 'kg'),
	treatedArea: Measured('ha')
		.nullable()
		.describe('null for seed and closed spaces; of washings the ground they lie on'),
	treatedSeed: z
		.strictObject({
			value: z.number().nonnegative(),
			unit: z.enum(['kg', 'unit']),
			lot: z.string().nullable(),
			water: Measured('L').nullable().describe('water that went on with the products'),
		})
		.nullable()
		.describe('null where no seed was treated'),
	treatedSpace: z
		.strictObject({
			value: z.number().nonnegative(),
			unit: z.enum(spaceUnits).describe('air space, surface, or the crop stored in it'),
			kind: z.enum(spaceKinds),
			volume: Measured('m³').nullable().describe('of the whole space, where the books had it'),
			floor: Measured('m²').nullable(),
		})
		.nullable()
		.describe('null where no closed space was treated'),
	location: z.strictObject({
		field: z.string().describe('of treated seed: its lot; of a closed space: its name'),
		code: z.string().nullable().describe('of the land unit or the facility in the register, as the holder keeps it'),
		address: z.string().nullable().describe('where a closed space stands'),
		point: z
			.strictObject({ latitude: z.number().min(-90).max(90), longitude: z.number().min(-180).max(180) })
			.nullable()
			.describe(
				'a place inside the boundary of the field, or the closed space, WGS 84 degrees; null where none is known',
			),
	}),
	crop: z.strictObject({ name: z.string().nullable(), eppoCode: z.string().nullable() }),
	growthStage: z
		.strictObject({ scale: z.literal('BBCH'), code: z.string().regex(/^\d{1,3}$/) })
		.nullable()
		.describe('null where none was entered as a number of the scale'),
	sprayVolume: Measured('L/ha').nullable().describe('null where nothing was sprayed'),
	carrier: z.string().nullable().describe('liquid fertiliser in place of water'),
	washings: z
		.strictObject({ over: z.enum(['sprayed ground', 'unsprayed ground']), sprayed: Measured('L') })
		.nullable()
		.describe('washings of the sprayer: over sprayed ground they are no treatment more, their dose adds to it'),
	distancesToWater: DistancesToWater.optional().describe('left out: none was assessed'),
	reason: z.string().nullable(),
	operator: z.string(),
	certificateNumber: z.string().nullable(),
	createdAt: Moment.describe('when the record was first written'),
	convertedAt: Moment.describe('since when it is in this electronic form; records are electronic from the first'),
	changedAt: Moment.describe('when this version was written'),
	writeBy: LocalDate.nullable().describe('day by which it had to be in electronic form'),
	keepUntil: LocalDate,
	missing: z.array(z.string()).describe('items the rule set asks for that the record lacks'),
});
export type FiledRecord = z.infer<typeof FiledRecord>;

/** The machine-readable record file: every record that stands in a period, in its newest version. */
export const RecordFile = z.strictObject({
	$schema: z.literal(RECORD_FILE_ID),
	farm: z.string(),
	from: LocalDate,
	to: LocalDate,
	madeAt: Moment,
	ruleSet: z.strictObject({ id: z.string(), name: z.string(), asOf: LocalDate }),
	chainHead: z
		.strictObject({ entry: z.int(), hash: z.string().regex(/^[0-9a-f]{64}$/) })
		.describe('newest entry of the records when the file was made'),
	records: z.array(FiledRecord),
});
export type RecordFile = z.infer<typeof RecordFile>;

/** The JSON Schema of the file, as it is kept in `electron/files/spray-records.schema.json`. */
export function recordFileSchema(): object {
	const { $schema, ...schema } = z.toJSONSchema(RecordFile, {
		target: 'draft-2020-12',
		// The format says the same in one word.
		override: ({ jsonSchema }) => void (jsonSchema.format && delete jsonSchema.pattern),
	});
	return { $schema, $id: RECORD_FILE_ID, title: 'Spray records', ...schema };
}
