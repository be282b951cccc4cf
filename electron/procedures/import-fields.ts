import { basename } from 'node:path';
import type { z } from 'zod';
import {
	addBoundary,
	addField,
	currentBoundaries,
	type FieldStored,
	findField,
	listFields,
	saveField,
} from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { sentenceOf } from '../../shared/basics/problem.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { AreaUnit, fieldsContract, ImportReport } from '../../shared/contract/fields.ts';
import { boundaryFindings } from '../../shared/core/geometry/boundary-checks.ts';
import { findOverlaps } from '../../shared/core/geometry/overlap.ts';
import { type Measured, measure } from '../../shared/core/geometry/polygon-area.ts';
import { M2_PER_UNIT, toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { type BoundaryFile, type BoundaryRecord, readBoundaryFile } from '../files/boundary-file.ts';
import { guessAttributes } from '../files/guess-attributes.ts';
import { boundingBox, stepOf } from './boundary-figures.ts';
import { toLocalDate } from './clock.ts';
import { boundaryRow, newField } from './fields.ts';
import type { CommandContext, QueryContext, Transact } from './handler.ts';
import { idMaker } from './perform.ts';

type ImportInput = z.output<(typeof fieldsContract.import)['~orpc']['inputSchema'] & z.ZodType>;
type Unit = z.output<typeof AreaUnit>;
type Geometry = { type: 'Polygon' | 'MultiPolygon'; coordinates: unknown[] };
type Warning = ImportReport['warnings'][number];

type Chosen = {
	readonly name: string | null;
	readonly code: string | null;
	readonly mappedArea: string | null;
	readonly unit: Unit | null;
};

type GoodRecord = {
	readonly record: number;
	readonly name: string;
	readonly code: string | null;
	readonly geometry: Geometry;
	readonly measured: Measured;
	readonly mappedHa: number | null;
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
	if (!read.ok) return read;
	const file = read.value;
	const measures = file.records.map((record) => (record.geometry ? measure({ geometry: record.geometry }) : null));
	const chosen = chooseAttributes(file, measures, input);
	if (!chosen.ok) return chosen;
	const step = mappedStep(file, chosen.value);
	const sorted = sortRecords(file, measures, chosen.value);
	const report = (added: ImportReport['added'], updated: ImportReport['updated']): ImportReport => ({
		added,
		updated,
		refused: sorted.refused,
		warnings: [...sorted.warnings],
		file: aboutFile(input.path, file, chosen.value, sorted.good),
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
					.map((row) => ({ ...shown(row, nextId()), geometry: row.geometry })),
				sorted.good.flatMap((row) => {
					const match = matches.get(row.record);
					return match ? [{ ...shown(row, match.id), ...comparison(match), geometry: row.geometry }] : [];
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
	const season = seasonOf(takenOn, farm.seasonStartMonth);
	const source = basename(path);
	const added: ImportReport['added'] = [];
	const updated: ImportReport['updated'] = [];
	for (const row of sorted.good) {
		const match = matches.get(row.record);
		const id = match?.id ?? newId();
		const boundaryId = newId();
		const mapped = {
			mappedM2: row.mappedHa === null ? null : toSquareMetres(row.mappedHa),
			mappedStepM2: row.mappedHa === null || step === null ? null : step,
		};
		if (match) {
			const before = (await findField(tx, id, season))?.field;
			invariant(before, 'a matched field is in the register');
			const next: FieldStored = {
				...before,
				name: row.name,
				code: row.code ?? before.code,
				boundaryId,
				...(row.mappedHa === null ? {} : { ...mapped, mappedSource: source }),
			};
			await saveField(tx, next);
			note({ table: 'field', id, before, after: next });
			updated.push({ ...shown(row, id), ...comparison(match) });
		} else {
			const { name, code, mappedHa } = row;
			const field = newField(context, {
				id,
				name,
				code,
				mappedHa,
				mappedSource: mappedHa === null ? null : source,
				boundaryId,
			});
			await addField(tx, { ...field, mappedStepM2: mapped.mappedStepM2 });
			added.push(shown(row, id));
		}
		const rest = {
			id: boundaryId,
			fieldId: id,
			crs: file.crs.name,
			gridScalePpm: file.gridScalePpm ?? null,
			source,
			takenOn,
			now,
		};
		await addBoundary(tx, boundaryRow(row.measured, row.geometry, rest));
	}
	return ok(report(added, updated));
}

function shown({ record, name, code, measured, mappedHa }: GoodRecord, id: string): ImportReport['added'][number] {
	const { areaHa, perimeterM, vertexCount } = measured;
	return { id, record, name, code, measuredHa: areaHa, mappedHa, perimeterM, vertexCount };
}

/** Which attributes hold name, code and mapped area: what the user said, else the guess. */
function chooseAttributes(
	file: BoundaryFile,
	measures: readonly (Result<Measured> | null)[],
	input: ImportInput,
): Result<Chosen> {
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
	const areas = measures.map((measured) => (measured?.ok ? measured.value.areaHa : null));
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
	const figures = file.records
		.map((record) => numberOf(record.properties[mappedArea]))
		.filter((figure) => figure !== null);
	return figures.length > 0 ? stepOf(figures) * M2_PER_UNIT[unit] : null;
}

function sortRecords(file: BoundaryFile, measures: readonly (Result<Measured> | null)[], chosen: Chosen): Sorted {
	const good: GoodRecord[] = [];
	const refused: ImportReport['refused'] = [];
	const warnings: Warning[] = file.warnings.map(({ code, message, record }) => ({
		code,
		message,
		...(record === undefined ? {} : { record: String(record) }),
	}));
	for (const [index, record] of file.records.entries()) {
		const measured = measures[index];
		const name = nameOf(record, chosen.name, warnings);
		if (!record.geometry || !measured) {
			refused.push({ record: record.record, name, reason: record.refused ?? 'it has no boundary' });
			continue;
		}
		if (!measured.ok) {
			refused.push({ record: record.record, name, reason: sentenceOf(measured.problem) });
			continue;
		}
		const geometry = record.geometry as Geometry;
		for (const { kind, say } of boundaryFindings(geometry)) {
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
			code: code?.slice(0, 60) ?? null,
			geometry,
			measured: measured.value,
			mappedHa,
		});
	}
	warnings.push(...sharedGround(good), ...equalNames(good));
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

function sharedGround(good: readonly GoodRecord[]): Warning[] {
	const byId = new Map(good.map((row) => [String(row.record), row]));
	const pairs = findOverlaps(good.map((row) => ({ id: String(row.record), geometry: row.geometry })));
	return pairs.map(({ one, other, m2, same }) => {
		const names = `${byId.get(one)?.name} (record ${one}) and ${byId.get(other)?.name} (record ${other})`;
		const message = same
			? `${names} have the same boundary: the same ground is counted twice`
			: `${names} share ${Math.round(m2)} m² of ground`;
		return { code: same ? 'field.duplicate' : 'field.overlap', message, record: other };
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

type Match = { readonly id: string; readonly by: 'code' | 'name' | 'overlap'; readonly measuredHa: number | null };

function comparison({ by, measuredHa }: Match) {
	return { matchedBy: by, ...(measuredHa === null ? {} : { measuredBeforeHa: measuredHa }) };
}

/** Half of the smaller field must be shared before ground alone says that two boundaries are the same field. */
const SAME_FIELD_SHARE = 0.5;

/**
 * Which register field a record replaces: the one with its code, else its name, else the ground it covers. Names and
 * codes that repeat, in the file or the register, match nothing by themselves.
 */
async function matchRegister(db: ReadDb, good: readonly GoodRecord[]): Promise<Map<number, Match>> {
	const matches = new Map<number, Match>();
	const register = await listFields(db, 0);
	if (register.length === 0) return matches;
	const taken = new Set<string>();
	const fieldById = new Map(register.map((row) => [row.field.id, row]));
	const take = (record: number, id: string, by: Match['by']) => {
		const boundary = fieldById.get(id)?.boundary;
		matches.set(record, { id, by, measuredHa: boundary ? toHectares(boundary.areaM2) : null });
		taken.add(id);
	};
	for (const by of ['code', 'name'] as const) {
		const inRegister = Map.groupBy(register, ({ field }) => field[by] ?? '');
		const inFile = Map.groupBy(good, (row) => row[by] ?? '');
		for (const [text, rows] of inFile) {
			const [row] = rows;
			const fields = inRegister.get(text) ?? [];
			const [found] = fields;
			if (text === '' || rows.length !== 1 || fields.length !== 1 || !row || !found) continue;
			if (!matches.has(row.record) && !taken.has(found.field.id)) take(row.record, found.field.id, by);
		}
	}
	const open = good.filter((row) => !matches.has(row.record));
	if (open.length === 0) return matches;
	const boxes = open.map((row) => boundingBox(row.geometry.coordinates));
	const near = (await currentBoundaries(db)).filter(
		(row) =>
			!taken.has(row.id) &&
			boxes.some((box) => box.west < row.east && box.east > row.west && box.south < row.north && box.north > row.south),
	);
	const areaM2 = new Map<string, number>([
		...near.map((row) => [row.id, row.areaM2] as const),
		...open.map((row) => [`record ${row.record}`, toSquareMetres(row.measured.areaHa)] as const),
	]);
	const shapes = [
		...near.map((row) => ({ id: row.id, geometry: JSON.parse(row.geometry) as Geometry })),
		...open.map((row) => ({ id: `record ${row.record}`, geometry: row.geometry })),
	];
	const pairs = findOverlaps(shapes, { among: new Set(open.map((row) => `record ${row.record}`)) });
	for (const { one, other, m2 } of pairs.toSorted((a, b) => b.m2 - a.m2)) {
		const [record, id] = one.startsWith('record ') ? [one, other] : [other, one];
		if (id.startsWith('record ') || taken.has(id) || matches.has(Number(record.slice(7)))) continue;
		if (m2 >= SAME_FIELD_SHARE * Math.max(areaM2.get(id) ?? 0, areaM2.get(record) ?? 0)) {
			take(Number(record.slice(7)), id, 'overlap');
		}
	}
	return matches;
}

function aboutFile(
	path: string,
	file: BoundaryFile,
	chosen: Chosen,
	good: readonly GoodRecord[],
): ImportReport['file'] {
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
		gridScalePpm: file.gridScalePpm ?? null,
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
