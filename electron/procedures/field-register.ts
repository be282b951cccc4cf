import {
	boundaryHistory,
	childrenOf,
	croppingOf,
	currentGeometry,
	type FieldStored,
	type FieldWithFigures,
	findField,
	type MeasurementWithPlan,
	measurementsOf,
	openJobOn,
	parentsOf,
	type Relative,
	type StripStored,
} from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldDetail, FieldRow } from '../../shared/contract/fields.ts';
import { explainDifference, type Reconciled, reconcile } from '../../shared/core/geometry/area-reconciliation.ts';
import { areaToLoadFor } from '../../shared/core/geometry/area-to-load-for.ts';
import { type KnownGround, sprayedArea, whyNotCounted } from '../../shared/core/geometry/sprayed-area.ts';
import { toHectares } from '../../shared/units/area.ts';

type Figure = FieldDetail['measurements'][number];

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

/** What the register holds against an area the sprayer reported: the ground that is sprayed, by each figure. */
function knownGround(row: FieldWithFigures): KnownGround {
	const { field, boundary, strips } = row;
	const leftOutM2 = strips.reduce((sum, strip) => sum + strip.areaM2, 0);
	const loadForM2 = loadFor(row).m2;
	return {
		boundary: boundary && {
			areaHa: toHectares(boundary.areaM2 - leftOutM2),
			sigmaHa: toHectares(boundary.sigmaM2),
		},
		mappedHa: field.mappedM2 === null ? null : toHectares(field.mappedM2),
		loadForHa: loadForM2 === null ? null : toHectares(loadForM2),
	};
}

/** A figure of the history. A counter's area with overlap is machine area, which stays apart from treated ground. */
function figureOf(line: MeasurementWithPlan, known: KnownGround): Figure {
	const areaHa = toHectares(line.areaM2);
	const withOverlap = line.withOverlap === null ? null : line.withOverlap === 1;
	const plannedHa = line.plannedM2 === null ? null : toHectares(line.plannedM2);
	const notCounted = line.kind === 'sprayed' ? whyNotCounted({ areaHa, withOverlap, plannedHa }, known) : null;
	return {
		id: line.id,
		kind: line.kind === 'sprayed' && withOverlap ? 'machine' : line.kind,
		areaHa,
		sigmaHa: line.sigmaM2 === null ? null : toHectares(line.sigmaM2),
		on: line.takenOn,
		source: line.source,
		...(notCounted === null ? {} : { notCounted }),
	};
}

function relative({ id, name, kind, sharedM2, happenedOn }: Relative) {
	return { id, name, kind, on: happenedOn, sharedHa: toHectares(sharedM2) };
}

function lookAt(look: string | null) {
	return look === null ? {} : { look };
}

/**
 * Why a strip or obstacle is to be looked at: it was noted for a boundary before the one in force and could not be carried
 * over to it (`carryStripsOver`). Null where nothing is the matter.
 */
function stripLook(strip: StripStored, boundary: { readonly createdAt: number } | null): string | null {
	if (!boundary || strip.createdAt >= boundary.createdAt) return null;
	if (strip.geometry === null) return 'its area was noted for an earlier boundary';
	return 'its side could not be found again on the boundary in force';
}

/** One field with everything the register knows of it. */
export async function detailOf(db: ReadDb, id: string, season: number): Promise<Result<FieldDetail>> {
	const row = await findField(db, id, season);
	if (!row) return refuse('not.found', { what: 'field', id });
	const { field, boundary, strips } = row;
	const geometry = await currentGeometry(db, id);
	const boundaries = await boundaryHistory(db, id);
	const known = knownGround(row);
	const figures = (await measurementsOf(db, id)).map((line) => figureOf(line, known));
	const difference = differenceOf(row);
	return ok({
		field: registerRow(row),
		geometry: geometry ? (JSON.parse(geometry) as Geometry) : null,
		mappedSource: field.mappedSource,
		mappedOn: field.mappedOn,
		loadForWhy: field.loadForWhy,
		retiredOn: field.retiredOn,
		cameFrom: (await parentsOf(db, id)).map(relative),
		wentTo: (await childrenOf(db, id)).map(relative),
		openJob: (await openJobOn(db, [id]))?.job ?? null,
		strips: strips.map((strip) => ({
			id: strip.id,
			kind: strip.kind,
			label: strip.label,
			widthM: strip.widthM,
			areaHa: toHectares(strip.areaM2),
			geometry: strip.geometry ? (JSON.parse(strip.geometry) as Geometry) : null,
			...lookAt(stripLook(strip, boundary)),
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
			...figures,
		],
		sprayed: sprayedArea(
			figures.filter(({ kind, notCounted }) => kind === 'sprayed' && notCounted === undefined),
			known,
		),
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
