import type { MultiPolygon, Polygon } from 'geojson';
import type { Look } from './looks.tsx';
import type { MapField, Shade } from './map-field.ts';

/** A boundary as the contract hands it over: GeoJSON whose coordinates were checked at the door. */
export type LooseBoundary = { readonly type: 'Polygon' | 'MultiPolygon'; readonly coordinates: readonly unknown[] };
export type MapShape = { readonly id: string; readonly name: string; readonly geometry: LooseBoundary };

/** A field for the map. */
export function mapField(shape: MapShape, says: string, shade: Shade | Look = 'plain'): MapField {
	return { id: shape.id, name: shape.name, says, shade, geometry: asGeometry(shape.geometry) };
}

/** The one place where a checked boundary gets its full type back. */
export function asGeometry(boundary: LooseBoundary): Polygon | MultiPolygon {
	return boundary as unknown as Polygon | MultiPolygon;
}
