import {
	boundaryHistory,
	croppingOf,
	currentGeometry,
	type FieldStored,
	type FieldWithFigures,
	findField,
	measurementsOf,
} from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldDetail, FieldRow } from '../../shared/contract/fields.ts';
import { explainDifference, type Reconciled, reconcile } from '../../shared/core/geometry/area-reconciliation.ts';
import { areaToLoadFor } from '../../shared/core/geometry/area-to-load-for.ts';
import { toHectares } from '../../shared/units/area.ts';

export type Geometry = { readonly type: 'Polygon' | 'MultiPolygon'; readonly coordinates: unknown[] };

/** Area to load for: the user's choice, else measured boundary − strips − obstacles, else typed, else mapped. */
export function loadFor({ field, boundary, strips }: FieldWithFigures): {
	basis: FieldStored['loadForBasis'];
	m2: number | null;
} {
	const basis =
		field.loadForBasis ?? (boundary ? 'boundary' : field.loadForM2 ? 'typed' : field.mappedM2 ? 'mapped' : null);
	if (basis === 'boundary' && boundary) {
		const left = areaToLoadFor({
			measuredM2: boundary.areaM2,
			strips: strips.filter(({ kind }) => kind === 'strip'),
			obstacles: strips.filter(({ kind }) => kind === 'obstacle'),
		});
		return { basis, m2: left.ok ? left.value.loadForM2 : null };
	}
	if (basis === 'mapped') return { basis, m2: field.mappedM2 };
	return { basis, m2: field.loadForM2 };
}

/** One line of the register. */
export function registerRow(row: FieldWithFigures): FieldRow {
	const { field, boundary, crop } = row;
	const { basis, m2 } = loadFor(row);
	const difference = differenceOf(row);
	return {
		id: field.id,
		name: field.name,
		code: field.code,
		measuredHa: boundary ? toHectares(boundary.areaM2) : null,
		sigmaHa: boundary ? toHectares(boundary.sigmaM2) : null,
		mappedHa: field.mappedM2 === null ? null : toHectares(field.mappedM2),
		loadForHa: m2 === null ? null : toHectares(m2),
		loadForBasis: basis,
		perimeterM: boundary?.perimeterM ?? null,
		differenceHa: difference?.differenceHa ?? null,
		edgeStripM: difference?.edgeStripM ?? null,
		withinTolerance: difference?.withinTolerance ?? null,
		...(crop ? { crop: crop.crop } : {}),
		...(crop?.eppoCode ? { eppoCode: crop.eppoCode } : {}),
		version: field.version,
	};
}

/** Measured against mapped. Strips stand on the ground the mapped figure counts in, so they explain none of it here. */
function differenceOf({ field, boundary }: FieldWithFigures): Reconciled | null {
	if (!boundary || field.mappedM2 === null) return null;
	return reconcile({
		measuredHa: toHectares(boundary.areaM2),
		mappedHa: toHectares(field.mappedM2),
		perimeterM: boundary.perimeterM,
		...(field.mappedStepM2 === null ? {} : { mappedStepHa: toHectares(field.mappedStepM2) }),
		...(boundary.gridScalePpm === null ? {} : { gridScalePpm: boundary.gridScalePpm }),
	});
}

/** One field with everything the register knows of it. */
export async function detailOf(db: ReadDb, id: string, season: number): Promise<Result<FieldDetail>> {
	const row = await findField(db, id, season);
	if (!row) return refuse('not.found', { what: 'field', id });
	const { field, strips } = row;
	const geometry = await currentGeometry(db, id);
	const boundaries = await boundaryHistory(db, id);
	const typed = await measurementsOf(db, id);
	const difference = differenceOf(row);
	return ok({
		field: registerRow(row),
		geometry: geometry ? (JSON.parse(geometry) as Geometry) : null,
		mappedSource: field.mappedSource,
		mappedOn: field.mappedOn,
		loadForWhy: field.loadForWhy,
		strips: strips.map((strip) => ({
			id: strip.id,
			kind: strip.kind,
			label: strip.label,
			widthM: strip.widthM,
			areaHa: toHectares(strip.areaM2),
			geometry: strip.geometry ? (JSON.parse(strip.geometry) as Geometry) : null,
		})),
		measurements: [
			...boundaries.map((line) => ({
				id: line.id,
				kind: 'boundary' as const,
				areaHa: toHectares(line.areaM2),
				sigmaHa: toHectares(line.sigmaM2),
				on: line.takenOn,
				source: line.source,
			})),
			...typed.map((line) => ({
				id: line.id,
				kind: line.kind,
				areaHa: toHectares(line.areaM2),
				sigmaHa: line.sigmaM2 === null ? null : toHectares(line.sigmaM2),
				on: line.takenOn,
				source: line.source,
			})),
		],
		crops: (await croppingOf(db, id)).map(({ season: year, crop, eppoCode, variety, sownOn, harvestOn }) => ({
			season: year,
			crop,
			eppoCode,
			variety,
			sownOn,
			harvestOn,
		})),
		difference: difference && {
			differenceHa: difference.differenceHa,
			differencePercent: difference.differencePercent,
			edgeStripM: difference.edgeStripM,
			toleranceHa: difference.toleranceHa,
			withinTolerance: difference.withinTolerance,
			causes: difference.causes.map(({ cause, areaHa }) => ({ cause, areaHa })),
			explainedHa: difference.explainedHa,
			unexplainedHa: difference.unexplainedHa,
			say: explainDifference(difference),
		},
	});
}
