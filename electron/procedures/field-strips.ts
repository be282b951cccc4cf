import {
	addStrip,
	currentGeometry,
	type FieldWithFigures,
	findField,
	removeStrip,
	type StripStored,
} from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldDetail } from '../../shared/contract/fields.ts';
import {
	type LeftOut,
	noSprayStrip,
	obstacleGround,
	type StripEdges,
} from '../../shared/core/geometry/no-spray-strip.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { detailOf, type Geometry } from './field-register.ts';
import { seasonNow } from './fields.ts';
import type { CommandContext } from './handler.ts';

type Edges = readonly { part?: number | undefined; ring: number; edge: number }[];
type Ground = { areaHa: number; geometry: Geometry | null };

type NewStrip = {
	readonly id: string;
	readonly kind: 'strip' | 'obstacle';
	readonly label: string;
	readonly widthM?: number | undefined;
	readonly edges?: Edges | undefined;
	readonly geometry?: Geometry | undefined;
	readonly areaHa?: number | undefined;
};

/** A strip comes from its edges and width, an obstacle from its shape, either from its area. */
export async function addStripTo(context: CommandContext, input: NewStrip): Promise<Result<FieldDetail>> {
	const { tx, now, newId } = context;
	const season = seasonNow(context);
	const row = await findField(tx, input.id, season);
	if (!row) return refuse('not.found', { what: 'field', id: input.id });
	const drawn = input.geometry
		? await drawnObstacle(tx, input, input.geometry, row)
		: await drawnStrip(tx, input, row.strips);
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

async function drawnObstacle(
	tx: ReadDb,
	{ id, kind, label }: NewStrip,
	shape: Geometry,
	{ field, strips }: FieldWithFigures,
): Promise<Result<{ areaM2: number; geometry: string | null }>> {
	if (kind !== 'obstacle') {
		return refuse('input.invalid', {
			path: 'geometry',
			why: 'only an obstacle is drawn; a strip is named by its edges',
		});
	}
	const boundary = await currentGeometry(tx, id);
	if (!boundary) return refuse('fields.noBoundary', { field: field.name });
	const taken = obstacleGround(JSON.parse(boundary) as Geometry, [shape], groundOf(strips));
	if (!taken.ok) return taken;
	const { areaM2, geometry } = taken.value;
	if (!geometry || areaM2 <= 0) return refuse('obstacle.noGround', { label, field: field.name });
	return ok({ areaM2, geometry: JSON.stringify(geometry) });
}

function groundOf(strips: readonly StripStored[]): Geometry[] {
	return strips.flatMap(({ geometry }) => (geometry ? [JSON.parse(geometry) as Geometry] : []));
}

/** What of a field's ground an obstacle would take up. */
export function obstacleArea(input: {
	boundary: Geometry;
	obstacle: Geometry;
	without: readonly Geometry[];
}): Result<Ground> {
	return shown(obstacleGround(input.boundary, [input.obstacle], input.without));
}

/** What of a field's ground a strip would take up. */
export function stripArea(input: {
	boundary: Geometry;
	edges: Edges;
	widthM: number;
	without: readonly Geometry[];
}): Result<Ground> {
	return shown(noSprayStrip({ ...input, label: 'the strip', along: byRing(input.edges) }));
}

function shown(ground: Result<LeftOut>): Result<Ground> {
	if (!ground.ok) return ground;
	const { areaM2, geometry } = ground.value;
	return ok({ areaHa: toHectares(areaM2), geometry: geometry as Geometry | null });
}

function byRing(edges: Edges): StripEdges[] {
	return [...Map.groupBy(edges, ({ part = 0, ring }) => `${part}/${ring}`).values()].map((named) => ({
		part: named[0]?.part ?? 0,
		ring: named[0]?.ring ?? 0,
		edges: named.map(({ edge }) => edge),
	}));
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
	const strip = noSprayStrip({
		boundary: JSON.parse(geometry) as Geometry,
		label: input.label,
		along: byRing(input.edges),
		widthM: input.widthM,
		without: groundOf(others),
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
	const after = { removedAt: context.now, removedWhy: input.why };
	context.note({ table: 'field_strip', id: input.stripId, before: { removedAt: null, removedWhy: null }, after });
	return detailOf(context.tx, input.id, season);
}

/** A row of this moment in place of the one noted for an earlier boundary; that one stays in the book. */
export async function keepStripAsItIs(
	context: CommandContext,
	input: { id: string; stripId: string },
): Promise<Result<FieldDetail>> {
	const { tx, now, newId, note } = context;
	const season = seasonNow(context);
	const row = await findField(tx, input.id, season);
	const strip = row?.strips.find(({ id }) => id === input.stripId);
	if (!strip) return refuse('not.found', { what: 'strip', id: input.stripId });
	const why = 'looked at: it holds for the boundary in force';
	await removeStrip(tx, strip.id, now, why);
	const id = newId();
	await addStrip(tx, { ...strip, id, createdAt: now });
	note({ table: 'field_strip', id: strip.id, before: { removedWhy: null }, after: { id, removedWhy: why } });
	return detailOf(tx, input.id, season);
}
