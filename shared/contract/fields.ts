import { z } from 'zod';
import { ImportInput, ImportReport } from './fields-import.ts';
import { Boundary, groundContract } from './ground.ts';
import {
	command,
	Id,
	Key,
	LocalDate,
	Nothing,
	NotNegative,
	Positive,
	pure,
	query,
	Text,
	Warning,
} from './procedure.ts';

export const AreaBasis = z.enum(['boundary', 'mapped', 'typed', 'sprayed']);

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
	look: z.string().optional().describe('why it is to be looked at: the boundary was drawn anew since'),
});

const Edges = z.array(
	z.strictObject({
		part: z.int().nonnegative().optional(),
		ring: z.int().nonnegative(),
		edge: z.int().nonnegative(),
	}),
);
/** Strips and obstacles that lie on a field already. */
const Without = z.array(Boundary).max(500).default([]);
const Ground = z.strictObject({ areaHa: z.number(), geometry: Boundary.nullable() });

/** A field that ground came from or went to. */
/** Fields of the season before: crop entered, left without one, entered already. */
const rolled = { entered: z.int(), leftEmpty: z.int(), kept: z.int() };
const Relative = z.strictObject({
	id: Id,
	name: z.string(),
	kind: z.enum(['split', 'merge']),
	on: LocalDate,
	sharedHa: z.number().describe('the ground both have'),
});

const NewGround = z.strictObject({
	fields: z.array(z.strictObject({ id: Id, name: z.string(), measuredHa: z.number() })),
	warnings: z.array(Warning),
});

