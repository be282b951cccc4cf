import { z } from 'zod';
import { labelKinds } from '../core/limits/limit.ts';
import { marginKinds } from '../core/limits/margin-kept.ts';
import { spaceDoseUnits } from '../core/loads/closed-space.ts';
import { nutrients, nutrientUnits } from '../core/products/nutrient.ts';
import {
	changeOf,
	command,
	Id,
	Key,
	LocalDate,
	LongText,
	Nothing,
	NotNegative,
	Positive,
	pure,
	query,
	Text,
	Unit,
} from './procedure.ts';

export const Active = z.strictObject({
	substance: Text,
	content: Positive,
	contentUnit: z.enum(['g/L', 'g/kg', '%']),
	modeOfAction: z.string().max(20).optional().describe('mode-of-action group, for example FRAC 3 or HRAC 9'),
});

/** What a fertiliser label declares of one nutrient. */
export const NutrientContent = z.strictObject({
	nutrient: z.enum(nutrients),
	content: NotNegative.max(2000).describe('0: the label says there is none'),
	contentUnit: z.enum(nutrientUnits),
});

/** A nutrient in a dose. */
export const NutrientDose = z.strictObject({
	nutrient: z.enum(nutrients),
	kgPerHa: z
		.number()
		.nullable()
		.describe('null: the content of a product, or its relative density, is not on the books'),
});
export type NutrientDose = z.infer<typeof NutrientDose>;

/** The longest words a label has for a condition of the ground. */
export const CONDITION_LENGTH = 120;

/** A label limit as the label prints it. Which members count depends on the kind; see the core's limits check. */
export const LabelLimit = z.strictObject({
	kind: z.enum(labelKinds),
	crop: z.string().max(40).optional().describe('EPPO code or crop name; left out = every crop'),
	crops: z
		.array(z.string().max(40))
		.optional()
		.describe('kind crop: the crops allowed; kind followingCrop: those that are to follow, left out = any'),
	min: z.number().optional(),
	max: z.number().optional(),
	per: z.enum(['crop', 'season', '12 months', 'calendar year', 'years']).optional(),
	years: z.int().positive().optional(),
	substance: z.string().max(100).optional(),
	group: z.string().max(20).optional(),
	partner: z.string().max(200).optional(),
	condition: z
		.string()
		.trim()
		.min(1)
		.max(CONDITION_LENGTH)
		.optional()
		.describe('kind site: of the ground, in the words of the label'),
	margin: z.enum(marginKinds).optional().describe('kind buffer: what the distance protects; left out: water'),
	reducible: z
		.boolean()
		.optional()
		.describe('kind buffer: whether an assessment on the spot may make it less; left out: not looked up'),
	doseUnit: z.enum(spaceDoseUnits).optional().describe('a single dose in closed spaces: what min and max are given in'),
	from: LocalDate.optional(),
	to: LocalDate.optional(),
	source: z.string().max(300).default('label'),
	fromMemory: z.boolean().default(false),
});

/** How the packs of one size are closed. */
export const Closure = z.strictObject({
	size: Positive,
	foil: z.boolean().default(false).describe('a foil under the cap'),
	capMm: Positive.max(200).optional().describe('diameter of the neck, mm'),
	closedTransfer: z.boolean().default(false).describe('the neck takes the coupling of a closed transfer system'),
});

/** A full dose as it is published for one crop, or, without a crop, for all others. */
export const ReferenceDose = z.strictObject({
	crop: z.string().trim().max(40).optional().describe('EPPO code or crop name'),
	dosePerHa: Positive,
	source: z.string().trim().max(300).default('entered'),
});

const productFields = {
	name: Text,
	formulation: z
		.string()
		.trim()
		.min(1)
		.max(12)
		.transform((code) => code.toUpperCase()),
	unit: Unit,
	packSizes: z.array(Positive).min(1).max(20),
	relativeDensity: Positive.max(25).nullish(),
	displacementLPerKg: Positive.max(25).nullish(),
	coding: z.enum(['international', 'north american']).optional(),
	kind: z
		.enum([
			'plant protection product',
			'water conditioner',
			'antifoam',
			'compatibility agent',
			'drift retardant',
			'oil adjuvant',
			'surfactant',
			'liquid fertiliser',
			'micronutrient',
		])
		.default('plant protection product'),
	waterSolubleBag: z.boolean().default(false),
	closedTransfer: z.boolean().default(false),
	closures: z.array(Closure).max(20).default([]).describe('by pack size; a size left out was not looked at'),
	authorisationNo: z.string().trim().max(60).optional(),
	authorisationEnds: LocalDate.optional(),
	saleEnds: LocalDate.optional().describe('sold until then'),
	useUpBy: LocalDate.optional(),
	holder: z.string().trim().max(120).optional(),
	referenceDoses: z
		.array(ReferenceDose)
		.max(50)
		.default([])
		.describe('for the treatment frequency index; where none fits, the label’s largest single dose'),
	actives: z.array(Active).max(12).default([]),
	nutrients: z
		.array(NutrientContent)
		.max(nutrients.length)
		.default([])
		.describe('left empty: of a liquid fertiliser not known, of anything else none'),
	limits: z.array(LabelLimit).max(200).default([]),
	after: z.array(Text).max(12).default([]).describe('label: goes in after these products'),
	before: z.array(Text).max(12).default([]).describe('label: goes in before these products'),
	hazards: z.array(z.string().trim().max(24)).max(30).default([]).describe('hazard statement codes, for example H411'),
	protection: LongText.optional().describe('protective equipment the label asks for'),
	cautions: LongText.optional().describe('label cautions and mixing instruction'),
	storage: LongText.optional(),
	place: z.string().trim().max(60).optional().describe('where it stands in the store'),
};

export const ProductInput = z.strictObject(productFields);
export const Product = z.strictObject({ id: Id, ...productFields, version: z.int() });
export type Product = z.infer<typeof Product>;
export type LabelLimit = z.infer<typeof LabelLimit>;

export const FormulationRow = z.strictObject({
	code: z.string(),
	name: z.string(),
	state: z.enum(['liquid', 'solid', 'either']),
	tank: z.string(),
	ambiguous: z.boolean(),
});

export const productsContract = {
	add: command(
		'Puts a product on the books',
		z.strictObject({ key: Key.optional(), ...productFields }),
		z.strictObject({ id: Id }),
	),
	update: command(
		'Changes a product; what is left out stays',
		z.strictObject({ key: Key, id: Id, version: z.int(), ...changeOf(productFields) }),
		Product,
	),
	list: query('Every product on the books, by name', Nothing, z.array(Product)),
	exportList: query(
		'Writes the product list as a table, or an empty one to fill in',
		z.strictObject({
			format: z.enum(['csv', 'xlsx']),
			template: z.boolean().default(false),
			path: z.string().min(1).optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({ path: z.string(), rows: z.int() }),
	),
	importList: command(
		'Brings in a product list from CSV or XLSX; bad rows are refused by number and column',
		z.strictObject({ key: Key.optional(), path: z.string().min(1), dryRun: z.boolean().default(false) }),
		z.strictObject({
			added: z.array(z.string()),
			changed: z.array(z.string()),
			same: z.int(),
			refused: z.array(z.strictObject({ row: z.int(), name: z.string(), column: z.string(), reason: z.string() })),
		}),
	),
	formulations: pure('The formulation codes the program knows', Nothing, z.array(FormulationRow)),
};
