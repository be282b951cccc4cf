import {
	addBoundary,
	addField,
	addMeasurement,
	addStrip,
	boundaryHistory,
	croppingOf,
	currentBoundaries,
	currentGeometry,
	type FieldStored,
	type FieldWithFigures,
	findField,
	listFields,
	measurementsOf,
	removeStrip,
	type StripStored,
	saveCropping,
	saveField,
} from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldDetail, FieldRow } from '../../shared/contract/fields.ts';
import { explainDifference, type Reconciled, reconcile } from '../../shared/core/geometry/area-reconciliation.ts';
import { areaToLoadFor } from '../../shared/core/geometry/area-to-load-for.ts';
import { noSprayStrip } from '../../shared/core/geometry/no-spray-strip.ts';
import { type Measured, measure } from '../../shared/core/geometry/polygon-area.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { boundingBox, stepOf } from './boundary-figures.ts';
import { toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';

/** A single figure may have lost its trailing zeros: registers show two decimals. Common practice. */
const USUAL_STEP_HA = 0.01;

type Geometry = { readonly type: 'Polygon' | 'MultiPolygon'; readonly coordinates: unknown[] };

/** The register of this season. */
export async function listRegister({ db, farm, now }: QueryContext): Promise<Result<FieldRow[]>> {
	const season = seasonOf(toLocalDate(now, farm.zone), farm.seasonStartMonth);
	return ok((await listFields(db, season)).map((row) => registerRow(row)));
}

export async function listBoundaries({ db }: QueryContext) {
	const rows = await currentBoundaries(db);
	return ok(rows.map(({ id, name, geometry }) => ({ id, name, geometry: JSON.parse(geometry) as Geometry })));
}

export async function getField({ db, farm, now }: QueryContext, { id }: { id: string }): Promise<Result<FieldDetail>> {
	return detailOf(db, id, seasonOf(toLocalDate(now, farm.zone), farm.seasonStartMonth));
}

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

function registerRow(row: FieldWithFigures): FieldRow {
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

/** A measured boundary as a row of the register's history. */
export function boundaryRow(
	measured: Measured,
	geometry: Geometry,
	rest: {
		id: string;
		fieldId: string;
		crs: string;
		gridScalePpm: number | null;
		source: string;
		takenOn: string;
		now: number;
	},
) {
	const { now, ...named } = rest;
	return {
		...named,
		geometry: JSON.stringify({ type: geometry.type, coordinates: geometry.coordinates }),
		areaM2: toSquareMetres(measured.areaHa),
		sigmaM2: toSquareMetres(measured.areaSigmaHa),
		perimeterM: measured.perimeterM,
		vertexCount: measured.vertexCount,
		...boundingBox(geometry.coordinates),
		createdAt: now,
	};
}

/** A field row with nothing but what was given. */
export function newField(
	context: Pick<CommandContext, 'farm' | 'now'>,
	row: {
		id: string;
		name: string;
		code: string | null;
		mappedHa: number | null;
		mappedSource: string | null;
		boundaryId: string | null;
	},
): FieldStored {
	const { id, name, code, mappedHa, mappedSource, boundaryId } = row;
	return {
		id,
		farmId: context.farm.id,
		name,
		code,
		mappedM2: mappedHa === null ? null : toSquareMetres(mappedHa),
		mappedStepM2: mappedHa === null ? null : toSquareMetres(Math.min(stepOf([mappedHa]), USUAL_STEP_HA)),
		mappedSource,
		mappedOn: null,
		boundaryId,
		loadForBasis: null,
		loadForM2: null,
		loadForWhy: null,
		createdAt: context.now,
		version: 1,
	};
}

type ByHand = {
	readonly name: string;
	readonly code?: string | undefined;
	readonly mappedHa?: number | undefined;
	readonly measuredHa?: number | undefined;
	readonly geometry?: Geometry | undefined;
};

export async function addByHand(context: CommandContext, input: ByHand): Promise<Result<{ id: string }>> {
	const { tx, farm, now, newId } = context;
	const id = newId();
	const today = toLocalDate(now, farm.zone);
	const measured = input.geometry ? measure({ geometry: input.geometry }) : null;
	if (measured && !measured.ok) return measured;
	const boundaryId = measured ? newId() : null;
	const field = newField(context, {
		id,
		name: input.name,
		code: input.code ?? null,
		mappedHa: input.mappedHa ?? null,
		mappedSource: input.mappedHa ? 'entered by hand' : null,
		boundaryId,
	});
	const typedM2 = input.measuredHa === undefined ? null : toSquareMetres(input.measuredHa);
	await addField(tx, typedM2 === null || boundaryId ? field : { ...field, loadForBasis: 'typed', loadForM2: typedM2 });
	if (measured && boundaryId && input.geometry) {
		const rest = {
			id: boundaryId,
			fieldId: id,
			crs: 'EPSG:4326',
			gridScalePpm: null,
			source: 'entered by hand',
			takenOn: today,
			now,
		};
		await addBoundary(tx, boundaryRow(measured.value, input.geometry, rest));
	}
	if (typedM2 !== null) {
		await addMeasurement(tx, {
			id: newId(),
			fieldId: id,
			kind: 'typed',
			areaM2: typedM2,
			sigmaM2: null,
			takenOn: today,
			source: 'entered by hand',
			jobId: null,
			createdAt: now,
		});
	}
	return ok({ id });
}

type FieldChanges = {
	readonly id: string;
	readonly version: number;
	readonly name?: string | undefined;
	readonly code?: string | null | undefined;
	readonly mappedHa?: number | null | undefined;
	readonly mappedSource?: string | null | undefined;
	readonly mappedOn?: string | null | undefined;
};

export async function updateField(context: CommandContext, input: FieldChanges): Promise<Result<FieldDetail>> {
	const found = await fieldAt(context, input);
	if (!found.ok) return found;
	const before = found.value.field;
	const next = { ...before };
	if (input.name !== undefined) next.name = input.name;
	if (input.code !== undefined) next.code = input.code;
	if (input.mappedSource !== undefined) next.mappedSource = input.mappedSource;
	if (input.mappedOn !== undefined) next.mappedOn = input.mappedOn;
	if (input.mappedHa !== undefined) {
		next.mappedM2 = input.mappedHa === null ? null : toSquareMetres(input.mappedHa);
		next.mappedStepM2 =
			input.mappedHa === null ? null : toSquareMetres(Math.min(stepOf([input.mappedHa]), USUAL_STEP_HA));
	}
	return saved(context, before, next);
}

type AreaChoice = {
	readonly id: string;
	readonly version: number;
	readonly basis: 'boundary' | 'mapped' | 'typed' | 'sprayed';
	readonly areaHa?: number | undefined;
	readonly why: string;
};

/** The user decides which area is loaded for; the reason is kept. */
export async function chooseArea(context: CommandContext, input: AreaChoice): Promise<Result<FieldDetail>> {
	const found = await fieldAt(context, input);
	if (!found.ok) return found;
	const { field: before, boundary } = found.value;
	const { basis, areaHa, why } = input;
	if (basis === 'boundary' && !boundary)
		return refuse('input.invalid', { path: 'basis', why: 'this field has no boundary' });
	if (basis === 'mapped' && before.mappedM2 === null) {
		return refuse('input.invalid', { path: 'basis', why: 'this field has no mapped area' });
	}
	const figure = basis === 'typed' || basis === 'sprayed';
	if (figure && areaHa === undefined)
		return refuse('input.invalid', { path: 'areaHa', why: `${basis} needs the figure` });
	const next = {
		...before,
		loadForBasis: basis,
		loadForM2: figure && areaHa !== undefined ? toSquareMetres(areaHa) : null,
		loadForWhy: why,
	};
	return saved(context, before, next);
}

type Figure = {
	readonly id: string;
	readonly kind: 'typed' | 'sprayed';
	readonly areaHa: number;
	readonly sigmaHa?: number | undefined;
	readonly on?: string | undefined;
	readonly source: string;
};

export async function addFigure(context: CommandContext, input: Figure): Promise<Result<FieldDetail>> {
	const { tx, farm, now, newId } = context;
	const season = seasonNow(context);
	if (!(await findField(tx, input.id, season))) return refuse('not.found', { what: 'field', id: input.id });
	await addMeasurement(tx, {
		id: newId(),
		fieldId: input.id,
		kind: input.kind,
		areaM2: toSquareMetres(input.areaHa),
		sigmaM2: input.sigmaHa === undefined ? null : toSquareMetres(input.sigmaHa),
		takenOn: input.on ?? toLocalDate(now, farm.zone),
		source: input.source,
		jobId: null,
		createdAt: now,
	});
	return detailOf(tx, input.id, season);
}

type NewStrip = {
	readonly id: string;
	readonly kind: 'strip' | 'obstacle';
	readonly label: string;
	readonly widthM?: number | undefined;
	readonly edges?: readonly { part?: number | undefined; ring: number; edge: number }[] | undefined;
	readonly areaHa?: number | undefined;
};

/** A strip comes from its edges and width, or by its area; an obstacle by its area. */
export async function addStripTo(context: CommandContext, input: NewStrip): Promise<Result<FieldDetail>> {
	const { tx, now, newId } = context;
	const season = seasonNow(context);
	const row = await findField(tx, input.id, season);
	if (!row) return refuse('not.found', { what: 'field', id: input.id });
	const drawn = await drawnStrip(tx, input, row.strips);
	if (!drawn.ok) return drawn;
	const { areaM2, geometry } = drawn.value;
	const others = row.strips.reduce((sum, strip) => sum + strip.areaM2, 0);
	if (row.boundary && areaM2 + others >= row.boundary.areaM2) {
		return refuse('strip.nothingLeft', {
			leftOutM2: Math.round(areaM2 + others),
			measuredM2: Math.round(row.boundary.areaM2),
		});
	}
	await addStrip(tx, {
		id: newId(),
		fieldId: input.id,
		kind: input.kind,
		label: input.label,
		widthM: input.widthM ?? null,
		areaM2,
		geometry,
		createdAt: now,
		removedAt: null,
		removedWhy: null,
	});
	return detailOf(tx, input.id, season);
}

async function drawnStrip(
	tx: ReadDb,
	input: NewStrip,
	others: readonly StripStored[],
): Promise<Result<{ areaM2: number; geometry: string | null }>> {
	if (input.areaHa !== undefined) return ok({ areaM2: toSquareMetres(input.areaHa), geometry: null });
	const geometry = await currentGeometry(tx, input.id);
	if (!input.edges || input.edges.length === 0 || input.widthM === undefined || !geometry) {
		return refuse('input.invalid', { path: 'edges', why: 'name edges of the boundary and a width, or give the area' });
	}
	const rings = Map.groupBy(input.edges, ({ part = 0, ring }) => `${part}/${ring}`);
	const strip = noSprayStrip({
		boundary: JSON.parse(geometry) as Geometry,
		label: input.label,
		along: [...rings.values()].map((edges) => ({
			part: edges[0]?.part ?? 0,
			ring: edges[0]?.ring ?? 0,
			edges: edges.map(({ edge }) => edge),
		})),
		widthM: input.widthM,
		without: others.flatMap((other) => (other.geometry ? [JSON.parse(other.geometry) as Geometry] : [])),
	});
	if (!strip.ok) return strip;
	if (strip.value.areaM2 <= 0) {
		return refuse('input.invalid', { path: 'edges', why: 'this ground is left out already' });
	}
	return ok({ areaM2: strip.value.areaM2, geometry: strip.value.geometry && JSON.stringify(strip.value.geometry) });
}

export async function takeStripOff(
	context: CommandContext,
	input: { id: string; stripId: string; why: string },
): Promise<Result<FieldDetail>> {
	const season = seasonNow(context);
	const row = await findField(context.tx, input.id, season);
	if (!row?.strips.some(({ id }) => id === input.stripId))
		return refuse('not.found', { what: 'strip', id: input.stripId });
	await removeStrip(context.tx, input.stripId, context.now, input.why);
	return detailOf(context.tx, input.id, season);
}

type Crop = {
	readonly id: string;
	readonly season: number;
	readonly crop: string;
	readonly eppoCode?: string | undefined;
	readonly variety?: string | undefined;
	readonly sownOn?: string | undefined;
	readonly harvestOn?: string | undefined;
};

export async function setCrop(context: CommandContext, input: Crop): Promise<Result<FieldDetail>> {
	const season = seasonNow(context);
	if (!(await findField(context.tx, input.id, season))) return refuse('not.found', { what: 'field', id: input.id });
	await saveCropping(context.tx, {
		id: context.newId(),
		fieldId: input.id,
		season: input.season,
		crop: input.crop,
		eppoCode: input.eppoCode ?? null,
		variety: input.variety ?? null,
		sownOn: input.sownOn ?? null,
		harvestOn: input.harvestOn ?? null,
		version: 1,
	});
	return detailOf(context.tx, input.id, season);
}

function seasonNow({ farm, now }: CommandContext): number {
	return seasonOf(toLocalDate(now, farm.zone), farm.seasonStartMonth);
}

async function fieldAt(
	context: CommandContext,
	{ id, version }: { id: string; version: number },
): Promise<Result<FieldWithFigures>> {
	const row = await findField(context.tx, id, seasonNow(context));
	if (!row) return refuse('not.found', { what: 'field', id });
	if (row.field.version !== version) return refuse('row.changed', { what: row.field.name });
	return ok(row);
}

async function saved(context: CommandContext, before: FieldStored, next: FieldStored): Promise<Result<FieldDetail>> {
	invariant(before.id === next.id, 'a field keeps its id');
	await saveField(context.tx, next);
	context.note({ table: 'field', id: before.id, before, after: next });
	return detailOf(context.tx, before.id, seasonNow(context));
}
