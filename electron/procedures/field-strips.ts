import { addStrip, currentGeometry, findField, removeStrip, type StripStored } from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldDetail } from '../../shared/contract/fields.ts';
import { noSprayStrip } from '../../shared/core/geometry/no-spray-strip.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import { detailOf, type Geometry } from './field-register.ts';
import { seasonNow } from './fields.ts';
import type { CommandContext } from './handler.ts';

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
	const after = { removedAt: context.now, removedWhy: input.why };
	context.note({ table: 'field_strip', id: input.stripId, before: { removedAt: null, removedWhy: null }, after });
	return detailOf(context.tx, input.id, season);
}
