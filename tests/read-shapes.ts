import { existsSync, readFileSync } from 'node:fs';
import type { FeatureCollection, MultiPolygon, Polygon } from 'geojson';

type Shape = Polygon | MultiPolygon | null;
type Shpjs = {
	parseShp(shp: Uint8Array, prj?: string): Shape[];
	parseZip(zip: Uint8Array): Promise<FeatureCollection<Polygon | MultiPolygon>>;
};
/** The shapefile library ships no types. */
const library = 'shpjs';

/** The boundaries of a sound shapefile, zipped shapefile or GeoJSON file, in degrees; null where a record holds none. */
export async function readShapes(path: string): Promise<Shape[]> {
	if (path.endsWith('.geojson')) {
		return (JSON.parse(readFileSync(path, 'utf8')) as FeatureCollection<Polygon>).features.map((it) => it.geometry);
	}
	const { parseShp, parseZip }: Shpjs = await import(library);
	if (path.endsWith('.zip')) return (await parseZip(readFileSync(path))).features.map(({ geometry }) => geometry);
	const prj = path.replace(/\.shp$/, '.prj');
	return parseShp(readFileSync(path), existsSync(prj) ? readFileSync(prj, 'utf8') : undefined);
}
