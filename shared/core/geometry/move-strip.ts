import { ok, type Result } from '../../basics/result.ts';
import type { Metres } from '../../units/quantity.ts';
import { type Part, type Position, readBoundary, type UncheckedGeometry } from './boundary.ts';
import { distanceTo } from './edge-meetings.ts';
import { distance } from './laid-boundary.ts';
import { type LocalPlane, type PlanePoint, planeOf } from './local-plane.ts';
import { type LeftOut, noSprayStrip, type StripEdges } from './no-spray-strip.ts';

/** A side of a boundary drawn anew is the same side while it lies this near: digitising error, not another line. Common practice. */
const SAME_SIDE_M = 3;
/** A strip's outer line lies on the boundary it was made for, to the rounding of its points. */
const ON_LINE_M = 0.05;
/** Made again from its sides, a strip must come out as it was; the moved one along sides about as long. */
const SAME_AREA = 0.01;
const SAME_LENGTH = 0.1;
/** Where along a side it is looked at. */
const SAMPLES = [0.1, 0.3, 0.5, 0.7, 0.9] as const;

export type StripToMove = {
	/** The boundary the strip was made for, and the one drawn since. */
	readonly from: UncheckedGeometry;
	readonly to: UncheckedGeometry;
	readonly strip: UncheckedGeometry;
	readonly areaM2: number;
	readonly widthM: Metres;
	readonly label: string;
	/** Ground left out before this strip, as it lay and as it lies. */
	readonly withoutBefore: readonly UncheckedGeometry[];
	readonly without: readonly UncheckedGeometry[];
};

/**
 * A no-spray strip along the same sides of a boundary that was drawn anew.
 *
 * The sides it was made for are those of the old boundary that its outer line follows; made again from them it must come
 * out as it was. The new sides are those within 3 m of them. Null where that cannot be told: the side has moved farther,
 * is gone, or is much longer or shorter.
 * Refuses `geometry.invalid`.
 */
export function moveStrip(move: StripToMove): Result<LeftOut | null> {
	const [from, to, strip] = [readBoundary(move.from), readBoundary(move.to), readBoundary(move.strip)];
	if (!from.ok) return from;
	if (!to.ok) return to;
	if (!strip.ok) return strip;
	const plane = planeOf(from.value);
	const outline = sidesOf(strip.value, plane);
	const along = sidesOf(from.value, plane).filter((side) => liesAlong(side, outline, ON_LINE_M));
	const { label, widthM, areaM2, withoutBefore, without } = move;
	// A short side within the strip's width of a chosen one is covered by it without having been chosen.
	const chosen = [along, along.filter((side) => side.lengthM > widthM)].find((sides) => {
		const again = noSprayStrip({ boundary: move.from, label, widthM, along: edgesOf(sides), without: withoutBefore });
		return again.ok && Math.abs(again.value.areaM2 - areaM2) <= SAME_AREA * areaM2;
	});
	if (!chosen) return ok(null);
	const sides = sidesOf(to.value, plane).filter((side) => liesAlong(side, chosen, SAME_SIDE_M));
	const [before, after] = [lengthOf(chosen), lengthOf(sides)];
	if (sides.length === 0 || Math.abs(after - before) > SAME_LENGTH * before) return ok(null);
	return noSprayStrip({ boundary: move.to, label, widthM, along: edgesOf(sides), without });
}

type Side = {
	readonly part: number;
	readonly ring: number;
	readonly edge: number;
	readonly from: PlanePoint;
	readonly to: PlanePoint;
	readonly lengthM: Metres;
};

function sidesOf(parts: readonly Part[], plane: LocalPlane): Side[] {
	return parts.flatMap((rings, part) =>
		rings.flatMap((positions, ring) =>
			positions.map((position: Position, edge): Side => {
				const from = plane.toPlane(position);
				const to = plane.toPlane(positions[(edge + 1) % positions.length] ?? position);
				return { part, ring, edge, from, to, lengthM: distance(from, to) };
			}),
		),
	);
}

function liesAlong({ from, to }: Side, lines: readonly Side[], withinM: Metres): boolean {
	return SAMPLES.every((share) => {
		const point = { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) };
		return lines.some((line) => distanceTo(line, point) <= withinM);
	});
}

function edgesOf(sides: readonly Side[]): StripEdges[] {
	return sides.map(({ part, ring, edge }) => ({ part, ring, edges: [edge] }));
}

function lengthOf(sides: readonly Side[]): Metres {
	return sides.reduce((sum, { lengthM }) => sum + lengthM, 0);
}
