import type { Metres } from '../../units/quantity.ts';
import { type BoundaryGeometry, type Part, readBoundary, type UncheckedGeometry } from './boundary.ts';
import { shoelace } from './laid-boundary.ts';
import { type LocalPlane, planeOf } from './local-plane.ts';
import { regionArea, regionOf } from './plane-region.ts';
import { withoutSlips } from './slips-of-the-hand.ts';
import { untangle } from './untangle.ts';

/** A boundary put right: what was done to it, and what was left because it is not known what was meant. */
export type BoundaryRepair = {
	/** Null where nothing was safe to do. */
	readonly geometry: BoundaryGeometry | null;
	readonly did: readonly string[];
	readonly left: readonly string[];
};

/** Mean width (2 × area ÷ perimeter) below which a part is no field: no machine works it. Common practice. */
export const SLIVER_WIDTH_M = 0.5;
/** Said of a boundary that is a sliver itself. */
export const WHOLE_SLIVER = 'it is a sliver, and nothing would be left of it';

/**
 * What can safely be put right in a boundary: where only one ground can have been meant.
 *
 * In this order: points that repeat are dropped; spikes narrower than half a metre are cut off; rings that cross themselves
 * are taken apart into their loops (`untangle` says when that is not safe); parts narrower than half a metre are dropped
 * where others remain. Never touched: a boundary that is a sliver itself (nothing would be left), parts far apart (they may
 * be two fields), coordinates that are no numbers (where the point was, nobody knows), holes across an outer boundary.
 * Corners that are not concerned keep their coordinates to the last digit, but for untangled ones: those within 0.1 mm.
 */
export function repairBoundary(geometry: UncheckedGeometry): BoundaryRepair {
	const boundary = readBoundary(geometry);
	if (!boundary.ok) return { geometry: null, did: [], left: [] };
	const plane = planeOf(boundary.value);
	const did: string[] = [];
	const left: string[] = [];
	const cleaned = boundary.value.map((rings) =>
		rings.map((ring) => {
			const slips = withoutSlips(ring, plane);
			did.push(...slips.did);
			left.push(...slips.left);
			return slips.ring;
		}),
	);
	const sound = cleaned.flatMap(([outer, ...holes]) =>
		outer && outer.length >= 3 ? [[outer, ...holes.filter((hole) => hole.length >= 3)]] : [],
	);
	if (sound.length === 0) return { geometry: null, did: [], left: ['nothing would be left of it'] };
	const untangled = untangle(sound, plane);
	did.push(...untangled.did);
	left.push(...untangled.left);
	const kept = untangled.parts.filter((part) => meanWidth(part, plane, untangled.plain) >= SLIVER_WIDTH_M);
	const dropped = untangled.parts.length - kept.length + boundary.value.length - sound.length;
	if (kept.length === 0) return { geometry: null, did: [], left: [WHOLE_SLIVER] };
	if (dropped > 0)
		did.push(`${dropped === 1 ? 'a part' : `${dropped} parts`} less than ${SLIVER_WIDTH_M} m wide dropped`);
	return { geometry: did.length === 0 ? null : geometryOf(kept), did: counted(did), left: counted(left) };
}

function meanWidth(part: Part, plane: LocalPlane, plain: boolean): Metres {
	const points = (part[0] ?? []).map(plane.toPlane);
	const perimeter = points.reduce((sum, { x, y }, index) => {
		const next = points[(index + 1) % points.length] ?? { x, y };
		return sum + Math.hypot(next.x - x, next.y - y);
	}, 0);
	// What one ring that meets itself nowhere encloses needs no drawing.
	const m2 = plain && part.length === 1 ? Math.abs(shoelace(points)) : regionArea(regionOf([part], plane));
	return perimeter === 0 ? 0 : (2 * m2) / perimeter;
}

function geometryOf(parts: readonly Part[]): BoundaryGeometry {
	const closed = parts.map((rings) => rings.map((ring) => [...ring, ring[0] ?? []].map((position) => [...position])));
	const [only, ...more] = closed;
	return only && more.length === 0
		? { type: 'Polygon', coordinates: only }
		: { type: 'MultiPolygon', coordinates: closed };
}

/** The same said of several rings is said once, with how often. */
function counted(sentences: readonly string[]): string[] {
	const times = Map.groupBy(sentences, (sentence) => sentence);
	return [...times].map(([sentence, { length }]) => (length === 1 ? sentence : `${sentence} (${length} times)`));
}
