import { z } from 'zod';
import { Id, LocalDate, query, Unit } from './procedure.ts';

const Period = z.strictObject({ from: LocalDate, to: LocalDate });

export const Statement = z.strictObject({
	from: LocalDate,
	to: LocalDate,
	products: z.array(
		z.strictObject({
			productId: Id,
			name: z.string(),
			unit: Unit,
			opening: z.number(),
			delivered: z.number(),
			used: z.number(),
			otherOut: z.number(),
			counted: z.number().describe('sum of count adjustments'),
			closing: z.number(),
			onGround: z.number().describe('dose × treated area over all records'),
			treatedHa: z.number().describe('each pass counts'),
			basicHa: z.number().describe('each hectare once'),
		}),
	),
	actives: z.array(z.strictObject({ substance: z.string(), kg: z.number(), treatedHa: z.number() })),
	fields: z.array(
		z.strictObject({
			fieldId: Id,
			name: z.string(),
			crop: z.string().nullable(),
			mappedHa: z.number().nullable(),
			measuredHa: z.number().nullable(),
			loadForHa: z.number().nullable(),
			treatments: z.int(),
			treatedHa: z.number(),
		}),
	),
	loadsLogged: z.int(),
	recordsIncomplete: z.int(),
});
export type Statement = z.infer<typeof Statement>;

export const reportNames = [
	'today',
	'spray diary',
	'diary by field',
	'job sheet',
	'limit review',
	'limits used',
	'nutrients by field',
	'product totals',
	'active substance totals',
	'treatment frequency index',
	'stock statement',
	'stock counts',
	'container statement',
	'area statement',
	'operator log',
	'sprayer log',
	'cleaning log',
	'incident log',
	'recommendations',
	'US application list',
] as const;
export type ReportName = (typeof reportNames)[number];

export const ReportColumn = z.strictObject({
	key: z.string(),
	name: z.string(),
	kind: z.enum(['text', 'number', 'date', 'time']),
	unit: z.string().optional(),
	unitFrom: z.string().optional().describe('column that holds the unit of each row'),
	digits: z.int().optional().describe('decimals for the eye; the figures themselves are not rounded'),
	usual: z.string().optional().describe('goes without saying on paper'),
	once: z
		.boolean()
		.optional()
		.describe('on paper it is written once for rows one after the other that agree in all such columns'),
	plain: z.boolean().optional().describe('as many decimals as the figure needs, no more than `digits`'),
	bar: z.boolean().optional().describe('a share of 100, drawn as a bar beside its figure'),
	under: z.string().optional().describe('on paper it stands under this column'),
	wide: z.boolean().optional().describe('below its row, in a line of its own from that column on'),
	bare: z.boolean().optional().describe('under it, it stands without its name, which the head gives'),
});
export type ReportColumn = z.infer<typeof ReportColumn>;

export type ReportRow = Readonly<Record<string, string | number | null>>;
/** Looked at cell by cell in one go: a season of a large farm has millions of them. */
const Row = z
	.custom<ReportRow>(
		(row) =>
			typeof row === 'object' &&
			row !== null &&
			Object.values(row).every((cell) => cell === null || typeof cell === 'string' || Number.isFinite(cell)),
		'a row of texts, numbers and gaps',
	)
	.meta({ type: 'object', additionalProperties: { type: ['string', 'number', 'null'] } });

/** A season report: one table with what proves where it comes from. */
export const Report = z.strictObject({
	report: z.enum(reportNames),
	title: z.string(),
	farm: z.string(),
	from: LocalDate,
	to: LocalDate,
	madeAt: z.string(),
	heads: z
		.array(z.strictObject({ chain: z.string(), seq: z.int(), hash: z.string() }))
		.describe('newest entry of each chain when the report was made: a printed report can be held against the books'),
	columns: z.array(ReportColumn),
	rows: z.array(Row),
	totals: Row.nullable(),
	notes: z.array(z.string()),
});
export type Report = z.infer<typeof Report>;

/** People read the units of their farm; a program reads metric ones unless it asks. */
const units = z
	.enum(['metric', 'of the farm'])
	.optional()
	.describe('of the farm: as its settings say, on screen and paper; the columns name them. Left out: metric in JSON');
export type ReportUnits = NonNullable<z.infer<typeof units>>;

const ofJob = Id.optional().describe('this job alone, whenever it was done');
const ofCustomer = z.string().trim().min(1).max(120).optional().describe('jobs for this customer alone');
const jobId = ofJob.describe('job sheet: this job alone, whenever it was done');
const customer = ofCustomer.describe('job sheet: jobs for this customer alone');

export const seasonContract = {
	statement: query('The season in figures: store, ground, active substances, fields', Period, Statement),
	read: query(
		'A season report as rows, as it is shown and written',
		z.strictObject({ report: z.string(), from: LocalDate, to: LocalDate, jobId, customer, units }),
		Report,
	),
	report: query(
		'Writes a season report to a file',
		z.strictObject({
			report: z.string(),
			format: z.enum(['json', 'csv', 'xlsx', 'pdf']),
			from: LocalDate,
			to: LocalDate,
			jobId,
			customer,
			units,
			path: z.string().min(1).optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({ path: z.string(), rows: z.int() }),
	),
	recordFile: query(
		'Writes the spray records of a period to the machine-readable file of the EU rule: JSON by its own schema',
		z.strictObject({
			from: LocalDate,
			to: LocalDate,
			jobId: ofJob,
			customer: ofCustomer,
			path: z.string().min(1).optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({
			path: z.string(),
			records: z.int(),
			incomplete: z.int().describe('lack something the EU rule asks for'),
			late: z.int().describe('first written later than it asks for'),
			unplaced: z.int().describe('have neither a code nor a position of their field'),
		}),
	),
};
