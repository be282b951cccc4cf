/** The register as GeoJSON (RFC 7946): WGS 84, outer rings counter-clockwise, coordinates as they are on the books. */
import { type ExportField, type ExportGeometry, turnedParts } from './export-field.ts';
import { KIND_WORDS, OF_FIELD } from './left-out.ts';

/**
 * One feature a line, so that two exports can be compared by eye. A field without a boundary has a null geometry. Strips and
 * obstacles follow their field, told apart by `kind`.
 */
export function fieldsAsGeoJson(fields: readonly ExportField[]): string {
	const features = fields.flatMap((field) => [
		feature(field.geometry, {
			kind: 'field',
			name: field.name,
			code: field.code,
			mapped_ha: field.mappedHa,
			measured_ha: field.measuredHa,
			load_ha: field.loadForHa,
			crop: field.crop,
			eppo_code: field.eppoCode,
		}),
		...field.leftOut.map(({ kind, label, areaHa, widthM, geometry }) =>
			feature(geometry, {
				kind: KIND_WORDS[kind],
				name: label,
				[OF_FIELD]: field.name,
				left_out_ha: areaHa,
				width_m: widthM,
			}),
		),
	]);
	return `{"type":"FeatureCollection","features":[\n${features.join(',\n')}\n]}\n`;
}

function feature(
	geometry: ExportGeometry | null,
	properties: Readonly<Record<string, string | number | null>>,
): string {
	return JSON.stringify({ type: 'Feature', properties, geometry: geometry && geometryOf(geometry) });
}

function geometryOf(geometry: ExportGeometry) {
	const parts = turnedParts(geometry, 'counter-clockwise');
	return geometry.type === 'Polygon'
		? { type: 'Polygon', coordinates: parts[0] }
		: { type: 'MultiPolygon', coordinates: parts };
}
