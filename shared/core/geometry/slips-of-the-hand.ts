import type { Position, Ring } from './boundary.ts';
import { SAME_POINT_M } from './laid-boundary.ts';
import type { LocalPlane, PlanePoint } from './local-plane.ts';

/** A tip sharper than this, with both sides longer than `SPIKE_SIDE_M`, is a slip of the hand. Common practice. */
export const SPIKE_TANGENT = Math.tan((1 * Math.PI) / 180);
export const SPIKE_SIDE_M = 1;
/** No machine works ground narrower than this: a wider tip may be the field's own. Common practice. */
const SPIKE_WIDTH_M = 0.5;
/** More spikes than this are no slips of the hand. Common practice. */
const MOST_SPIKES = 100;

/** A corner with the two before and after it on the plane: twice the triangle's area and the sides' product along. */
export function tipAt(before: PlanePoint, point: PlanePoint, after: PlanePoint) {
	const [x1, y1, x2, y2] = [before.x - point.x, before.y - point.y, after.x - point.x, after.y - point.y];
	const cross = Math.abs(x1 * y2 - y1 * x2);
	const along = x1 * x2 + y1 * y2;
	const [side1, side2] = [Math.sqrt(x1 * x1 + y1 * y1), Math.sqrt(x2 * x2 + y2 * y2)];
	const isSpike = Math.min(side1, side2) >= SPIKE_SIDE_M && along > 0 && cross <= along * SPIKE_TANGENT;
	return { isSpike, m2: cross / 2, widthM: cross / Math.max(side1, side2) };
}

/**
 * A ring without points that repeat and without spikes less than half a metre wide; fewer than three points where nothing
 * is left of it.
 */
export function withoutSlips(ring: Ring, plane: LocalPlane): { ring: Ring; did: string[]; left: string[] } {
	const points = ring.map((position) => ({ position, ...plane.toPlane(position) }));
	let kept = withoutRepeats(points);
	const repeats = points.length - kept.length;
	let cut = 0;
	for (
		let found = kept.findIndex(narrowSpike);
		found >= 0 && kept.length >= 3 && cut < MOST_SPIKES;
		found = kept.findIndex(narrowSpike)
	) {
		kept = withoutRepeats(kept.toSpliced(found, 1));
		cut++;
	}
	const wide = kept.filter((point, index) => tipAt(at(kept, index - 1), point, at(kept, index + 1)).isSpike).length;
	return {
		ring: kept.map(({ position }) => position),
		did: [
			...(repeats > 0 ? [repeats === 1 ? 'a repeated point dropped' : `${repeats} repeated points dropped`] : []),
			...(cut > 0 ? [cut === 1 ? 'a spike cut off' : `${cut} spikes cut off`] : []),
		],
		left: [
			...(cut === MOST_SPIKES ? [`it has ${MOST_SPIKES} spikes or more: that is no slip of the hand`] : []),
			...(cut < MOST_SPIKES && wide > 0
				? [`a sharp tip more than ${SPIKE_WIDTH_M} m wide may be the field’s own`]
				: []),
		],
	};
}

type Placed = PlanePoint & { readonly position: Position };

function narrowSpike(point: Placed, index: number, ring: readonly Placed[]): boolean {
	const { isSpike, widthM } = tipAt(at(ring, index - 1), point, at(ring, index + 1));
	return isSpike && widthM < SPIKE_WIDTH_M;
}

function withoutRepeats(ring: readonly Placed[]): Placed[] {
	const kept: Placed[] = [];
	for (const point of ring) if (!isSame(kept[kept.length - 1], point)) kept.push(point);
	while (kept.length > 1 && isSame(kept[0], kept[kept.length - 1])) kept.pop();
	return kept;
}

function isSame(one: PlanePoint | undefined, other: PlanePoint | undefined): boolean {
	return one !== undefined && other !== undefined && Math.hypot(one.x - other.x, one.y - other.y) < SAME_POINT_M;
}

function at(ring: readonly Placed[], index: number): PlanePoint {
	return ring.at(index === ring.length ? 0 : index) ?? { x: 0, y: 0 };
}
