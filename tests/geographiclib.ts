import geographiclib from 'geographiclib-geodesic';
import type { Geometry } from 'geojson';

const wgs84 = geographiclib.Geodesic.WGS84;

/** Area and perimeter by GeographicLib (Karney 2013), each ring's absolute area, outer rings minus holes. */
export function areaByGeographicLib(geometry: Geometry): { areaHa: number; perimeterM: number; vertexCount: number } {
	if (geometry.type !== 'Polygon' && geometry.type !== 'MultiPolygon') throw new Error(`no boundary: ${geometry.type}`);
	const parts = geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates;
	let areaM2 = 0;
	let perimeterM = 0;
	let vertexCount = 0;
	for (const rings of parts) {
		for (const [index, ring] of rings.entries()) {
			const polygon = wgs84.Polygon(false);
			const open = ring.slice(0, -1);
			for (const [lon = 0, lat = 0] of open) polygon.AddPoint(lat, lon);
			const { area, perimeter } = polygon.Compute(false, true);
			if (area === undefined) throw new Error('no area');
			areaM2 += (index === 0 ? 1 : -1) * Math.abs(area);
			perimeterM += perimeter;
			vertexCount += open.length;
		}
	}
	return { areaHa: areaM2 / 10_000, perimeterM, vertexCount };
}

/** The point a distance and azimuth (degrees) from another, by GeographicLib. */
export function pointFrom([lon, lat]: readonly [number, number], azimuth: number, distanceM: number): [number, number] {
	const { lat2, lon2 } = wgs84.Direct(lat, lon, azimuth, distanceM);
	if (lat2 === undefined || lon2 === undefined) throw new Error('no point');
	return [lon2, lat2];
}

/** Distance and azimuth of a line, by GeographicLib. */
export function lineBetween(
	[fromLon, fromLat]: readonly [number, number],
	[toLon, toLat]: readonly [number, number],
): { lengthM: number; azimuth: number } {
	const { s12, azi1 } = wgs84.Inverse(fromLat, fromLon, toLat, toLon);
	if (s12 === undefined || azi1 === undefined) throw new Error('no line');
	return { lengthM: s12, azimuth: azi1 };
}
