import type { Polygon, Position } from 'geojson';
import { localPlane } from '../../../../../shared/core/geometry/local-plane.ts';

/** Invented fields are drawn in metres east and north of 11° E, 52° N. */
const plane = localPlane([11, 52]);

/** A point in metres as longitude and latitude. */
export function metresAt([x, y]: readonly [number, number]): Position {
	return x === 0 && y === 0 ? [11, 52] : plane.toDegrees({ x, y });
}

/** A closed ring from its corners in metres. */
export function closedRing(corners: readonly (readonly [number, number])[]): Position[] {
	const ring = corners.map(metresAt);
	return [...ring, ring[0] ?? []];
}

/** A boundary from its rings in metres, the outer ring first. */
export function polygonAt(...rings: readonly (readonly (readonly [number, number])[])[]): Polygon {
	return { type: 'Polygon', coordinates: rings.map(closedRing) };
}