export const FieldDetail = z.strictObject({
	field: FieldRow,
	geometry: Boundary.nullable(),
	mappedSource: z.string().nullable(),
	mappedOn: LocalDate.nullable(),
	loadForWhy: z.string().nullable(),
	retiredOn: LocalDate.nullable().describe('split or merged that day: farmed under other names since'),
	cameFrom: z.array(Relative),
	wentTo: z.array(Relative),
	openJob: z
		.string()
		.nullable()
		.describe('a job on it that is neither closed nor withdrawn: until then it is not split or merged'),
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
		ImportInput,
		ImportReport,
	),
	list: query('The field register', Nothing, z.array(FieldRow)),
	crops: query(
		'What stands in a season: each crop with its fields and their ground',
		z.strictObject({ season: z.int().min(1900).max(2200) }),
		z.array(z.strictObject({ crop: z.string(), eppoCode: z.string().nullable(), fields: z.int(), areaHa: z.number() })),
	),
	boundaries: query(
		'Every current boundary with the strips and obstacles laid on it, for the map',
		Nothing,
		z.array(
			z.strictObject({
				id: Id,
				name: z.string(),
				geometry: Boundary,
				leftOut: z.array(
					z.strictObject({
						id: Id,
						kind: z.enum(['strip', 'obstacle']),
						label: z.string(),
						areaHa: z.number(),
						geometry: Boundary,
					}),
				),
			}),
		),
	),
	export: query(
		'Writes the register to a file for other programs',
		z.strictObject({
			format: z.enum(['geojson', 'shapefile', 'csv', 'isoxml']),
			path: z.string().min(1).optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({ path: z.string(), rows: z.int() }),
	),
	printMap: query(
		'Prints the map of the fields to scale, told apart by crop or by the difference of their areas',
		z.strictObject({
			by: z.enum(['crop', 'difference']).default('crop'),
			path: z.string().min(1).optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({ path: z.string(), pages: z.int() }),
	),
	sharedGround: query(
		'The fields a boundary about to be saved shares ground with',
		z.strictObject({ id: Id.optional().describe('the field being redrawn'), geometry: Boundary }),
		z.array(z.strictObject({ id: Id, name: z.string(), m2: z.number() })),
	),
	obstacle: pure(
		'Ground of a boundary that an obstacle takes up, without ground that is left out already',
		z.strictObject({ boundary: Boundary, obstacle: Boundary, without: Without }),
		Ground,
	),
	strip: pure(
		'Ground of a boundary within a width of chosen edges, without ground that is left out already',
		z.strictObject({ boundary: Boundary, edges: Edges.min(1), widthM: Positive.max(200), without: Without }),
		Ground,
	),
	cut: pure(
		'The parts a line cuts a boundary into, the largest first',
		z.strictObject({ geometry: Boundary, line: z.array(z.array(z.number()).min(2)).min(2).max(1000) }),
		z.array(z.strictObject({ geometry: Boundary, areaHa: z.number(), perimeterM: z.number() })),
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
	setBoundary: command(
		'Puts another boundary in force; the one before stays in the field’s history',
		z.strictObject({
			key: Key,
			id: Id,
			version: z.int(),
			geometry: Boundary,
			source: Text,
			on: LocalDate.optional().describe('when it was taken; left out: today'),
		}),
		FieldDetail.extend({ warnings: z.array(Warning).describe('what became of strips and obstacles') }),
	),
	split: command(
		'Ends a field and begins one for each part of its ground; what was sprayed follows the ground',
		z.strictObject({
			key: Key,
			id: Id,
			version: z.int(),
			parts: z
				.array(z.strictObject({ name: Text, code: z.string().trim().max(60).optional(), geometry: Boundary }))
				.min(2)
				.max(50),
		}),
		NewGround,
	),
	merge: command(
		'Ends several fields and begins one on all their ground; what was sprayed follows the ground',
		z.strictObject({
			key: Key,
			fields: z
				.array(z.strictObject({ id: Id, version: z.int() }))
				.min(2)
				.max(50),
			name: Text,
			code: z.string().trim().max(60).optional(),
		}),
		NewGround,
	),
	mergeGround: query(
		'What fields would be as one, before they are merged',
		z.strictObject({ ids: z.array(Id).min(2).max(50) }),
		z.strictObject({
			areaHa: z.number().describe('as their boundary together measures'),
			parts: z.int(),
			gap: z
				.strictObject({ narrowestM: z.number(), furthestM: z.number(), areaHa: z.number().nullable() })
				.nullable()
				.describe(
					'ground between them where they do not touch; no area: they lie too far apart, or only with a corner towards each other',
				),
		}),
	),
	rollSeason: command(
		'Enters the next season’s crops by what stood on each field before; entered crops stay',
		z.strictObject({
			key: Key,
			from: z.int().min(1900).max(2200),
			to: z.int().min(1900).max(2200),
			rotation: z
				.array(z.strictObject({ crop: Text, next: Text, eppoCode: z.string().trim().max(12).optional() }))
				.max(200)
				.describe('crops that are not named leave their fields empty'),
		}),
		z.strictObject({
			...rolled,
			byCrop: z
				.array(z.strictObject({ crop: z.string().nullable(), next: z.string().nullable(), ...rolled }))
				.describe('by what stood there before; a crop of null: none was noted'),
		}),
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
		'Adds a no-spray strip along chosen edges, an obstacle by its shape, or either by its area',
		z.strictObject({
			key: Key,
			id: Id,
			kind: z.enum(['strip', 'obstacle']),
			label: Text,
			widthM: Positive.max(200).optional(),
			edges: Edges.optional(),
			geometry: Boundary.optional().describe('an obstacle as drawn; what of it lies inside the boundary counts'),
			areaHa: Positive.optional(),
		}),
		FieldDetail,
	),
	removeStrip: command(
		'Takes a strip or obstacle off the field',
		z.strictObject({ key: Key, id: Id, stripId: Id, why: Text }),
		FieldDetail,
	),
	keepStrip: command(
		'Says that a strip or obstacle noted for an earlier boundary holds as it stands for the one in force',
		z.strictObject({ key: Key, id: Id, stripId: Id }),
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
			codeForAlike: z
				.boolean()
				.default(false)
				.describe('the EPPO code also for every other field on which this crop stands in the season without one'),
		}),
		FieldDetail,
	),
};
