declare module 'shpjs' {
	import type { MultiPolygon, Polygon } from 'geojson';
	/** Geometries of a .shp; without a projection its coordinates come as they are. */
	export function parseShp(bytes: Uint8Array): (Polygon | MultiPolygon | null)[];
}
