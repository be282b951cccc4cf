/** Rings of x, y, x, y … as GeoJSON. */
import type { MultiPolygon, Polygon, Position } from 'geojson';
import type { PackedRings } from './boundary-text.ts';
import type { RawPolygon, Ring } from './layer.ts';

/** A polygon where there is one part, else a multipolygon. */
export function geometryOf(polygons: readonly RawPolygon[]): Polygon | MultiPolygon {
	const coordinates = polygons.map((polygon) => polygon.map(positionsOf));
	const [only] = coordinates;
	return coordinates.length === 1 && only
		? { type: 'Polygon', coordinates: only }
		: { type: 'MultiPolygon', coordinates };
}

/** The rings of a packed boundary, not copied. */
export function polygonsOf({ rings, points }: PackedRings): RawPolygon[] {
	let at = 0;
	return rings.map((polygon) =>
		polygon.map((count) => {
			const from = at;
			at += count * 2;
			return points.subarray(from, at);
		}),
	);
}

function positionsOf(ring: Ring): Position[] {
	const positions: Position[] = [];
	for (let at = 0; at < ring.length; at += 2) positions.push([ring[at] ?? Number.NaN, ring[at + 1] ?? Number.NaN]);
	return positions;
}
