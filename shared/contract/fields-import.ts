import { z } from 'zod';
import { Boundary } from './ground.ts';
import { Id, Key, Warning } from './procedure.ts';

export const AreaUnit = z.enum(['ha', 'm2', 'ac', 'acUS', 'ft2', 'ftUS2', 'km2']);

export const ImportedField = z.strictObject({
	id: Id,
	record: z.int(),
	name: z.string(),
	code: z.string().nullable(),
	measuredHa: z.number(),
	mappedHa: z.number().nullable(),
	perimeterM: z.number(),
	vertexCount: z.int(),
	measuredBeforeHa: z.number().optional().describe('updated fields: the measurement it replaces'),
	matchedBy: z.enum(['code', 'name', 'overlap']).optional(),
	nameBefore: z
		.string()
		.optional()
		.describe('updated fields: the name it is known by until now, where the file has another'),
	sameBoundary: z
		.boolean()
		.optional()
		.describe('updated fields: true where the boundary is the one in force, point by point, and is not kept again'),
	crop: z.string().optional(),
	eppoCode: z.string().optional().describe('of the crop'),
	variety: z.string().optional(),
	geometry: Boundary.optional().describe('only in a dry run, for the preview map'),
	geometryBefore: Boundary.optional().describe('updated fields, only in a dry run: the boundary it replaces'),
});

/** outline: the ring itself put right; cut away: the ground shared with others taken off; leave out: drop the record. */
export const ImportRepair = z.enum(['outline', 'cut away', 'leave out']);

/** Where the fields of a file would lie, read one way. */
const Reading = z.strictObject({
	lon: z.number().nullable().describe('of the middle; null: no place on earth'),
	lat: z.number().nullable(),
	fields: z.int().describe('records that could be measured'),
	totalHa: z.number(),
	kmFromFarm: z.number().optional().describe('from the middle of the farm’s fields'),
});

export const ImportReport = z.strictObject({
	added: z.array(ImportedField),
	updated: z.array(ImportedField),
	refused: z.array(z.strictObject({ record: z.int(), name: z.string().optional(), reason: z.string() })),
	warnings: z.array(Warning),
	repairs: z
		.array(
			z.strictObject({
				record: z.int(),
				name: z.string(),
				repair: ImportRepair,
				did: z.string().describe('what it does, in words'),
				chosen: z.boolean(),
				beforeM2: z.number().nullable().describe('null: it could not be measured'),
				afterM2: z.number(),
				geometry: Boundary.optional().describe('only in a dry run: the boundary with the repair'),
			}),
		)
		.describe('what can safely be put right; done where chosen'),
	exchange: z
		.strictObject({
			chosen: z.boolean(),
			axes: z.enum(['longitude and latitude', 'easting and northing']),
			why: z.string(),
			asInFile: Reading,
			exchanged: Reading,
		})
		.nullable()
		.describe(
			'the coordinates of the whole file in the other order, where that can have been meant; done where chosen',
		),
	left: z
		.array(z.strictObject({ record: z.int(), name: z.string(), why: z.string() }))
		.describe('trouble that no repair is offered for, and why'),
	far: z
		.array(
			z.strictObject({
				record: z.int(),
				name: z.string(),
				by: z.enum(['code', 'name']),
				field: z.string(),
				km: z.number(),
				taken: z.boolean(),
			}),
		)
		.describe('records with the code or name of a field far away; taken for it only where said so'),
	file: z.strictObject({
		name: z.string(),
		layer: z.string(),
		crs: z.string(),
		encoding: z.string().nullable(),
		letters: z
			.array(z.strictObject({ encoding: z.string(), samples: z.array(z.string()) }))
			.describe('how the letters read in each possible encoding, where only the bytes speak for one'),
		centre: z.tuple([z.number(), z.number()]).nullable().describe('longitude and latitude of the middle'),
		records: z.int(),
		attributes: z.array(z.strictObject({ name: z.string(), kind: z.string(), samples: z.array(z.string()) })),
		nameAttribute: z.string().nullable(),
		codeAttribute: z.string().nullable(),
		mappedAreaAttribute: z.string().nullable(),
		mappedAreaUnit: AreaUnit.nullable(),
		cropAttribute: z.string().nullable(),
		cropCodeAttribute: z.string().nullable(),
		varietyAttribute: z.string().nullable(),
		season: z.int().describe('the harvest year the crops are entered for'),
		totalHa: z.number(),
		gridScalePpm: z.number().nullable(),
	}),
});
export type ImportReport = z.infer<typeof ImportReport>;

export const ImportInput = z.strictObject({
	key: Key.optional(),
	path: z.string().min(1),
	layer: z.string().optional(),
	nameAttribute: z.string().nullable().optional().describe('null: none; left out: guessed, as for the others'),
	codeAttribute: z.string().nullable().optional(),
	mappedAreaAttribute: z.string().nullable().optional(),
	mappedAreaUnit: AreaUnit.optional(),
	cropAttribute: z.string().nullable().optional(),
	cropCodeAttribute: z.string().nullable().optional().describe('the column with the EPPO codes of the crops'),
	varietyAttribute: z.string().nullable().optional(),
	season: z.int().min(1900).max(2200).optional().describe('of the crops; left out: this season'),
	repairs: z
		.array(z.strictObject({ record: z.int(), repair: ImportRepair }))
		.max(20_000)
		.optional()
		.describe('of those a dry run offers; left out: none'),
	exchangeCoordinates: z
		.boolean()
		.optional()
		.describe('true: they stand in the file in the wrong order, latitude before longitude or northing before easting'),
	sameThoughFar: z
		.array(z.int())
		.max(20_000)
		.optional()
		.describe('records to take for the field of their code or name though it lies far away'),
	crs: z
		.string()
		.optional()
		.describe('for example EPSG:25831; `ask`: refuses with the choices, whatever the file says'),
	encoding: z.string().optional(),
	dryRun: z.boolean().optional(),
});
export type ImportInput = z.output<typeof ImportInput>;
