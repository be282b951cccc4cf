import { type BoundaryGeometry, readBoundary, type UncheckedGeometry } from './boundary.ts';
import { planeOf } from './local-plane.ts';
import { joined, regionOf, subtract, toGeometry } from './plane-region.ts';
import { repairBoundary } from './repair-boundary.ts';

/**
 * A boundary without the ground of others: what is left, without slivers less than half a metre wide; null where nothing
 * is. Boundaries that cannot be read take nothing away.
 */
export function cutAway(geometry: UncheckedGeometry, others: readonly UncheckedGeometry[]): BoundaryGeometry | null {
	const boundary = readBoundary(geometry);
	if (!boundary.ok) return null;
	const plane = planeOf(boundary.value);
	const taken = others.flatMap((other) => {
		const read = readBoundary(other);
		return read.ok ? regionOf(read.value, plane) : [];
	});
	const left = toGeometry(subtract(regionOf(boundary.value, plane), joined(taken)), plane);
	return left && (repairBoundary(left).geometry ?? left);
}
