/** ISO 11783-10 task data (TASKDATA.XML): the fields of an implement bus terminal or farm office, with their boundaries in WGS 84. */
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Attribute, AttributeValue, FileWarning, RawLayer, RawPolygon, RawRecord, Ring } from './layer.ts';
import { wgs84 } from './layer.ts';
import { importLimits } from './limits.ts';
import { readXml } from './xml.ts';

/** Attribute letters are those of the standard: field A id, B code, C name, D area in m², E customer, F farm, G crop. */
type Field = { readonly given: Readonly<Record<string, string>>; readonly polygons: Line[][] };
type Line = { readonly inner: boolean; readonly points: number[] };
type Reading = {
	readonly fields: Field[];
	readonly names: Map<string, string>;
	readonly lists: string[];
	/** Names of the polygons that lie in fields and bound none. */
	readonly within: string[];
};

const columns: readonly (Attribute & { readonly from: string })[] = [
	{ name: 'name', kind: 'text', from: 'C' },
	{ name: 'code', kind: 'text', from: 'B' },
	{ name: 'area m2', kind: 'number', from: 'D' },
	{ name: 'farm', kind: 'text', from: 'F' },
	{ name: 'customer', kind: 'text', from: 'E' },
	{ name: 'crop', kind: 'text', from: 'G' },
	{ name: 'id', kind: 'text', from: 'A' },
];

/** Polygon types of a field's own boundary: 1 field boundary, 9 main field (edition 4). */
const BOUNDARY_TYPES = new Set(['1', '9']);
const OUTER = '1';
const INNER = '2';

/**
 * Opens task data. Rings of edition 3 close themselves, those of edition 4 repeat their first point; both are taken.
 * `readList` gives the text of a file that holds moved-out elements (XFR), or null.
 */
export function openTaskData(
	file: string,
	text: string,
	encoding: string,
	readList: (name: string) => string | null,
): Result<RawLayer> {
	const reading: Reading = { fields: [], names: new Map(), lists: [], within: [] };
	const fault = readElements(text, 'ISO11783_TaskData', reading);
	if (fault) return refuse('file.damaged', { file, why: fault });
	const warnings = reading.lists.flatMap((name) => {
		const list = readList(name);
		const trouble = list === null ? 'it is missing' : readElements(list, 'XFC', reading);
		return trouble
			? [{ code: 'list.notRead', message: `The fields moved out to ${name} were not read: ${trouble}.` }]
			: [];
	});
	const { fields, names, within } = reading;
	if (within.length > 0) warnings.push(withinWarning(within));
	if (fields.length > importLimits.records)
		return refuse('file.tooBig', { file, why: `it holds more than ${importLimits.records} fields` });
	if (fields.length === 0) return refuse('file.noFields', { file, why: 'its task data has no fields (PFD)' });
	return ok({
		name: 'TASKDATA',
		clue: wgs84,
		encoding,
		attributes: columns.map(({ name, kind }) => ({ name, kind })),
		warnings,
		records: () => fields.map((field, index) => recordOf(field, index + 1, names)),
	});
}

function readElements(text: string, root: string, reading: Reading): string | null {
	const { fields, names, lists, within } = reading;
	// Whether the polygon and the line that are open belong to a field's boundary.
	let [bounds, ring] = [false, false];
	return readXml(text, new Set(), {
		open(tag, given, path) {
			if (path.length === 1 && tag !== root) return `its root is <${tag}>, not <${root}>`;
			const polygons = fields.at(-1)?.polygons;
			if (tag === 'PFD') fields.push({ given, polygons: [] });
			else if (tag === 'CTR' || tag === 'FRM' || tag === 'CTP') names.set(given['A'] ?? '', given['B'] ?? '');
			else if (tag === 'XFR' && /^(PFD|CTR|FRM|CTP)\d+$/i.test(given['A'] ?? '')) lists.push(given['A'] ?? '');
			else if (tag === 'PLN') {
				bounds = path.at(-2) === 'PFD' && BOUNDARY_TYPES.has(given['A'] ?? '');
				if (bounds) polygons?.push([]);
				else if (path.at(-2) === 'PFD') within.push(given['B'] || 'one without a name');
			} else if (tag === 'LSG') {
				ring = bounds && path.at(-2) === 'PLN' && (given['A'] === OUTER || given['A'] === INNER);
				if (ring) polygons?.at(-1)?.push({ inner: given['A'] === INNER, points: [] });
			} else if (tag === 'PNT' && ring && path.at(-2) === 'LSG') {
				polygons?.at(-1)?.at(-1)?.points.push(figureOf(given['D']), figureOf(given['C']));
			}
			return null;
		},
		close(tag) {
			if (tag === 'PLN') bounds = false;
			else if (tag === 'LSG') ring = false;
			return null;
		},
	});
}

/** Strips, obstacles, zones: a field of the register has them from its own page. */
function withinWarning(names: readonly string[]): FileWarning {
	const [first] = names;
	const these = names.length === 1 ? 'One area' : `${names.length} areas`;
	const message = `${these} inside the fields (${first}${names.length > 1 ? ' and others' : ''}) came with the file and were not taken: strips and obstacles are laid on the page of their field.`;
	return { code: 'file.areasWithin', message };
}

function recordOf({ given, polygons }: Field, record: number, names: ReadonlyMap<string, string>): RawRecord {
	const values = columns.map(({ kind, from }): AttributeValue => {
		const text = given[from] ?? '';
		if (text === '') return null;
		if (kind === 'number') return Number.isFinite(Number(text)) ? Number(text) : null;
		return from === 'E' || from === 'F' || from === 'G' ? (names.get(text) ?? text) : text;
	});
	const parts = polygons.flatMap(partsOf);
	return {
		record,
		polygons: parts,
		closesItself: true,
		values,
		refused: parts.length === 0 ? 'it has no boundary (no PLN with an outer ring)' : null,
	};
}

/** One part for each outer ring; the inner rings that follow are its holes. */
function partsOf(lines: readonly Line[]): RawPolygon[] {
	const parts: Ring[][] = [];
	for (const { points } of lines.filter(({ inner }) => !inner)) parts.push([Float64Array.from(points)]);
	for (const { points } of lines.filter(({ inner }) => inner)) {
		const hole = Float64Array.from(points);
		(parts.find(([outer]) => outer && surrounds(outer, hole)) ?? parts[0])?.push(hole);
	}
	return parts;
}

/** Whether the first point of a hole lies in the ring (even–odd rule). */
function surrounds(outer: Ring, [x = Number.NaN, y = Number.NaN]: Ring): boolean {
	let inside = false;
	for (let at = 0, before = outer.length - 2; at < outer.length; before = at, at += 2) {
		const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = [outer[at], outer[at + 1], outer[before], outer[before + 1]];
		if (y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1) inside = !inside;
	}
	return inside;
}

function figureOf(text: string | undefined): number {
	return text === undefined || text.trim() === '' ? Number.NaN : Number(text);
}
