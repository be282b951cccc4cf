import { z } from 'zod';
import { groundContract } from './ground.ts';
import { command, Id, Key, LocalDate, Nothing, NotNegative, Positive, query, Text, Warning } from './procedure.ts';

/** GeoJSON (RFC 7946) Polygon or MultiPolygon, WGS 84 longitude/latitude. */
export const Boundary = z.looseObject({ type: z.enum(['Polygon', 'MultiPolygon']), coordinates: z.array(z.any()) });

export const AreaUnit = z.enum(['ha', 'm2', 'ac', 'acUS', 'ft2', 'ftUS2', 'km2']);
export const AreaBasis = z.enum(['boundary', 'mapped', 'typed', 'sprayed']);

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
	geometry: Boundary.optional().describe('only in a dry run, for the preview map'),
});

export const ImportReport = z.strictObject({
	added: z.array(ImportedField),
	updated: z.array(ImportedField),
	refused: z.array(z.strictObject({ record: z.int(), name: z.string().optional(), reason: z.string() })),
	warnings: z.array(Warning),
	file: z.strictObject({
		name: z.string(),
		layer: z.string(),
		crs: z.string(),
		encoding: z.string().nullable(),
		records: z.int(),
		attributes: z.array(z.strictObject({ name: z.string(), kind: z.string(), samples: z.array(z.string()) })),
		nameAttribute: z.string().nullable(),
		codeAttribute: z.string().nullable(),
		mappedAreaAttribute: z.string().nullable(),
		mappedAreaUnit: AreaUnit.nullable(),
		totalHa: z.number(),
		gridScalePpm: z.number().nullable(),
	}),
});
export type ImportReport = z.infer<typeof ImportReport>;

export const FieldRow = z.strictObject({
	id: Id,
	name: z.string(),
	code: z.string().nullable(),
	measuredHa: z.number().nullable(),
	sigmaHa: z.number().nullable(),
	mappedHa: z.number().nullable(),
	loadForHa: z.number().nullable(),
	loadForBasis: AreaBasis.nullable(),
	perimeterM: z.number().nullable(),
	differenceHa: z.number().nullable(),
	edgeStripM: z.number().nullable(),
	withinTolerance: z.boolean().nullable(),
	crop: z.string().optional(),
	eppoCode: z.string().optional(),
	version: z.int(),
});
export type FieldRow = z.infer<typeof FieldRow>;

export const Strip = z.strictObject({
	id: Id,
	kind: z.enum(['strip', 'obstacle']),
	label: z.string(),
	widthM: z.number().nullable(),
	areaHa: z.number(),
	geometry: Boundary.nullable(),
});

export const FieldDetail = z.strictObject({
	field: FieldRow,
	geometry: Boundary.nullable(),
	mappedSource: z.string().nullable(),
	mappedOn: LocalDate.nullable(),
	loadForWhy: z.string().nullable(),
	strips: z.array(Strip),
	measurements: z.array(
		z.strictObject({
			id: Id,
			kind: z
				.enum(['boundary', 'typed', 'sprayed', 'machine'])
				.describe('machine: reported by a counter that adds overlap'),
			areaHa: z.number(),
			sigmaHa: z.number().nullable(),
			on: LocalDate,
			source: z.string(),
			notCounted: z.string().optional().describe('why a reported area is no evidence of the ground'),
		}),
	),
	sprayed: z
		.strictObject({
			passes: z.int(),
			meanHa: z.number(),
			spreadHa: z.number().nullable().describe('between single passes'),
			sigmaHa: z.number().describe('standard error of the mean'),
			verdict: z.enum(['too few', 'as loaded', 'boundary is better', 'apart', 'propose']),
			say: z.string(),
		})
		.nullable()
		.describe('what the reported areas that count say of the treated ground'),
	crops: z.array(
		z.strictObject({
			season: z.int(),
			crop: z.string(),
			eppoCode: z.string().nullable(),
			variety: z.string().nullable(),
			sownOn: LocalDate.nullable(),
			harvestOn: LocalDate.nullable(),
		}),
	),
	difference: z
		.strictObject({
			differenceHa: z.number(),
			differencePercent: z.number().nullable(),
			edgeStripM: z.number(),
			toleranceHa: z.number(),
			withinTolerance: z.boolean(),
			causes: z.array(z.strictObject({ cause: z.string(), areaHa: z.number() })),
			explainedHa: z.number(),
			unexplainedHa: z.number(),
			say: z.string(),
		})
		.nullable(),
});
export type FieldDetail = z.infer<typeof FieldDetail>;

