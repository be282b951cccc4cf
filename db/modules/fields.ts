import { and, asc, desc, eq, getTableColumns, gt, gte, inArray, isNull, lte, or, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import { invariant } from '../../shared/basics/result.ts';
import { insertRows } from '../insert-rows.ts';
import { plainRows } from '../plain-rows.ts';
import {
	cropping,
	field,
	fieldBoundary,
	fieldLineage,
	fieldMeasurement,
	fieldStrip,
	job,
	jobField,
} from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type FieldStored = typeof field.$inferSelect;
export type BoundaryStored = typeof fieldBoundary.$inferSelect;
export type StripStored = typeof fieldStrip.$inferSelect;
export type CroppingStored = typeof cropping.$inferSelect;
export type MeasurementStored = typeof fieldMeasurement.$inferSelect;
type BoundaryFigures = Omit<BoundaryStored, 'geometry'>;

export type FieldWithFigures = {
	readonly field: FieldStored;
	readonly boundary: BoundaryFigures | null;
	readonly strips: readonly StripStored[];
	readonly crop: CroppingStored | null;
};

const figures = {
	id: fieldBoundary.id,
	fieldId: fieldBoundary.fieldId,
	areaM2: fieldBoundary.areaM2,
	sigmaM2: fieldBoundary.sigmaM2,
	perimeterM: fieldBoundary.perimeterM,
	vertexCount: fieldBoundary.vertexCount,
	west: fieldBoundary.west,
	south: fieldBoundary.south,
	east: fieldBoundary.east,
	north: fieldBoundary.north,
	crs: fieldBoundary.crs,
	gridScalePpm: fieldBoundary.gridScalePpm,
	source: fieldBoundary.source,
	takenOn: fieldBoundary.takenOn,
	createdAt: fieldBoundary.createdAt,
};

/**
 * The register: every field with its boundary in force, strips and the crop of a season. `farmedAfter` leaves out those
 * that were split or merged by that day.
 */
export async function listFields(
	db: ReadDb,
	season: number,
	{ farmedAfter }: { readonly farmedAfter?: string } = {},
): Promise<FieldWithFigures[]> {
	const farmed = farmedAfter === undefined ? sql`true` : or(isNull(field.retiredOn), gt(field.retiredOn, farmedAfter));
	const rows = await plainRows<FieldStored>(
		db,
		getTableColumns(field),
		sql`FROM ${field} WHERE ${farmed} ORDER BY ${field.name}, ${field.code}, ${field.id}`,
	);
	const boundaries = await plainRows<BoundaryFigures>(
		db,
		figures,
		sql`FROM ${field} JOIN ${fieldBoundary} ON ${fieldBoundary.id} = ${field.boundaryId} WHERE ${farmed}`,
	);
	const crops = await plainRows<CroppingStored>(
		db,
		getTableColumns(cropping),
		sql`FROM ${cropping} WHERE ${cropping.season} = ${season}`,
	);
	const boundaryOf = new Map(boundaries.map((row) => [row.id, row]));
	const cropOf = new Map(crops.map((row) => [row.fieldId, row]));
	const strips = await db
		.select()
		.from(fieldStrip)
		.where(isNull(fieldStrip.removedAt))
		.orderBy(asc(fieldStrip.createdAt));
	const byField = Map.groupBy(strips, (strip) => strip.fieldId);
	return rows.map((row) => ({
		field: row,
		boundary: boundaryOf.get(row.boundaryId ?? '') ?? null,
		crop: cropOf.get(row.id) ?? null,
		strips: byField.get(row.id) ?? [],
	}));
}

/** The name of every field, also of those no longer farmed. */
export async function fieldNames(db: ReadDb): Promise<Map<string, string>> {
	const rows = await db.select({ id: field.id, name: field.name }).from(field);
	return new Map(rows.map(({ id, name }) => [id, name]));
}

/** One field with its figures, or null. */
export async function findField(db: ReadDb, id: string, season: number): Promise<FieldWithFigures | null> {
	const [row] = await db
		.select({ field, boundary: figures, crop: cropping })
		.from(field)
		.leftJoin(fieldBoundary, eq(field.boundaryId, fieldBoundary.id))
		.leftJoin(cropping, and(eq(cropping.fieldId, field.id), eq(cropping.season, season)))
		.where(eq(field.id, id));
	if (!row) return null;
	const strips = await db
		.select()
		.from(fieldStrip)
		.where(and(eq(fieldStrip.fieldId, id), isNull(fieldStrip.removedAt)))
		.orderBy(asc(fieldStrip.createdAt), asc(fieldStrip.id));
	return { field: row.field, boundary: row.boundary, crop: row.crop, strips };
}

/** The boundary in force, as GeoJSON text. */
export async function currentGeometry(db: ReadDb, fieldId: string): Promise<string | null> {
	const [row] = await db
		.select({ geometry: fieldBoundary.geometry })
		.from(field)
		.innerJoin(fieldBoundary, eq(field.boundaryId, fieldBoundary.id))
		.where(eq(field.id, fieldId));
	return row?.geometry ?? null;
}

/** The boundaries in force of some fields, as GeoJSON text. */
export async function geometriesOf(db: ReadDb, ids: readonly string[]): Promise<{ id: string; geometry: string }[]> {
	return db
		.select({ id: field.id, geometry: fieldBoundary.geometry })
		.from(field)
		.innerJoin(fieldBoundary, eq(field.boundaryId, fieldBoundary.id))
		.where(inArray(field.id, [...ids]))
		.orderBy(asc(field.id));
}

/** The ids of all fields that are farmed. */
export async function farmedFields(db: ReadDb): Promise<Set<string>> {
	return new Set((await db.select({ id: field.id }).from(field).where(isNull(field.retiredOn))).map(({ id }) => id));
}

/** Every boundary in force of a field that is farmed, for the map and for matching an import. */
export async function currentBoundaries(db: ReadDb) {
	return db
		.select({
			id: field.id,
			name: field.name,
			code: field.code,
			areaM2: fieldBoundary.areaM2,
			west: fieldBoundary.west,
			south: fieldBoundary.south,
			east: fieldBoundary.east,
			north: fieldBoundary.north,
			geometry: fieldBoundary.geometry,
		})
		.from(field)
		.innerJoin(fieldBoundary, eq(field.boundaryId, fieldBoundary.id))
		.where(isNull(field.retiredOn))
		.orderBy(asc(field.name), asc(field.id));
}

/** The box around each boundary in force of a field that is farmed. */
export async function currentBoxes(db: ReadDb) {
	const { west, south, east, north } = fieldBoundary;
	return db
		.select({ west, south, east, north })
		.from(field)
		.innerJoin(fieldBoundary, eq(field.boundaryId, fieldBoundary.id))
		.where(isNull(field.retiredOn));
}

/** Every strip and obstacle that lies on the map. */
export async function laidStrips(db: ReadDb): Promise<(StripStored & { readonly geometry: string })[]> {
	const rows = await db
		.select()
		.from(fieldStrip)
		.where(isNull(fieldStrip.removedAt))
		.orderBy(asc(fieldStrip.createdAt), asc(fieldStrip.id));
	return rows.flatMap((row) => (row.geometry === null ? [] : [{ ...row, geometry: row.geometry }]));
}

/** Every boundary a field ever had, newest first, without the geometry. */
export async function boundaryHistory(db: ReadDb, fieldId: string): Promise<BoundaryFigures[]> {
	return db
		.select(figures)
		.from(fieldBoundary)
		.where(eq(fieldBoundary.fieldId, fieldId))
		.orderBy(desc(fieldBoundary.createdAt), desc(fieldBoundary.id));
}

/** A figure with what its job was loaded for on this field. */
export type MeasurementWithPlan = MeasurementStored & { readonly plannedM2: number | null };

/** Figures without a boundary, newest first. */
export async function measurementsOf(db: ReadDb, fieldId: string): Promise<MeasurementWithPlan[]> {
	const rows = await db
		.select({ line: fieldMeasurement, plannedM2: jobField.areaM2 })
		.from(fieldMeasurement)
		.leftJoin(jobField, and(eq(jobField.jobId, fieldMeasurement.jobId), eq(jobField.fieldId, fieldMeasurement.fieldId)))
		.where(eq(fieldMeasurement.fieldId, fieldId))
		.orderBy(desc(fieldMeasurement.takenOn), desc(fieldMeasurement.createdAt), desc(fieldMeasurement.id));
	return rows.map(({ line, plannedM2 }) => ({ ...line, plannedM2 }));
}

/** The newest area each field's sprayer reported in a period, m². */
export async function sprayedFigures(db: ReadDb, { from, to }: { from: string; to: string }) {
	const rows = await db
		.select({ fieldId: fieldMeasurement.fieldId, areaM2: fieldMeasurement.areaM2 })
		.from(fieldMeasurement)
		.where(
			and(eq(fieldMeasurement.kind, 'sprayed'), gte(fieldMeasurement.takenOn, from), lte(fieldMeasurement.takenOn, to)),
		)
		.orderBy(asc(fieldMeasurement.takenOn), asc(fieldMeasurement.createdAt), asc(fieldMeasurement.id));
	return new Map(rows.map(({ fieldId, areaM2 }) => [fieldId, areaM2]));
}

export async function croppingOf(db: ReadDb, fieldId: string): Promise<CroppingStored[]> {
	return db.select().from(cropping).where(eq(cropping.fieldId, fieldId)).orderBy(desc(cropping.season));
}

/** Every crop of a season, or those of some fields. */
export async function listCropping(
	db: ReadDb,
	season: number,
	fieldIds?: readonly string[],
): Promise<CroppingStored[]> {
	const some = fieldIds && inArray(cropping.fieldId, [...fieldIds]);
	return db
		.select()
		.from(cropping)
		.where(and(eq(cropping.season, season), some));
}

export type LineageStored = typeof fieldLineage.$inferSelect;
export type Relative = Pick<LineageStored, 'kind' | 'sharedM2' | 'happenedOn'> & {
	readonly id: string;
	readonly name: string;
};

/** The fields this one's ground came from. */
export async function parentsOf(db: ReadDb, fieldId: string): Promise<Relative[]> {
	const { kind, sharedM2, happenedOn, parentId } = fieldLineage;
	return db
		.select({ id: parentId, name: field.name, kind, sharedM2, happenedOn })
		.from(fieldLineage)
		.innerJoin(field, eq(field.id, parentId))
		.where(eq(fieldLineage.childId, fieldId))
		.orderBy(asc(field.name), asc(field.id));
}

/** The fields this one's ground went to. */
export async function childrenOf(db: ReadDb, fieldId: string): Promise<Relative[]> {
	const { kind, sharedM2, happenedOn, childId } = fieldLineage;
	return db
		.select({ id: childId, name: field.name, kind, sharedM2, happenedOn })
		.from(fieldLineage)
		.innerJoin(field, eq(field.id, childId))
		.where(eq(fieldLineage.parentId, fieldId))
		.orderBy(asc(field.name), asc(field.id));
}

/** The fields that began as parts or unions of others. */
export async function fieldsWithParents(db: ReadDb): Promise<Set<string>> {
	return new Set((await db.select({ id: fieldLineage.childId }).from(fieldLineage)).map(({ id }) => id));
}

/** Which fields became which in a period. */
export async function lineageBetween(db: ReadDb, { from, to }: { readonly from: string; readonly to: string }) {
	const parent = alias(field, 'parent');
	return db
		.select({
			child: field.name,
			parent: parent.name,
			kind: fieldLineage.kind,
			happenedOn: fieldLineage.happenedOn,
		})
		.from(fieldLineage)
		.innerJoin(field, eq(field.id, fieldLineage.childId))
		.innerJoin(parent, eq(parent.id, fieldLineage.parentId))
		.where(and(gte(fieldLineage.happenedOn, from), lte(fieldLineage.happenedOn, to)))
		.orderBy(asc(fieldLineage.happenedOn), asc(field.name), asc(parent.name));
}

export async function addLineage(tx: WriteDb, row: LineageStored): Promise<void> {
	await tx.insert(fieldLineage).values(row);
}

/** A job on one of these fields that is neither closed nor withdrawn, or null. */
export async function openJobOn(
	db: ReadDb,
	fieldIds: readonly string[],
): Promise<{ job: string; field: string } | null> {
	const [found] = await db
		.select({ job: job.name, field: field.name })
		.from(job)
		.innerJoin(jobField, eq(jobField.jobId, job.id))
		.innerJoin(field, eq(field.id, jobField.fieldId))
		.where(and(inArray(jobField.fieldId, [...fieldIds]), isNull(job.closing), isNull(job.withdrawnWhy)))
		.orderBy(asc(job.name))
		.limit(1);
	return found ?? null;
}

export async function addField(tx: WriteDb, row: FieldStored): Promise<void> {
	await addFields(tx, [row]);
}

export async function addFields(tx: WriteDb, rows: readonly FieldStored[]): Promise<void> {
	await insertRows(tx, field, rows);
}

export async function addBoundary(tx: WriteDb, row: BoundaryStored): Promise<void> {
	await addBoundaries(tx, [row]);
}

export async function addBoundaries(tx: WriteDb, rows: readonly BoundaryStored[]): Promise<void> {
	await insertRows(tx, fieldBoundary, rows);
}

export async function addMeasurement(
	tx: WriteDb,
	row: Omit<MeasurementStored, 'withOverlap'> & { readonly withOverlap?: number | null },
): Promise<void> {
	await tx.insert(fieldMeasurement).values({ withOverlap: null, ...row });
}

/** Says whether a reported area counts the ground a boom covered twice. */
export async function saveOverlap(tx: WriteDb, id: string, withOverlap: boolean): Promise<void> {
	const done = await tx
		.update(fieldMeasurement)
		.set({ withOverlap: withOverlap ? 1 : 0 })
		.where(eq(fieldMeasurement.id, id));
	invariant(done.changes === 1, 'the figure was marked once');
}

export async function addStrip(tx: WriteDb, row: StripStored): Promise<void> {
	await tx.insert(fieldStrip).values(row);
}

/** Takes a strip off the field; the row stays, with the reason. */
export async function removeStrip(tx: WriteDb, id: string, now: number, why: string): Promise<void> {
	const done = await tx.update(fieldStrip).set({ removedAt: now, removedWhy: why }).where(eq(fieldStrip.id, id));
	invariant(done.changes === 1, 'the strip was removed once');
}

/** Saves a field against the version it was read at. */
export async function saveField(tx: WriteDb, row: FieldStored): Promise<void> {
	const { id, version, ...rest } = row;
	const done = await tx
		.update(field)
		.set({ ...rest, version: version + 1 })
		.where(and(eq(field.id, id), eq(field.version, version)));
	invariant(done.changes === 1, 'the field was saved once');
}

/** What grows on a field in a season; a second entry replaces the first. */
export async function saveCropping(tx: WriteDb, row: CroppingStored): Promise<void> {
	const { id: _, fieldId, season, version: __, ...rest } = row;
	const here = and(eq(cropping.fieldId, fieldId), eq(cropping.season, season));
	const [before] = await tx.select({ version: cropping.version }).from(cropping).where(here);
	if (before)
		await tx
			.update(cropping)
			.set({ ...rest, version: before.version + 1 })
			.where(here);
	else await tx.insert(cropping).values(row);
}
