/**
 * The register as ISO 11783-10 task data, version 3, which terminals of both editions read: fields (PFD) with their
 * boundaries, the crops they name and the farm. Attributes only, machine-made from the office (data transfer origin 1).
 */
import { zipSync } from 'fflate';
import { toSquareMetres } from '../../shared/units/area.ts';
import type { Hectares } from '../../shared/units/quantity.ts';
import { type ExportField, type ExportGeometry, turnedParts } from './export-field.ts';

type TaskDataOf = { readonly farm: string | null; readonly version: string };

/** Polygon types of version 3. */
const [BOUNDARY, OBSTACLE, OTHER] = ['1', '6', '8'] as const;
/** The most letters a designator or a field's number may have. */
const DESIGNATOR = 32;
/** The largest area a field may state, in m². */
const LARGEST_M2 = 2 ** 32 - 2;
/** A hundredth of a millimetre on the ground. */
const DEGREE_DECIMALS = 10;

/** `TASKDATA/TASKDATA.XML` in a zip archive, dated `at`. */
export function fieldsAsTaskDataZip(fields: readonly ExportField[], made: TaskDataOf & { readonly at: Date }) {
	const xml = new TextEncoder().encode(fieldsAsTaskData(fields, made));
	return zipSync({ 'TASKDATA/TASKDATA.XML': xml }, { mtime: made.at });
}

/**
 * A field has one area (PFD D): the mapped one where there is one, as it is the figure others know the field by, else the
 * measured. The measured area stands on the polygon (PLN C). Obstacles follow as polygons of type 6, strips as type 8 (other;
 * a type for buffer zones came with version 4): only type 1 bounds the field. Names beyond 32 letters are cut, as the
 * standard asks.
 */
export function fieldsAsTaskData(fields: readonly ExportField[], { farm, version }: TaskDataOf): string {
	const crops = [...new Set(fields.flatMap(({ crop }) => (crop === null ? [] : [crop])))];
	const cropIds = new Map(crops.map((crop, index) => [crop, `CTP${index + 1}`]));
	const lines = [
		...(farm === null ? [] : [`\t${element('FRM', { A: 'FRM1', B: designator(farm) })}/>`]),
		...crops.map((crop) => `\t${element('CTP', { A: cropIds.get(crop), B: designator(crop) })}/>`),
		...fields.flatMap((field, index) => fieldLines(field, index + 1, farm !== null, cropIds)),
	];
	const root = element('ISO11783_TaskData', {
		VersionMajor: '3',
		VersionMinor: '3',
		ManagementSoftwareManufacturer: 'Fillmark',
		ManagementSoftwareVersion: version,
		DataTransferOrigin: '1',
	});
	return `<?xml version="1.0" encoding="UTF-8"?>\n${root}>\n${lines.join('\n')}\n</ISO11783_TaskData>\n`;
}

function fieldLines(
	field: ExportField,
	number: number,
	hasFarm: boolean,
	cropIds: ReadonlyMap<string, string>,
): string[] {
	const head = element('PFD', {
		A: `PFD${number}`,
		B: field.code === null ? undefined : designator(field.code),
		C: designator(field.name),
		D: squareMetres(field.mappedHa ?? field.measuredHa ?? field.loadForHa ?? 0),
		F: hasFarm ? 'FRM1' : undefined,
		G: field.crop === null ? undefined : cropIds.get(field.crop),
	});
	if (!field.geometry) return [`\t${head}/>`];
	const own = { A: BOUNDARY, C: field.measuredHa === null ? undefined : squareMetres(field.measuredHa) };
	const leftOut = field.leftOut.flatMap(({ kind, label, areaHa, geometry }) => {
		const said = { A: kind === 'obstacle' ? OBSTACLE : OTHER, B: designator(label), C: squareMetres(areaHa) };
		return geometry ? polygonLines(geometry, said) : [];
	});
	return [`\t${head}>`, ...polygonLines(field.geometry, own), ...leftOut, '\t</PFD>'];
}

function polygonLines(geometry: ExportGeometry, said: Readonly<Record<string, string | undefined>>): string[] {
	const rings = turnedParts(geometry, 'counter-clockwise').flatMap((part) =>
		part.map((ring, index) => {
			// A ring closes itself in this version: the first point is not repeated.
			const points = ring
				.slice(0, -1)
				.map(([lon = 0, lat = 0]) => element('PNT', { A: '2', C: degrees(lat), D: degrees(lon) }));
			return `\t\t\t${element('LSG', { A: index === 0 ? '1' : '2' })}>${points.map((point) => `${point}/>`).join('')}</LSG>`;
		}),
	);
	return [`\t\t${element('PLN', said)}>`, ...rings, '\t\t</PLN>'];
}

/** The beginning of an element with those of its attributes that are there. */
function element(tag: string, attributes: Readonly<Record<string, string | undefined>>): string {
	const written = Object.entries(attributes).flatMap(([name, value]) =>
		value === undefined ? [] : [` ${name}="${escaped(value)}"`],
	);
	return `<${tag}${written.join('')}`;
}

function designator(text: string): string {
	return [...text.toWellFormed()].slice(0, DESIGNATOR).join('').trimEnd();
}

function squareMetres(areaHa: Hectares): string {
	return String(Math.min(LARGEST_M2, Math.round(toSquareMetres(areaHa))));
}

/** Without zeros at the end; never `-0`. */
function degrees(value: number): string {
	return String(Number(value.toFixed(DEGREE_DECIMALS)) + 0).replace(/^.*e.*$/, (small) =>
		Number(small).toFixed(DEGREE_DECIMALS),
	);
}

const entities: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** XML 1.0 has no place for control characters; blanks other than a space are kept by their number. */
function escaped(text: string): string {
	return (
		text
			.replace(/[&<>"]/g, (letter) => entities[letter] ?? letter)
			.replace(/[\t\n\r]/g, (blank) => `&#${blank.charCodeAt(0)};`)
			// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
			.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '\uFFFD')
	);
}
