import {
	addBoundary,
	addField,
	addLineage,
	addStrip,
	currentGeometry,
	type FieldWithFigures,
	findField,
	openJobOn,
	parentsOf,
	saveCropping,
	saveField,
} from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { groundWithin, joinFields } from '../../shared/core/geometry/cut-field.ts';
import { gapBetween } from '../../shared/core/geometry/gap-between.ts';
import { type Measured, measure } from '../../shared/core/geometry/polygon-area.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { toLocalDate } from './clock.ts';
import { carryConditions } from './field-conditions.ts';
import { carryLimits } from './field-limits.ts';
import { type Geometry, loadFor } from './field-register.ts';
import { boundaryRow, fieldAt, newField, textOfBoundary } from './fields.ts';
import type { CommandContext, QueryContext } from './handler.ts';

/** Parts and whole may differ by the width of the cut and a corner digitised twice. Common practice. */
const COVERS_WITHIN = 0.01;

/** Less is the width of a cut. Common practice. */
const LEAST_SHARED_M2 = 100;

type Warning = { readonly code: string; readonly message: string };
type Farmed = FieldWithFigures & { readonly geometry: Geometry };
type Parent = { readonly row: Farmed; readonly sharedM2: number };

type SplitInput = {
	readonly id: string;
	readonly version: number;
	readonly parts: readonly { readonly name: string; readonly code?: string | undefined; readonly geometry: Geometry }[];
};

/**
 * Ends a field and begins one for each part of its ground. Crops go on in every part, strips where their ground lies; what
 * was sprayed before stays with the ground (`forebearsOf`).
 */
export async function splitField(context: CommandContext, input: SplitInput) {
	const found = await farmedAt(context, [input]);
	if (!found.ok) return found;
	const [whole] = found.value;
	if (!whole?.boundary) return refuse('not.found', { what: 'field', id: input.id });
	const measured: Measured[] = [];
	let coveredM2 = 0;
	for (const { geometry } of input.parts) {
		const figures = measure({ geometry });
		if (!figures.ok) return figures;
		const inside = groundWithin(whole.geometry, geometry);
		if (!inside.ok) return inside;
		measured.push(figures.value);
		coveredM2 += inside.value.areaM2;
	}
	const partsM2 = measured.reduce((sum, { areaHa }) => sum + toSquareMetres(areaHa), 0);
	const fieldM2 = whole.boundary.areaM2;
	if ([partsM2, coveredM2].some((m2) => Math.abs(m2 - fieldM2) > COVERS_WITHIN * fieldM2)) {
		return refuse('fields.partsDiffer', { partsM2: Math.round(partsM2), fieldM2: Math.round(fieldM2) });
	}
	const fields = [];
	const warnings: Warning[] = [];
	for (const [index, part] of input.parts.entries()) {
		const figures = measured[index];
		if (!figures) continue;
		const parents = [{ row: whole, sharedM2: toSquareMetres(figures.areaHa) }];
		const id = await begin(context, { ...part, kind: 'split', measured: figures, parents, mappedHa: null });
		fields.push({ id, name: part.name, measuredHa: figures.areaHa });
	}
	for (const strip of whole.strips.filter(({ geometry }) => geometry === null)) {
		const message = `${strip.label} of ${whole.field.name} was noted by its area alone: note it again on the part it lies in.`;
		warnings.push({ code: 'strip.notPlaced', message });
	}
	if (whole.field.mappedM2 !== null) {
		const message = `The mapped area of ${whole.field.name} is not shared out: enter the figure of each part when the land register has it.`;
		warnings.push({ code: 'mapped.notShared', message });
	}
	await retire(context, [whole]);
	return ok({ fields, warnings });
}

type MergeInput = {
	readonly fields: readonly { readonly id: string; readonly version: number }[];
	readonly name: string;
	readonly code?: string | undefined;
};

