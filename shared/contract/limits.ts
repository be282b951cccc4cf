import { z } from 'zod';
import { fieldLimitPeriods } from '../core/limits/period.ts';
import { nutrients } from '../core/products/nutrient.ts';
import { command, Id, Key, LocalDate, Nothing, NotNegative, Positive, query, Text } from './procedure.ts';
import { CONDITION_LENGTH, NutrientDose } from './products.ts';

export const LimitFinding = z.strictObject({
	fieldId: Id.describe('of a closed space: the space'),
	field: z.string().optional(),
	productId: Id.optional(),
	product: z.string().optional(),
	kind: z.string(),
	verdict: z.enum(['ok', 'block', 'warn', 'ask', 'unknown']),
	limit: z.union([z.number(), z.string()]).nullable(),
	value: z.union([z.number(), z.string()]).nullable(),
	unit: z.string().nullable(),
	records: z.array(z.string()),
	source: z.string(),
	say: z.string(),
});
export type LimitFinding = z.infer<typeof LimitFinding>;

/** How much of a nutrient a field may be given in a period, on any of its ground, over all products. */
const nutrientLimit = {
	nutrient: z.enum(nutrients),
	crop: z.string().trim().min(1).max(40).nullable().describe('while this crop grows, EPPO code or name; null: always'),
	maxKgPerHa: NotNegative.max(10_000),
	per: z.enum(fieldLimitPeriods),
	source: Text.describe('who or what sets it'),
	fromMemory: z.boolean().describe('not looked up: it warns, and stops nothing'),
	warnsOnly: z.boolean().describe('it warns, and stops nothing'),
};

/** A limit of a field with what counts towards it so far. */
export const NutrientLimit = z.strictObject({
	id: Id,
	...nutrientLimit,
	applies: z.boolean().describe('false: it is for another crop than the one that grows'),
	since: LocalDate.nullable().describe('first day that counts'),
	usedKgPerHa: z.number().nullable().describe('where most was put; null: not known, or it does not apply'),
});
export type NutrientLimit = z.infer<typeof NutrientLimit>;

/** What one field was given of the nutrients, and what it may be given. */
export const FieldNutrients = z.strictObject({
	from: LocalDate,
	to: LocalDate,
	given: z.array(
		z.strictObject({
			nutrient: z.enum(nutrients),
			kg: z.number().nullable().describe('on the whole field; null: the content of a product is not known'),
			kgPerHa: z.number().nullable().describe('on the ground that was given most'),
		}),
	),
	planned: z.array(NutrientDose).describe('what open jobs of the season are to bring, where they fall together'),
	limits: z.array(NutrientLimit),
});
export type FieldNutrients = z.infer<typeof FieldNutrients>;

/** A crop, or any, that a label keeps off a field after a treatment. */
export const SowingWait = z.strictObject({
	product: z.string(),
	treatedOn: LocalDate,
	season: z.int().describe('harvest year in which it was treated'),
	crops: z.array(z.string()).describe('names or EPPO codes, as the label has them; empty: any crop'),
	from: LocalDate.nullable().describe('first day they may be sown; null: they may not be the next crop'),
	say: z.string(),
	source: z.string(),
	fromMemory: z.boolean(),
	tooEarly: z
		.strictObject({ crop: z.string(), season: z.int(), sownOn: LocalDate.nullable() })
		.nullable()
		.describe('a crop on the books that comes too early'),
});
export type SowingWait = z.infer<typeof SowingWait>;
/** A condition of the ground that labels name, and whether it holds on a field. */
export const FieldCondition = z.strictObject({
	condition: z.string(),
	holds: z.boolean().nullable().describe('null: not answered'),
	products: z.array(z.string()).describe('whose labels name it; none: no product on the books any more'),
});
export type FieldCondition = z.infer<typeof FieldCondition>;

export const limitsContract = {
	check: query(
		'Holds a job, or doses on fields, against every limit on the treated ground; it informs, the label and local law come first',
		z.union([
			z.strictObject({ jobId: Id }),
			z.strictObject({
				fields: z.array(z.strictObject({ fieldId: Id, areaHa: Positive.optional() })).min(1),
				products: z.array(z.strictObject({ productId: Id, dosePerHa: Positive })).min(1),
				date: LocalDate,
				sprayVolumeLPerHa: Positive.optional(),
				growthStage: z.string().optional(),
			}),
		]),
		z.array(LimitFinding),
	),
	setNutrient: command(
		'Limits a nutrient on some fields; the limit they had for the same nutrient and crop ends',
		z.strictObject({
			key: Key,
			fieldIds: z.array(Id).min(1).max(20_000),
			...nutrientLimit,
			crop: nutrientLimit.crop.default(null),
			per: nutrientLimit.per.default('season'),
			fromMemory: nutrientLimit.fromMemory.default(false),
			warnsOnly: nutrientLimit.warnsOnly.default(false),
		}),
		z.strictObject({ fields: z.int() }),
	),
	endNutrient: command(
		'Takes a nutrient limit off a field; what it said stays in the book of changes',
		z.strictObject({ key: Key, id: Id }),
		Nothing,
	),
	nutrients: query(
		'What a field was given of each nutrient this season, and its limits',
		z.strictObject({ fieldId: Id }),
		FieldNutrients,
	),
	following: query(
		'Which crops a field must wait for, or does without, by the labels of what it was treated with; it informs, the label comes first',
		z.strictObject({ fieldId: Id }),
		z.array(SowingWait),
	),
	conditions: query(
		'What labels ask of the ground of a field, and what was answered',
		z.strictObject({ fieldId: Id }),
		z.array(FieldCondition),
	),
	answerCondition: command(
		'Says for some fields whether a condition that labels name holds there; it is then not asked again',
		z.strictObject({
			key: Key,
			condition: Text.max(CONDITION_LENGTH),
			fields: z
				.array(z.strictObject({ fieldId: Id, holds: z.boolean().nullable().describe('null: not answered any more') }))
				.min(1)
				.max(20_000),
		}),
		z.strictObject({ fields: z.int().describe('whose answer changed') }),
	),
};
