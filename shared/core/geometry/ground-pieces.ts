import type { SquareMetres } from '../../units/quantity.ts';
import { type Part, readBoundary } from './boundary.ts';
import { type LocalPlane, planeOf } from './local-plane.ts';
import { findOverlaps, type OverlapField } from './overlap.ts';
import { type PlaneRegion, regionArea, regionOf, shared, subtract } from './plane-region.ts';

/** A piece of ground that lies in one field or in several, and what share of the field it is. */
export type GroundPiece = { readonly piece: number; readonly share: number };
/** The pieces of each field that shares ground with another; a field that shares none is not in it. */
export type GroundPieces = ReadonlyMap<string, readonly GroundPiece[]>;

/** Smaller pieces are slips between edges drawn twice. Common practice. */
const LEAST_PIECE_M2 = 1;

/**
 * The ground of fields that lie over each other (a field and the parts it was split into, the fields that were merged and
 * what they became, part fields drawn over one another) cut into pieces that each lie wholly in or out of every field.
 *
 * Fields that cannot be measured are passed over.
 */
export function groundPieces(fields: readonly OverlapField[]): GroundPieces {
	const pieces = new Map<string, GroundPiece[]>();
	let count = 0;
	for (const family of familiesOf(fields)) {
		for (const { inside } of cutUp(family)) {
			for (const [id, share] of inside) {
				pieces.set(id, [...(pieces.get(id) ?? []), { piece: count, share }]);
			}
			count++;
		}
	}
	return pieces;
}

/**
 * Ground that some passes cover, each hectare once.
 *
 *   Σ over pieces of the largest pass, a pass lying evenly on its field
 *
 * A field without pieces is one piece. Takes the area of each pass on its field, m².
 */
export function groundOnce(
	passes: readonly { readonly fieldId: string; readonly areaM2: SquareMetres }[],
	pieces: GroundPieces,
): SquareMetres {
	const largest = new Map<string | number, SquareMetres>();
	for (const { fieldId, areaM2 } of passes) {
		for (const { piece, share } of pieces.get(fieldId) ?? [{ piece: fieldId, share: 1 }]) {
			largest.set(piece, Math.max(largest.get(piece) ?? 0, areaM2 * share));
		}
	}
	return [...largest.values()].reduce((sum, area) => sum + area, 0);
}

/** Fields that share ground, directly or over others. */
function familiesOf(fields: readonly OverlapField[]): OverlapField[][] {
	const heads = new Map<string, string>();
	const headOf = (id: string): string => {
		const above = heads.get(id);
		return above === undefined ? id : headOf(above);
	};
	for (const { one, other } of findOverlaps(fields)) {
		const [first, second] = [headOf(one), headOf(other)];
		if (first !== second) heads.set(second, first);
	}
	return [...Map.groupBy(fields, ({ id }) => headOf(id)).values()].filter((family) => family.length > 1);
}

type Piece = { readonly ground: PlaneRegion; readonly inside: ReadonlyMap<string, number> };

function cutUp(family: readonly OverlapField[]): Piece[] {
	const read = family.flatMap(({ id, geometry }): { id: string; parts: readonly Part[] }[] => {
		const boundary = readBoundary(geometry);
		return boundary.ok ? [{ id, parts: boundary.value }] : [];
	});
	const plane: LocalPlane = planeOf(read.flatMap(({ parts }) => parts));
	let pieces: { ground: PlaneRegion; fields: string[] }[] = [];
	for (const { id, parts } of read) {
		let rest = regionOf(parts, plane);
		const next: typeof pieces = [];
		for (const { ground, fields } of pieces) {
			next.push({ ground: shared(ground, rest), fields: [...fields, id] }, { ground: subtract(ground, rest), fields });
			rest = subtract(rest, ground);
		}
		pieces = [...next, { ground: rest, fields: [id] }].filter(({ ground }) => regionArea(ground) >= LEAST_PIECE_M2);
	}
	const totals = new Map<string, number>();
	for (const { ground, fields } of pieces) {
		for (const id of fields) totals.set(id, (totals.get(id) ?? 0) + regionArea(ground));
	}
	return pieces.map(({ ground, fields }) => ({
		ground,
		inside: new Map(fields.map((id) => [id, regionArea(ground) / (totals.get(id) ?? 1)])),
	}));
}
