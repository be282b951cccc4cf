/**
 * The EPSG code in a name of a reference system, or null: `EPSG:27700`, `urn:ogc:def:crs:EPSG:9.9:27700`,
 * `http://www.opengis.net/def/crs/EPSG/0/27700`, `27700`; `CRS84` is WGS 84.
 */
export function epsgOf(name: string): number | null {
	const text = name.trim();
	if (/CRS:?84$/i.test(text)) return 4326;
	const bare = text
		.replace(/^urn:(?:x-)?(?:ogc:)?def:crs:EPSG:[\d.]*:/i, '')
		.replace(/^https?:\/\/www\.opengis\.net\/(?:def\/crs\/EPSG\/[\d.]+\/|gml\/srs\/epsg\.xml#)/i, '')
		.replace(/^EPSG:+/i, '');
	return /^\d{4,6}$/.test(bare) ? Number(bare) : null;
}
