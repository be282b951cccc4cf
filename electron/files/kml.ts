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
	if (!/<(\w+:)?kml\b/.test(text.slice(0, 4096)))
		return refuse('file.notBoundaries', { file, why: 'it is XML, but not KML' });
	const reading: Reading = { placemarks: [], kinds: new Map(), titles: [] };
	const fault = readPlacemarks(text, reading);
	if (fault) return refuse('file.damaged', { file, why: fault });
	const { placemarks, kinds, titles } = reading;
	if (placemarks.length > importLimits.records) {
		return refuse('file.tooBig', { file, why: `it holds more than ${importLimits.records} boundaries` });
	}
	if (!placemarks.some(({ rings }) => rings.length > 0)) {
		const why = placemarks.length === 0 ? 'it holds no placemarks' : 'its placemarks are points or lines, not areas';
		return refuse('file.noFields', { file, why });
	}
	const attributes = attributesOf(placemarks, kinds);
	if (attributes.length > importLimits.attributes) {
		return refuse('file.tooBig', { file, why: `its placemarks have ${attributes.length} properties` });
	}
	return ok({
		name: titles[0] || name,
		clue: wgs84,
		encoding,
		attributes,
		warnings: [],
		records: () => readRecords(placemarks, attributes),
	});
}

type Reading = {
	readonly placemarks: Placemark[];
	readonly kinds: Map<string, AttributeKind>;
	readonly titles: string[];
};

function readPlacemarks(text: string, { placemarks, kinds, titles }: Reading): string | null {
	let outer = true;
	let column = '';
	return readXml(text, WITH_TEXT, {
		open(tag, { name = '', type = '' }) {
			if (tag === 'Placemark') placemarks.push({ rings: [], data: new Map(), other: null });
			const placemark = placemarks.at(-1);
			if (tag === 'Polygon') placemark?.rings.push([]);
			else if (tag === 'outerBoundaryIs' || tag === 'innerBoundaryIs') outer = tag === 'outerBoundaryIs';
			else if (tag === 'Data' || tag === 'SimpleData') column = name;
			else if (tag === 'SimpleField') kinds.set(name, /int|short|float|double/.test(type) ? 'number' : 'text');
			else if (/^(Point|LineString|Track|Model)$/.test(tag) && placemark) placemark.other ??= tag;
			return null;
		},
		close(tag, content, path) {
			const [parent, placemark] = [path.at(-2), placemarks.at(-1)];
			if (tag === 'name' && parent === 'Placemark') placemark?.data.set('name', content.trim());
			else if (tag === 'name' && parent === 'Document') titles.push(content.trim());
			else if (tag === 'coordinates' && parent === 'LinearRing')
				placemark?.rings.at(-1)?.push({ outer, ring: readCoordinates(content) });
			else if ((tag === 'value' && parent === 'Data') || tag === 'SimpleData')
				placemark?.data.set(column, content.trim().slice(0, LONGEST_VALUE));
			return null;
		},
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
