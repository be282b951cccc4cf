/** KML: placemarks with polygons, always WGS 84 longitude and latitude (OGC 12-007r2). Read as a stream; no entity is expanded. */
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { readNumber, uniqueNames } from './dbf-table.ts';
import type { Attribute, AttributeKind, AttributeValue, RawLayer, RawPolygon, RawRecord, Ring } from './layer.ts';
import { wgs84 } from './layer.ts';
import { importLimits } from './limits.ts';
import { readXml } from './xml.ts';

type Placemark = {
	readonly rings: { outer: boolean; ring: Ring }[][];
	readonly data: Map<string, string>;
	other: string | null;
};

/** The elements whose text is wanted; all other text is dropped as it comes. */
const WITH_TEXT = new Set(['name', 'coordinates', 'value', 'SimpleData']);
const LONGEST_VALUE = 10_000;

/** Opens KML text. Refuses `file.damaged` for broken XML, `file.notBoundaries` for other XML, `file.noFields` without polygons. */
export function openKml(file: string, name: string, text: string, encoding: string): Result<RawLayer> {
	const placemarks: Placemark[] = [];
	const kinds = new Map<string, AttributeKind>();
	let title = '';
	let placemark: Placemark | null = null;
	let outer = true;
	let dataName = '';
	const fault = readXml(text, WITH_TEXT, {
		open(tag, attributes, path) {
			if (path.length === 1 && tag !== 'kml') return `its root is <${tag}>, not <kml>`;
			if (tag === 'Placemark') {
				placemark = { rings: [], data: new Map(), other: null };
				placemarks.push(placemark);
				if (placemarks.length > importLimits.records) return 'too many';
			} else if (tag === 'Polygon') placemark?.rings.push([]);
			else if (tag === 'outerBoundaryIs') outer = true;
			else if (tag === 'innerBoundaryIs') outer = false;
			else if (tag === 'Data' || tag === 'SimpleData') dataName = attributes['name'] ?? '';
			else if (tag === 'SimpleField')
				kinds.set(
					attributes['name'] ?? '',
					/int|short|float|double/.test(attributes['type'] ?? '') ? 'number' : 'text',
				);
			else if (/^(Point|LineString|Track|Model)$/.test(tag) && placemark) placemark.other ??= tag;
			return null;
		},
		close(tag, content, path) {
			const parent = path.at(-2);
			if (tag === 'Placemark') placemark = null;
			else if (tag === 'name' && parent === 'Placemark') placemark?.data.set('name', content.trim());
			else if (tag === 'name' && parent === 'Document' && title === '') title = content.trim();
			else if (tag === 'coordinates' && parent === 'LinearRing')
				placemark?.rings.at(-1)?.push({ outer, ring: readCoordinates(content) });
			else if ((tag === 'value' && parent === 'Data') || tag === 'SimpleData')
				placemark?.data.set(dataName, content.trim().slice(0, LONGEST_VALUE));
			return null;
		},
	});
	if (fault === 'too many')
		return refuse('file.tooBig', { file, why: `it holds more than ${importLimits.records} boundaries` });
	if (fault?.startsWith('its root'))
		return refuse('file.notBoundaries', { file, why: `it is XML, but not KML: ${fault}` });
	if (fault) return refuse('file.damaged', { file, why: fault });
	if (!placemarks.some(({ rings }) => rings.length > 0)) {
		return refuse('file.noFields', {
			file,
			why: placemarks.length === 0 ? 'it holds no placemarks' : 'its placemarks are points or lines, not areas',
		});
	}
	const attributes = attributesOf(placemarks, kinds);
	if (attributes.length > importLimits.attributes)
		return refuse('file.tooBig', { file, why: `its placemarks have ${attributes.length} properties` });
	return ok({
		name: title || name,
		clue: wgs84,
		encoding,
		attributes,
		warnings: [],
		records: () => readRecords(placemarks, attributes),
	});
}

function* readRecords(placemarks: readonly Placemark[], attributes: readonly Attribute[]): Generator<RawRecord> {
	for (const [index, { rings, data, other }] of placemarks.entries()) {
		const polygons = rings.map(
			(polygon): RawPolygon =>
				[...polygon.filter((each) => each.outer), ...polygon.filter((each) => !each.outer)].map(({ ring }) => ring),
		);
		const values = attributes.map(({ name, kind }): AttributeValue => {
			const text = data.get(name) ?? '';
			return text === '' ? null : kind === 'number' ? (readNumber(text) ?? text) : text;
		});
		const refused = polygons.length > 0 ? null : `it is not an area (${other ?? 'no geometry'})`;
		yield { record: index + 1, polygons, values, refused };
	}
}

/** "lon,lat[,height] lon,lat …"; some writers put spaces around the commas. */
function readCoordinates(text: string): Ring {
	const tuples = text
		.replace(/\s*,\s*/g, ',')
		.split(/\s+/)
		.filter((tuple) => tuple !== '');
	const ring = new Float64Array(tuples.length * 2);
	for (const [index, tuple] of tuples.entries()) {
		const [x, y] = tuple.split(',');
		ring.set([Number(x || Number.NaN), Number(y || Number.NaN)], index * 2);
	}
	return ring;
}

function attributesOf(placemarks: readonly Placemark[], kinds: ReadonlyMap<string, AttributeKind>): Attribute[] {
	const names = new Set(placemarks.flatMap(({ data }) => [...data.keys()]));
	const unique = uniqueNames([...names]);
	return unique.map((name) => ({ name, kind: kinds.get(name) ?? 'text' }));
}
