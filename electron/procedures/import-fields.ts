import { basename } from 'node:path';
import type { z } from 'zod';
import {
	addBoundaries,
	addFields,
	type BoundaryStored,
	currentGeometry,
	type FieldStored,
	type FieldWithFigures,
	saveField,
} from '../../db/modules/fields.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { AreaUnit, fieldsContract, ImportReport } from '../../shared/contract/fields.ts';
import { mappedAreasAreOf, stepOfFigures } from '../../shared/core/geometry/planar-scale.ts';
import { M2_PER_UNIT, toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { type BoundaryFile, type BoundaryRecord, readBoundaryFile } from '../files/boundary-file.ts';
import { readBoundaryText } from '../files/boundary-text.ts';
import { guessAttributes } from '../files/guess-attributes.ts';
import { carryStripsOver, warningsOf } from './carry-strips.ts';
import { toLocalDate } from './clock.ts';
import { nearestFirst } from './crs-distance.ts';
import { boundaryRow, newField } from './fields.ts';
import type { CommandContext, QueryContext, Transact } from './handler.ts';
import { comparison, type GoodRecord, type Match, matchRegister } from './match-register.ts';
import { idMaker } from './perform.ts';

type ImportInput = z.output<(typeof fieldsContract.import)['~orpc']['inputSchema'] & z.ZodType>;
type Unit = z.output<typeof AreaUnit>;
type Warning = ImportReport['warnings'][number];

type Chosen = {
	readonly name: string | null;
	readonly code: string | null;
	readonly mappedArea: string | null;
	readonly unit: Unit | null;
};

type Sorted = {
	readonly good: readonly GoodRecord[];
	readonly refused: ImportReport['refused'];
	readonly warnings: readonly Warning[];
};

const LONGEST_NAME = 200;

/**
 * Brings in a boundary file: reads it in a process of its own, measures every record, and writes the good ones in one
 * transaction. Bad records are refused by number and name; what the file leaves unsaid is asked by a refusal with choices.
 */
export async function importFields(
	context: QueryContext,
	input: ImportInput,
	transact: Transact,
): Promise<Result<ImportReport>> {
	const { layer, crs, encoding } = input;
	const read = await readBoundaryFile(input.path, { layer, crs, encoding });
	if (!read.ok) return { ok: false, problem: await nearestFirst(context.db, read.problem) };
	const file = read.value;
	const chosen = chooseAttributes(file, input);
	if (!chosen.ok) return chosen;
	const step = mappedStep(file, chosen.value);
	const sorted = sortRecords(file, chosen.value);
	const report = (added: ImportReport['added'], updated: ImportReport['updated']): ImportReport => ({
		added,
		updated,
		refused: sorted.refused,
		warnings: [...sorted.warnings],
		file: {
			...aboutFile(input.path, file, chosen.value, sorted.good),
			gridScalePpm: scaleOfMapped(file, sorted.good, step),
		},
	});
	if (sorted.good.length === 0 && sorted.refused.length === 0) {
		return refuse('file.noFields', { file: basename(input.path), why: 'it has no records' });
	}
	if (input.dryRun) {
		const matches = await matchRegister(context.db, sorted.good);
		const nextId = idMaker(context.now);
		return ok(
			report(
				sorted.good
					.filter((row) => !matches.has(row.record))
					.map((row) => ({ ...shown(row, nextId()), geometry: readBoundaryText(row.boundary) })),
				sorted.good.flatMap((row) => {
					const match = matches.get(row.record);
					const geometry = readBoundaryText(row.boundary);
					if (!match) return [];
					const name = nameAfter(row, match);
					return [{ ...shown(row, match.found.field.id), name, ...comparison(match), geometry }];
				}),
			),
		);
	}
	return transact((command) => write(command, { file, sorted, step, path: input.path, report }));
}

type Writing = {
	readonly file: BoundaryFile;
	readonly sorted: Sorted;
	readonly step: number | null;
	readonly path: string;
	readonly report: (added: ImportReport['added'], updated: ImportReport['updated']) => ImportReport;
};

async function write(
	context: CommandContext,
	{ file, sorted, step, path, report }: Writing,
): Promise<Result<ImportReport>> {
	const { tx, farm, now, newId, note } = context;
	const matches = await matchRegister(tx, sorted.good);
	const takenOn = toLocalDate(now, farm.zone);
	const source = basename(path);
	const gridScalePpm = scaleOfMapped(file, sorted.good, step);
	const added: ImportReport['added'] = [];
	const updated: ImportReport['updated'] = [];
	const fields: FieldStored[] = [];
	const boundaries: BoundaryStored[] = [];
	const warnings: Warning[] = [];
	for (const row of sorted.good) {
		const match = matches.get(row.record);
		const { name, code, mappedHa } = row;
		const [id, boundaryId] = [match?.found.field.id ?? newId(), newId()];
		const mapped =
			mappedHa === null ? {} : { mappedM2: toSquareMetres(mappedHa), mappedStepM2: step, mappedSource: source };
		if (match) {
			const before = match.found.field;
			const next = { ...before, name: nameAfter(row, match), code: code ?? before.code, boundaryId, ...mapped };
			if (match.found.strips.length > 0) warnings.push(...(await carryOver(context, match.found, row)));
			await saveField(tx, next);
			note({ table: 'field', id, before, after: next });
			updated.push({ ...shown(row, id), name: next.name, ...comparison(match) });
		} else {
			const empty = newField(context, { id, name, code, mappedHa: null, mappedSource: null, boundaryId });
			fields.push({ ...empty, ...mapped });
			added.push(shown(row, id));
		}
		const rest = { id: boundaryId, fieldId: id, crs: file.crs.name, gridScalePpm, source, takenOn, now };
		boundaries.push(boundaryRow(row.measured, row.boundary, rest));
	}
	await addFields(tx, fields);
	await addBoundaries(tx, boundaries);
	const done = report(added, updated);
	return ok({ ...done, warnings: [...done.warnings, ...warnings] });
}

/** Strips and obstacles follow the boundary; what could not be placed for certain is named. */
async function carryOver(context: CommandContext, { field, boundary, strips }: FieldWithFigures, row: GoodRecord) {
	const lay = await currentGeometry(context.tx, field.id);
	const before = lay ? readBoundaryText({ geoJson: lay }) : null;
	const areas = { before: boundary?.areaM2 ?? 0, after: toSquareMetres(row.measured.areaHa) };
	const carried = await carryStripsOver(context, { strips, before, after: readBoundaryText(row.boundary) }, areas);
	return warningsOf(carried, field.name);
}

/** A file without names leaves the register's. */
function nameAfter({ name, named }: GoodRecord, { found }: Match): string {
	return named ? name : found.field.name;
}

function shown({ record, name, code, measured, mappedHa }: GoodRecord, id: string): ImportReport['added'][number] {
	const { areaHa, perimeterM, vertexCount } = measured;
	return { id, record, name, code, measuredHa: areaHa, mappedHa, perimeterM, vertexCount };
}

/** Which attributes hold name, code and mapped area: what the user said, else the guess. */
function chooseAttributes(file: BoundaryFile, input: ImportInput): Result<Chosen> {
	const known = new Set(file.attributes.map(({ name }) => name));
	for (const attribute of [input.nameAttribute, input.codeAttribute, input.mappedAreaAttribute]) {
		if (attribute !== undefined && !known.has(attribute)) {
			return refuse('file.attributeUnknown', {
				file: file.file,
				attribute,
				attributes: [...known],
				choices: [...known],
			});
		}
	}
	const areas = file.records.map(({ measured }) => measured?.areaHa ?? null);
	const guess = guessAttributes(file, areas, input.mappedAreaAttribute);
	const mappedArea = input.mappedAreaAttribute ?? guess.mappedArea;
	const unit = input.mappedAreaUnit ?? guess.mappedAreaUnit;
	if (input.mappedAreaAttribute && unit === null) {
		return refuse('file.areaUnitUnclear', {
			file: file.file,
			attribute: input.mappedAreaAttribute,
			choices: Object.keys(M2_PER_UNIT),
		});
	}
	return ok({
		name: input.nameAttribute ?? guess.name,
		code: input.codeAttribute ?? guess.code,
		mappedArea: unit === null ? null : mappedArea,
		unit: mappedArea === null ? null : unit,
	});
}

/** The step the mapped figures were rounded to, in m²: with it, rounding explains a difference before anything else does. */
function mappedStep(file: BoundaryFile, { mappedArea, unit }: Chosen): number | null {
	if (!mappedArea || !unit) return null;
	const figures = file.records.map((record) => numberOf(record.properties[mappedArea]));
	const step = stepOfFigures(figures.filter((figure) => figure !== null));
	return step === null ? null : step * M2_PER_UNIT[unit];
}

/** How far the plane of the file's grid is from the ground, where the mapped areas are areas on that plane; else null. */
function scaleOfMapped(file: BoundaryFile, good: readonly GoodRecord[], step: number | null): number | null {
	if (file.gridScalePpm === undefined) return null;
	const plane = new Map(file.records.map(({ record, planarAreaM2 }) => [record, planarAreaM2]));
	const fields = good.flatMap(({ record, measured, mappedHa }) => {
		const planeM2 = plane.get(record);
		if (planeM2 === undefined || mappedHa === null) return [];
		return [{ planeHa: toHectares(planeM2), groundHa: measured.areaHa, mappedHa }];
	});
	return mappedAreasAreOf(fields, toHectares(step ?? 0)) === 'plane' ? file.gridScalePpm : null;
}

function sortRecords(file: BoundaryFile, chosen: Chosen): Sorted {
	const good: GoodRecord[] = [];
	const refused: ImportReport['refused'] = [];
	const warnings: Warning[] = file.warnings.map(({ code, message, record }) => ({
		code,
		message,
		...(record === undefined ? {} : { record: String(record) }),
	}));
	for (const record of file.records) {
		const name = nameOf(record, chosen.name, warnings);
		const named = chosen.name !== null && textOf(record.properties[chosen.name]) !== null;
		const { measured, boundary } = record;
		if (!boundary || !measured) {
			refused.push({ record: record.record, name, reason: record.refused ?? 'it has no boundary' });
			continue;
		}
		for (const { kind, say } of record.findings) {
			warnings.push({ code: `boundary.${kind}`, message: `${name}: ${say}`, record: String(record.record) });
		}
		const figure = chosen.mappedArea ? numberOf(record.properties[chosen.mappedArea]) : null;
		const mappedHa =
			figure !== null && figure > 0 && chosen.unit ? toHectares(figure * M2_PER_UNIT[chosen.unit]) : null;
		if (chosen.mappedArea && mappedHa === null) {
			const message = `${name}: the mapped area in ${chosen.mappedArea} is ${figure ?? 'missing'}; the field comes in without one`;
			warnings.push({ code: 'area.mappedMissing', message, record: String(record.record) });
		}
		const code = chosen.code ? textOf(record.properties[chosen.code]) : null;
		good.push({
			record: record.record,
			name,
			named,
			code: code?.slice(0, 60) ?? null,
			boundary,
			measured,
			mappedHa,
		});
	}
	warnings.push(...sharedGround(file, good), ...equalNames(good));
	return { good, refused, warnings };
}

function nameOf(record: BoundaryRecord, attribute: string | null, warnings: Warning[]): string {
	const text = attribute ? textOf(record.properties[attribute]) : null;
	if (!text) return `Field ${record.record}`;
	if (text.length <= LONGEST_NAME) return text;
	const message = `The name of record ${record.record} has ${text.length} characters; the first ${LONGEST_NAME} are kept`;
	warnings.push({ code: 'name.shortened', message, record: String(record.record) });
	return text.slice(0, LONGEST_NAME);
}

function sharedGround({ overlaps }: BoundaryFile, good: readonly GoodRecord[]): Warning[] {
	const byRecord = new Map(good.map((row) => [row.record, row]));
	return overlaps.map(({ one, other, m2, same }) => {
		const names = `${byRecord.get(one)?.name} (record ${one}) and ${byRecord.get(other)?.name} (record ${other})`;
		const message = same
			? `${names} have the same boundary: the same ground is counted twice`
			: `${names} share ${Math.round(m2)} m² of ground`;
		return { code: same ? 'field.duplicate' : 'field.overlap', message, record: String(other) };
	});
}

function equalNames(good: readonly GoodRecord[]): Warning[] {
	const groups = Map.groupBy(good, ({ name }) => name.trim().toLowerCase());
	return [...groups.values()]
		.filter((rows) => rows.length > 1 && rows.length <= 20)
		.map((rows) => ({
			code: 'name.repeated',
			message: `${rows.length} records are named “${rows[0]?.name}”; they stay separate fields`,
			record: rows.map(({ record }) => record).join(', '),
		}));
}

function aboutFile(
	path: string,
	file: BoundaryFile,
	chosen: Chosen,
	good: readonly GoodRecord[],
): Omit<ImportReport['file'], 'gridScalePpm'> {
	const { datum, shiftUsed, residualM } = file.crs;
	const shift = shiftUsed ? `, ${datum} by ${shiftUsed}${residualM === undefined ? '' : `, about ${residualM} m`}` : '';
	return {
		name: basename(path),
		layer: file.layer,
		crs: `${file.crs.name}${shift}`,
		encoding: file.encoding,
		records: file.records.length,
		attributes: file.attributes.map(({ name, kind, samples }) => ({ name, kind, samples: samples.map(String) })),
		nameAttribute: chosen.name,
		codeAttribute: chosen.code,
		mappedAreaAttribute: chosen.mappedArea,
		mappedAreaUnit: chosen.unit,
		totalHa: good.reduce((sum, { measured }) => sum + measured.areaHa, 0),
	};
}

function numberOf(value: string | number | null | undefined): number | null {
	if (typeof value === 'number') return Number.isFinite(value) ? value : null;
	if (typeof value !== 'string' || value.trim() === '') return null;
	const figure = Number(value.trim().replace(',', '.'));
	return Number.isFinite(figure) ? figure : null;
}

function textOf(value: string | number | null | undefined): string | null {
	const text = value === null || value === undefined ? '' : String(value).trim();
	return text === '' ? null : text;
}