/** Ends several fields and begins one on all their ground. */
export async function mergeFields(context: CommandContext, input: MergeInput) {
	if (new Set(input.fields.map(({ id }) => id)).size !== input.fields.length) {
		return refuse('input.invalid', { path: 'fields', why: 'a field stands twice' });
	}
	const found = await farmedAt(context, input.fields);
	if (!found.ok) return found;
	const rows = found.value;
	const geometry = joinFields(rows.map((row) => row.geometry));
	if (!geometry.ok) return geometry;
	const measured = measure({ geometry: geometry.value });
	if (!measured.ok) return measured;
	const mapped = rows.map(({ field }) => field.mappedM2);
	const mappedM2 = mapped.every((m2) => m2 !== null) ? mapped.reduce((sum, m2) => sum + (m2 ?? 0), 0) : null;
	const { name, code } = input;
	const id = await begin(context, {
		name,
		code,
		kind: 'merge',
		geometry: geometry.value,
		measured: measured.value,
		parents: rows.map((row) => ({ row, sharedM2: row.boundary?.areaM2 ?? 0 })),
		mappedHa: mappedM2 === null ? null : toHectares(mappedM2),
	});
	const crops = new Set(rows.map(({ crop }) => crop?.crop ?? ''));
	const warnings: Warning[] =
		crops.size === 1
			? []
			: [{ code: 'crop.differs', message: `The fields had different crops: enter what grows on ${name}.` }];
	const gap = gapBetween(rows.map((row) => row.geometry));
	if (gap.ok && gap.value) {
		const which = rows.length === 2 ? 'The fields touch nowhere' : 'Not all of the fields touch';
		const message = `${which}: ${name} is ${partsIn(geometry.value)} parts with other ground between them.`;
		warnings.push({ code: 'merge.apart', message });
	}
	await retire(context, rows);
	return ok({ fields: [{ id, name, measuredHa: measured.value.areaHa }], warnings });
}

/** What several fields would be as one, before they are merged. */
export async function mergeGround({ db }: QueryContext, { ids }: { readonly ids: readonly string[] }) {
	const geometries: Geometry[] = [];
	for (const id of new Set(ids)) {
		const geometry = await currentGeometry(db, id);
		if (geometry === null) return refuse('not.found', { what: 'field with a boundary', id });
		geometries.push(JSON.parse(geometry) as Geometry);
	}
	const together = joinFields(geometries);
	if (!together.ok) return together;
	const measured = measure({ geometry: together.value });
	if (!measured.ok) return measured;
	const gap = gapBetween(geometries);
	if (!gap.ok) return gap;
	return ok({
		areaHa: measured.value.areaHa,
		parts: partsIn(together.value),
		gap: gap.value && {
			...{ narrowestM: gap.value.narrowestM, furthestM: gap.value.furthestM },
			areaHa: gap.value.areaM2 === null ? null : toHectares(gap.value.areaM2),
		},
	});
}

function partsIn({ type, coordinates }: Geometry): number {
	return type === 'Polygon' ? 1 : coordinates.length;
}

/** The fields at the versions the user saw, each with a boundary and in no open job. */
async function farmedAt(
	context: CommandContext,
	wanted: readonly { readonly id: string; readonly version: number }[],
): Promise<Result<Farmed[]>> {
	const rows: Farmed[] = [];
	for (const each of wanted) {
		const found = await fieldAt(context, each);
		if (!found.ok) return found;
		const geometry = await currentGeometry(context.tx, each.id);
		if (geometry === null) return refuse('fields.noBoundary', { field: found.value.field.name });
		rows.push({ ...found.value, geometry: JSON.parse(geometry) as Geometry });
	}
	const open = await openJobOn(
		context.tx,
		wanted.map(({ id }) => id),
	);
	return open ? refuse('fields.openJobs', open) : ok(rows);
}

type Beginning = {
	readonly name: string;
	readonly code?: string | undefined;
	readonly kind: 'split' | 'merge';
	readonly geometry: Geometry;
	readonly measured: Measured;
	readonly parents: readonly Parent[];
	readonly mappedHa: number | null;
};

/** A field with boundary, strips, this season's crop and where its ground came from. */
async function begin(context: CommandContext, beginning: Beginning): Promise<string> {
	const { tx, farm, now, newId } = context;
	const { name, code, kind, geometry, measured, parents, mappedHa } = beginning;
	const today = toLocalDate(now, farm.zone);
	const [id, boundaryId] = [newId(), newId()];
	const source = `${kind} of ${parents.map(({ row }) => row.field.name).join(', ')}`.slice(0, 200);
	const mappedSource = mappedHa === null ? null : 'sum of the merged fields';
	await addField(tx, newField(context, { id, name, code: code ?? null, mappedHa, mappedSource, boundaryId }));
	const rest = { id: boundaryId, fieldId: id, crs: 'EPSG:4326', gridScalePpm: null, source, takenOn: today, now };
	await addBoundary(tx, boundaryRow(measured, textOfBoundary(geometry), rest));
	for (const { row, sharedM2 } of parents) {
		const line = {
			id: newId(),
			parentId: row.field.id,
			childId: id,
			kind,
			sharedM2,
			happenedOn: today,
			createdAt: now,
		};
		await addLineage(tx, line);
		await carryStrips(context, id, { geometry, kind }, row);
	}
	const from = parents.map(({ row }) => row.field.id);
	await carryLimits(context, id, from);
	await carryConditions(context, id, from);
	const [first] = parents;
	const crop = first?.row.crop;
	if (crop && parents.every(({ row }) => row.crop?.crop === crop.crop)) {
		await saveCropping(tx, { ...crop, id: newId(), fieldId: id, version: 1 });
	}
	return id;
}

