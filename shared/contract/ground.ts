import { z } from 'zod';
import { DEFAULT_BUFFER_M, DEFAULT_CAP_HA } from '../core/geometry/area-reconciliation.ts';
import { DEFAULT_CORRELATION_M, DEFAULT_EDGE_BIAS_M, DEFAULT_POSITION_SIGMA_M } from '../core/geometry/polygon-area.ts';
import { NotNegative, Positive, pure, Text, Warning } from './procedure.ts';

/** A GeoJSON geometry; members beside these (bbox, crs) may stand and are not read. The core checks the coordinates and names the point. */
export const Geometry = z
	.looseObject({ type: z.string(), coordinates: z.unknown().optional() })
	.describe('GeoJSON Polygon or MultiPolygon, WGS 84, longitude first');

/** GeoJSON (RFC 7946) Polygon or MultiPolygon, WGS 84 longitude/latitude. */
export const Boundary = z.looseObject({ type: z.enum(['Polygon', 'MultiPolygon']), coordinates: z.array(z.any()) });

export const MeasureInput = z.strictObject({
	geometry: Geometry,
	positionSigmaM: NotNegative.default(DEFAULT_POSITION_SIGMA_M).describe('standard error of a point, per coordinate'),
	edgeBiasM: NotNegative.default(DEFAULT_EDGE_BIAS_M).describe('how far the whole boundary may lie in or out'),
	correlationM: Positive.min(1).default(DEFAULT_CORRELATION_M).describe('position errors nearer than this go together'),
});

export const MeasureOutput = z.strictObject({
	areaHa: z.number(),
	perimeterM: z.number(),
	vertexCount: z.int(),
	areaSigmaHa: z.number(),
	warnings: z.array(Warning).optional().describe('what is odd about the boundary; left out when nothing is'),
});

export const ReconcileInput = z.strictObject({
	measuredHa: Positive,
	mappedHa: NotNegative,
	perimeterM: Positive,
	strips: z
		.array(z.strictObject({ label: Text, areaHa: NotNegative }))
		.default([])
		.describe('ground the mapped figure leaves out'),
	mappedStepHa: NotNegative.optional().describe('the step the mapped figure is rounded to'),
	gridScalePpm: z
		.number()
		.min(-900_000)
		.max(1e8)
		.default(0)
		.describe("how much too large the plane area of the file's map grid is; mapped areas are often that"),
	bufferM: NotNegative.default(DEFAULT_BUFFER_M),
	capHa: NotNegative.default(DEFAULT_CAP_HA),
});

export const ReconcileOutput = z.strictObject({
	differenceHa: z.number(),
	differencePercent: z.number().nullable().describe('of the mapped area; null where that is zero'),
	edgeStripM: z.number(),
	toleranceHa: z.number(),
	withinTolerance: z.boolean(),
	causes: z
		.array(
			z.strictObject({
				cause: z.enum(['strips', 'rounding', 'grid scale', 'unit or column mix-up']),
				areaHa: z.number(),
				say: z.string(),
			}),
		)
		.readonly(),
	explainedHa: z.number(),
	unexplainedHa: z.number(),
});

export const groundContract = {
	measure: pure('Area, perimeter and standard error of a boundary on the ellipsoid', MeasureInput, MeasureOutput),
	reconcile: pure(
		'Why measured and mapped area differ, and whether the rest is tolerance',
		ReconcileInput,
		ReconcileOutput,
	),
};
