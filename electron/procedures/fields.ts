import {
	addBoundary,
	addField,
	addMeasurement,
	currentBoundaries,
	type FieldStored,
	type FieldWithFigures,
	findField,
	laidStrips,
	listCropping,
	listFields,
	measurementsOf,
	saveCropping,
	saveField,
	saveOverlap,
} from '../../db/modules/fields.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldDetail, FieldRow } from '../../shared/contract/fields.ts';
import { stepOfFigures } from '../../shared/core/geometry/planar-scale.ts';
import { type Measured, measure } from '../../shared/core/geometry/polygon-area.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import type { BoundaryText } from '../files/boundary-text.ts';
import { boundingBox } from './boundary-figures.ts';
import { toLocalDate } from './clock.ts';
import { detailOf, type Geometry, registerRow } from './field-register.ts';
import type { CommandContext, QueryContext } from './handler.ts';

/** A single figure may have lost its trailing zeros: registers show two decimals. Common practice. */
const USUAL_STEP_HA = 0.01;

/** The register of this season. */
export async function listRegister({ db, farm, now }: QueryContext): Promise<Result<FieldRow[]>> {
	const today = toLocalDate(now, farm.zone);
	const rows = await listFields(db, seasonOf(today, farm.seasonStartMonth), { farmedAfter: today });
	return ok(rows.map((row) => registerRow(row)));
}

export async function listBoundaries({ db }: QueryContext) {
	const rows = await currentBoundaries(db);
	const laid = Map.groupBy(await laidStrips(db), ({ fieldId }) => fieldId);
	const leftOut = (fieldId: string) =>
		(laid.get(fieldId) ?? []).map(({ id, kind, label, areaM2, geometry }) => ({
			id,
			kind: kind === 'strip' ? ('strip' as const) : ('obstacle' as const),
			label,
			areaHa: toHectares(areaM2),
			geometry: JSON.parse(geometry) as Geometry,
		}));
	return ok(
		rows.map(({ id, name, geometry }) => ({
			id,
			name,
			geometry: JSON.parse(geometry) as Geometry,
			leftOut: leftOut(id),
		})),
	);
}

export async function getField({ db, farm, now }: QueryContext, { id }: { id: string }): Promise<Result<FieldDetail>> {
	return detailOf(db, id, seasonOf(toLocalDate(now, farm.zone), farm.seasonStartMonth));
}

/** A measured boundary as a row of the register's history. */
export function boundaryRow(
	measured: Measured,
	boundary: BoundaryText,
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
	const { geoJson, ...box } = boundary;
	return {
		...named,
		geometry: geoJson,
		areaM2: toSquareMetres(measured.areaHa),
		sigmaM2: toSquareMetres(measured.areaSigmaHa),
		perimeterM: measured.perimeterM,
		vertexCount: measured.vertexCount,
		...box,
		createdAt: now,
	};
}

/** A boundary that came as GeoJSON, as the books keep it. */
export function textOfBoundary({ type, coordinates }: Geometry): BoundaryText {
	return { geoJson: JSON.stringify({ type, coordinates }), ...boundingBox(coordinates) };
}

function typedStep(mappedHa: number): number {
	return toSquareMetres(Math.min(stepOfFigures([mappedHa]) ?? USUAL_STEP_HA, USUAL_STEP_HA));
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
		mappedStepM2: mappedHa === null ? null : typedStep(mappedHa),
		mappedSource,
		mappedOn: null,
		boundaryId,
		loadForBasis: null,
		loadForM2: null,
		loadForWhy: null,
		createdAt: context.now,
		version: 1,
		retiredOn: null,
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
		await addBoundary(tx, boundaryRow(measured.value, textOfBoundary(input.geometry), rest));
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
		next.mappedStepM2 = input.mappedHa === null ? null : typedStep(input.mappedHa);
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
	readonly kind: 'typed' | 'sprayed' | 'machine';
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
		kind: input.kind === 'machine' ? 'sprayed' : input.kind,
		areaM2: toSquareMetres(input.areaHa),
		sigmaM2: input.sigmaHa === undefined ? null : toSquareMetres(input.sigmaHa),
		takenOn: input.on ?? toLocalDate(now, farm.zone),
		source: input.source,
		jobId: null,
		createdAt: now,
		withOverlap: input.kind === 'machine' ? 1 : null,
	});
	return detailOf(tx, input.id, season);
}

type Overlap = { readonly id: string; readonly measurementId: string; readonly withOverlap: boolean };

/** Keeps machine area apart from treated ground; the figure itself stays as it was reported. */
export async function setOverlap(context: CommandContext, input: Overlap): Promise<Result<FieldDetail>> {
	const { tx, note } = context;
	const figures = await measurementsOf(tx, input.id);
	const found = figures.find(({ id, kind }) => id === input.measurementId && kind === 'sprayed');
	if (!found) return refuse('not.found', { what: 'reported area', id: input.measurementId });
	const { id, withOverlap: before } = found;
	await saveOverlap(tx, id, input.withOverlap);
	note({
		table: 'field_measurement',
		id,
		before: { withOverlap: before },
		after: { withOverlap: input.withOverlap ? 1 : 0 },
	});
	return detailOf(tx, input.id, seasonNow(context));
}

type Crop = {
	readonly id: string;
	readonly season: number;
	readonly crop: string;
	readonly eppoCode?: string | undefined;
	readonly variety?: string | undefined;
	readonly sownOn?: string | undefined;
	readonly harvestOn?: string | undefined;
	readonly codeForAlike: boolean;
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
	if (input.codeForAlike) await codeAlike(context, input);
	return detailOf(context.tx, input.id, season);
}

/** The same crop on other fields has the same code; one that was entered stays. */
async function codeAlike({ tx, note }: CommandContext, { season, crop, eppoCode }: Crop): Promise<void> {
	for (const row of await listCropping(tx, season)) {
		if (!eppoCode || row.crop !== crop || row.eppoCode !== null) continue;
		await saveCropping(tx, { ...row, eppoCode });
		note({ table: 'cropping', id: row.id, before: { eppoCode: null }, after: { eppoCode } });
	}
}

/** The harvest year of today. */
export function seasonNow({ farm, now }: Pick<CommandContext, 'farm' | 'now'>): number {
	return seasonOf(toLocalDate(now, farm.zone), farm.seasonStartMonth);
}

/** A field that is farmed, at the version the user saw. */
export async function fieldAt(
	context: CommandContext,
	{ id, version }: { id: string; version: number },
): Promise<Result<FieldWithFigures>> {
	const row = await findField(context.tx, id, seasonNow(context));
	if (!row) return refuse('not.found', { what: 'field', id });
	if (row.field.version !== version) return refuse('row.changed', { what: row.field.name });
	if (row.field.retiredOn) return refuse('fields.retired', { field: row.field.name, on: row.field.retiredOn });
	return ok(row);
}

async function saved(context: CommandContext, before: FieldStored, next: FieldStored): Promise<Result<FieldDetail>> {
	invariant(before.id === next.id, 'a field keeps its id');
	await saveField(context.tx, next);
	context.note({ table: 'field', id: before.id, before, after: next });
	return detailOf(context.tx, before.id, seasonNow(context));
}
