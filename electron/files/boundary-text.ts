/** A boundary as the books keep it: GeoJSON text, and the box around it in degrees. */

export type BoundaryText = {
	readonly geoJson: string;
	readonly west: number;
	readonly south: number;
	readonly east: number;
	readonly north: number;
};

/** `rings` lists, per polygon, the number of points of each ring; `points` all longitudes and latitudes in that order. */
export type PackedRings = { readonly rings: readonly (readonly number[])[]; readonly points: Float64Array };

/** A polygon where there is one part, else a multipolygon. */
export function boundaryText({ rings, points }: PackedRings): BoundaryText {
	let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
	let at = 0;
	const positions = (count: number): number[][] => {
		const ring: number[][] = [];
		for (let point = 0; point < count; point++, at += 2) {
			const [lon = Number.NaN, lat = Number.NaN] = [points[at], points[at + 1]];
			if (lon < west) west = lon;
			if (lon > east) east = lon;
			if (lat < south) south = lat;
			if (lat > north) north = lat;
			ring.push([lon, lat]);
		}
		return ring;
	};
	const parts = rings.map((polygon) => polygon.map(positions));
	const geometry =
		parts.length === 1 ? { type: 'Polygon', coordinates: parts[0] } : { type: 'MultiPolygon', coordinates: parts };
	return { geoJson: JSON.stringify(geometry), west, south, east, north };
}

export function readBoundaryText({ geoJson }: Pick<BoundaryText, 'geoJson'>): {
	type: 'Polygon' | 'MultiPolygon';
	coordinates: unknown[];
} {
	return JSON.parse(geoJson);
}
