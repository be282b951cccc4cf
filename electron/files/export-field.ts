/** A field as every exported file gives it. Areas are different values: each file says which is which. */
import type { Hectares, Metres } from '../../shared/units/quantity.ts';

export type Position = readonly number[];
/** GeoJSON, WGS 84, longitude first. */
export type ExportGeometry =
	| { readonly type: 'Polygon'; readonly coordinates: readonly (readonly Position[])[] }
	| { readonly type: 'MultiPolygon'; readonly coordinates: readonly (readonly (readonly Position[])[])[] };

export type ExportField = {
	readonly name: string;
	readonly code: string | null;
	readonly mappedHa: Hectares | null;
	readonly measuredHa: Hectares | null;
	readonly loadForHa: Hectares | null;
	readonly crop: string | null;
	readonly eppoCode: string | null;
	readonly geometry: ExportGeometry | null;
	readonly leftOut: readonly LeftOut[];
};

/** A no-spray strip or an obstacle; one that is only counted has no geometry. */
export type LeftOut = {
	readonly kind: 'strip' | 'obstacle';
	readonly label: string;
	readonly areaHa: Hectares;
	readonly widthM: Metres | null;
	readonly geometry: ExportGeometry | null;
};

/** Every ring closed, outer rings turning one way and their holes the other, as each format asks for it. */
export function turnedParts(geometry: ExportGeometry, outer: 'clockwise' | 'counter-clockwise'): Position[][][] {
	const parts = geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates;
	return parts.map((rings) =>
		rings.map((ring, index) => {
			const points = closed(ring);
			const wanted = (outer === 'clockwise') === (index === 0);
			return turnsClockwise(points) === wanted ? points : points.toReversed();
		}),
	);
}

function closed(ring: readonly Position[]): Position[] {
	const points = ring.map(([lon = 0, lat = 0]) => [lon, lat]);
	const [first, last] = [points[0], points.at(-1)];
	if (first && last && (first[0] !== last[0] || first[1] !== last[1])) points.push([...first]);
	return points;
}

/** Steps over the 180th meridian count as the short way round. */
function turnsClockwise(ring: readonly Position[]): boolean {
	const [, firstLat = 0] = ring[0] ?? [];
	let twice = 0;
	for (const [index, [lon = 0, lat = 0]] of ring.entries()) {
		const [nextLon = lon, nextLat = lat] = ring[index + 1] ?? [];
		const east = ((nextLon - lon + 540) % 360) - 180;
		twice += east * (lat + nextLat - 2 * firstLat);
	}
	return twice > 0;
}
