/** The register as GeoJSON (RFC 7946): WGS 84, outer rings counter-clockwise, coordinates as they are on the books. */
import { type ExportField, turnedParts } from './export-field.ts';

/** One feature a line, so that two exports can be compared by eye. A field without a boundary has a null geometry. */
export function fieldsAsGeoJson(fields: readonly ExportField[]): string {
	const features = fields.map(({ geometry, mappedHa, measuredHa, loadForHa, eppoCode, ...said }) =>
		JSON.stringify({
			type: 'Feature',
			properties: {
				name: said.name,
				code: said.code,
				mapped_ha: mappedHa,
				measured_ha: measuredHa,
				load_ha: loadForHa,
				crop: said.crop,
				eppo_code: eppoCode,
			},
			geometry: geometry && geometryOf(geometry),
		}),
	);
	return `{"type":"FeatureCollection","features":[\n${features.join(',\n')}\n]}\n`;
}

function geometryOf(geometry: NonNullable<ExportField['geometry']>) {
	const parts = turnedParts(geometry, 'counter-clockwise');
	return geometry.type === 'Polygon'
		? { type: 'Polygon', coordinates: parts[0] }
		: { type: 'MultiPolygon', coordinates: parts };
}