export const fieldsContract = {
	...groundContract,
	import: command(
		'Brings in field boundaries from a file on this computer: all good records in one transaction, bad ones refused by name',
		z.strictObject({
			key: Key.optional(),
			path: z.string().min(1),
			layer: z.string().optional(),
			nameAttribute: z.string().optional(),
			codeAttribute: z.string().optional(),
			mappedAreaAttribute: z.string().optional(),
			mappedAreaUnit: AreaUnit.optional(),
			crs: z.string().optional().describe('for example EPSG:25831'),
			encoding: z.string().optional(),
			dryRun: z.boolean().optional(),
		}),
		ImportReport,
	),
	list: query('The field register', Nothing, z.array(FieldRow)),
	boundaries: query(
		'Every current boundary, for the map',
		Nothing,
		z.array(z.strictObject({ id: Id, name: z.string(), geometry: Boundary })),
	),
	export: query(
		'Writes the register to a file for other programs',
		z.strictObject({
			format: z.enum(['geojson', 'shapefile', 'csv', 'isoxml']),
			path: z.string().min(1).optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({ path: z.string(), rows: z.int() }),
	),
	get: query(
		'One field with its measurements, strips, crops and the difference explained',
		z.strictObject({ id: Id }),
		FieldDetail,
	),
	add: command(
		'Adds a field by hand',
		z.strictObject({
			key: Key.optional(),
			name: Text,
			code: z.string().trim().max(60).optional(),
			mappedHa: Positive.optional(),
			measuredHa: Positive.optional().describe('a figure typed from the receiver; stands as a typed measurement'),
			geometry: Boundary.optional(),
		}),
		z.strictObject({ id: Id }),
	),
	update: command(
		'Changes name, code or mapped area; what is left out stays',
		z.strictObject({
			key: Key,
			id: Id,
			version: z.int(),
			name: Text.optional(),
			code: z.string().trim().max(60).nullable().optional(),
			mappedHa: Positive.nullable().optional(),
			mappedSource: z.string().trim().max(200).nullable().optional(),
			mappedOn: LocalDate.nullable().optional(),
		}),
		FieldDetail,
	),
	chooseArea: command(
		'Decides which area this field is loaded for, and why',
		z.strictObject({
			key: Key,
			id: Id,
			version: z.int(),
			basis: AreaBasis,
			areaHa: Positive.optional().describe('typed and sprayed: the figure; else it follows from the register'),
			why: Text,
		}),
		FieldDetail,
	),
	addMeasurement: command(
		'Adds a measured figure to the field’s history',
		z.strictObject({
			key: Key,
			id: Id,
			kind: z.enum(['typed', 'sprayed', 'machine']).describe('machine: a counter that adds overlap'),
			areaHa: Positive,
			sigmaHa: NotNegative.optional(),
			on: LocalDate.optional(),
			source: Text,
		}),
		FieldDetail,
	),
	setOverlap: command(
		'Says whether an area the sprayer reported counts ground the boom covered twice',
		z.strictObject({ key: Key, id: Id, measurementId: Id, withOverlap: z.boolean() }),
		FieldDetail,
	),
	addStrip: command(
		'Adds a no-spray strip along chosen edges, or an obstacle by its area',
		z.strictObject({
			key: Key,
			id: Id,
			kind: z.enum(['strip', 'obstacle']),
			label: Text,
			widthM: Positive.max(200).optional(),
			edges: z
				.array(
					z.strictObject({
						part: z.int().nonnegative().optional(),
						ring: z.int().nonnegative(),
						edge: z.int().nonnegative(),
					}),
				)
				.optional(),
			areaHa: Positive.optional(),
		}),
		FieldDetail,
	),
	removeStrip: command(
		'Takes a strip or obstacle off the field',
		z.strictObject({ key: Key, id: Id, stripId: Id, why: Text }),
		FieldDetail,
	),
	setCrop: command(
		'Says what grows in a season',
		z.strictObject({
			key: Key,
			id: Id,
			season: z.int().min(1900).max(2200),
			crop: Text,
			eppoCode: z.string().trim().max(12).optional(),
			variety: z.string().trim().max(100).optional(),
			sownOn: LocalDate.optional(),
			harvestOn: LocalDate.optional(),
		}),
		FieldDetail,
	),
};