/** Strips and obstacles on this ground. Those noted by area alone can only follow a merge. */
async function carryStrips(
	{ tx, now, newId }: CommandContext,
	fieldId: string,
	to: { readonly geometry: Geometry; readonly kind: 'split' | 'merge' },
	from: Farmed,
): Promise<void> {
	for (const strip of from.strips) {
		const inside = strip.geometry ? groundWithin(to.geometry, JSON.parse(strip.geometry) as Geometry) : null;
		const placed = inside?.ok && inside.value.geometry ? inside.value : null;
		const byArea = strip.geometry === null && to.kind === 'merge';
		if (!placed && !byArea) continue;
		await addStrip(tx, {
			...strip,
			id: newId(),
			fieldId,
			areaM2: placed ? placed.areaM2 : strip.areaM2,
			geometry: placed ? JSON.stringify(placed.geometry) : null,
			createdAt: now,
		});
	}
}

async function retire(context: CommandContext, rows: readonly Farmed[]): Promise<void> {
	const { tx, farm, now, note } = context;
	const retiredOn = toLocalDate(now, farm.zone);
	for (const { field } of rows) {
		await saveField(tx, { ...field, retiredOn });
		note({ table: 'field', id: field.id, before: { retiredOn: null }, after: { retiredOn } });
	}
}

/** A field that lay on some of another's ground before it. Areas as the boundaries measure; null without a boundary. */
export type EarlierField = { readonly id: string; readonly wholeM2: number | null; readonly sharedM2: number | null };

/** Every field whose ground a field has some of, all the way back, with the ground both have. */
export async function earlierFields(db: ReadDb, fieldId: string): Promise<EarlierField[]> {
	const own = await currentGeometry(db, fieldId);
	const found = new Map<string, EarlierField>();
	const visit = async (id: string): Promise<void> => {
		for (const parent of await parentsOf(db, id)) {
			if (found.has(parent.id)) continue;
			const geometry = await currentGeometry(db, parent.id);
			const both = own && geometry ? groundWithin(JSON.parse(geometry), JSON.parse(own)) : null;
			const sharedM2 = both?.ok ? both.value.areaM2 : null;
			const wholeM2 = (await findField(db, parent.id, 0))?.boundary?.areaM2 ?? null;
			found.set(parent.id, { id: parent.id, wholeM2, sharedM2 });
			await visit(parent.id);
		}
	};
	await visit(fieldId);
	// Of a field that was merged and split again some parents lie wholly beside this one.
	return [...found.values()].filter(({ sharedM2 }) => sharedM2 === null || sharedM2 >= LEAST_SHARED_M2);
}

/** A field that ground of another came from, and how much of it. */
export type Forebear = { readonly id: string; readonly fieldHa: number; readonly leastHa: number };

/**
 * The fields that ground was before, all the way back, with the least of a treated area that must lie on each:
 *
 *   on the parent at least = treated − (field − ground shared with the parent)
 *
 * Areas as the field and its parents are measured; what a job leaves unsprayed may lie anywhere.
 */
export async function forebearsOf(db: ReadDb, fieldId: string, areaHa: number): Promise<Forebear[]> {
	const found = new Map<string, Forebear>();
	const visit = async (id: string, treatedHa: number): Promise<void> => {
		const self = await findField(db, id, 0);
		const selfHa = toHectares(self?.boundary?.areaM2 ?? 0);
		for (const parent of await parentsOf(db, id)) {
			const row = await findField(db, parent.id, 0);
			const m2 = row ? loadFor(row).m2 : null;
			if (!row || m2 === null) continue;
			const leastHa = Math.max(0, treatedHa - Math.max(0, selfHa - toHectares(parent.sharedM2)));
			const known = found.get(parent.id);
			if (known && known.leastHa >= leastHa) continue;
			found.set(parent.id, { id: parent.id, fieldHa: toHectares(m2), leastHa });
			await visit(parent.id, leastHa);
		}
	};
	await visit(fieldId, areaHa);
	return [...found.values()];
}
