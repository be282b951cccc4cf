import { basename } from 'node:path';
import {
	addBoundaries,
	addFields,
	type BoundaryStored,
	currentBoundaries,
	currentGeometry,
	type FieldStored,
	type FieldWithFigures,
	listCropping,
	saveCropping,
	saveField,
} from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { ImportInput, ImportReport } from '../../shared/contract/fields-import.ts';
import { systemFromCode } from '../../shared/core/geodesy/reference-system.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import { type BoundaryFile, readBoundaryFile } from '../files/boundary-file.ts';
import { readBoundaryText } from '../files/boundary-text.ts';
import { carryStripsOver, warningsOf } from './carry-strips.ts';
import { toLocalDate } from './clock.ts';
import { type FarmGround, farmGround } from './farm-ground.ts';
import { boundaryRow, newField, seasonNow } from './fields.ts';
import type { CommandContext, QueryContext, Transact } from './handler.ts';
import { areaInDoubt, type Columns, chooseColumns, mappedStep, scaleOfMapped } from './import-columns.ts';
import { leaveOut, settleOverlaps } from './import-overlaps.ts';
import { type Exchange, placeWarnings, weighExchange } from './import-place.ts';
import { type Sorted, sortRecords, type Warning } from './import-records.ts';
import { comparison, type GoodRecord, type Match, matchRegister, sameAsBefore } from './match-register.ts';
import { narrowedChoices } from './narrow-choices.ts';
import { idMaker } from './perform.ts';

/** A file as it would come in: read, matched with the register, repaired as chosen. */
type Prepared = Sorted & {
	readonly matches: ReadonlyMap<number, Match>;
	readonly far: ImportReport['far'];
	/** The boundaries in force of the fields that are known, by the field's id. */
	readonly before: ReadonlyMap<string, string>;
};
type Reading = {
	readonly input: ImportInput;
	readonly file: BoundaryFile;
	readonly columns: Columns;
	readonly season: number;
	readonly step: number | null;
	readonly ground: FarmGround;
	readonly exchange: Exchange | null;
};

/**
 * Brings in a boundary file: reads it in a process of its own, measures every record, and writes the good ones in one
 * transaction. Bad records are refused by number and name; what the file leaves unsaid is asked by a refusal with choices.
 */
export async function importFields(
	context: QueryContext,
	input: ImportInput,
	transact: Transact,
): Promise<Result<ImportReport>> {
	const { layer, crs, encoding, exchangeCoordinates = false } = input;
	const redrawn = input.repairs?.filter(({ repair }) => repair === 'outline').map(({ record }) => record) ?? [];
	const outlines = input.dryRun ? undefined : redrawn;
	const readAs = (exchanged: boolean) =>
		readBoundaryFile(input.path, { layer, crs, encoding, outlines, exchangeCoordinates: exchanged });
	const [read, ground] = await Promise.all([readAs(exchangeCoordinates), farmGround(context)]);
	if (!read.ok) return { ok: false, problem: narrowedChoices(read.problem, ground) };
	const file = read.value;
	const columns = chooseColumns(file, input);
	if (!columns.ok) return columns;
	if (file.records.length === 0) {
		return refuse('file.noFields', { file: basename(input.path), why: 'it has no records' });
	}
	const exchange = await weighExchange(ground, { file, chosen: exchangeCoordinates }, () =>
		readAs(!exchangeCoordinates),
	);
	const season = input.season ?? seasonNow(context);
	const step = mappedStep(file, columns.value);
	const reading = { input, file, columns: columns.value, season, step, ground, exchange };
	if (!input.dryRun) return transact((command) => write(command, reading));
	const prepared = await prepare(context.db, reading);
	return prepared.ok ? ok(preview(context, reading, prepared.value)) : prepared;
}

async function prepare(db: ReadDb, { input, file, columns, ground, exchange }: Reading): Promise<Result<Prepared>> {
	const chosen = new Set(input.repairs?.map(({ record, repair }) => `${record} ${repair}`));
	const wanted = (record: number, repair: string) => chosen.has(`${record} ${repair}`);
	const sorted = sortRecords(file, columns, wanted);
	const single = leaveOut(file, sorted.good, wanted);
	const { matches, far } = await matchRegister(db, single.good, input.sameThoughFar);
	const settled = await settleOverlaps(db, file, { good: single.good, matches, wanted });
	const steps = [sorted, single, settled];
	const repairs = steps.flatMap((step) => step.repairs).sort((one, other) => one.record - other.record);
	const offered = new Set(repairs.map(({ record, repair }) => `${record} ${repair}`));
	for (const { record, repair } of input.repairs ?? []) {
		if (!offered.has(`${record} ${repair}`))
			return refuse('file.repairNotOffered', { file: file.file, record, repair });
	}
	// An exchange that is offered says where the fields lie.
	const placed = exchange?.offer.chosen === false ? [] : placeWarnings(ground, settled.good);
	const names = new Map(settled.good.map((row) => [row.record, row.name]));
	const register = matches.size === 0 ? [] : await currentBoundaries(db);
	return ok({
		before: new Map(register.map(({ id, geometry: geoJson }) => [id, geoJson])),
		good: settled.good,
		refused: sorted.refused,
		warnings: [...steps.flatMap((step) => step.warnings), ...placed, ...areaInDoubt(file, input, columns)],
		repairs,
		left: steps.flatMap((step) => step.left),
		matches,
		far: far.map(({ record, by, found, km }) => ({
			record,
			name: names.get(record) ?? '',
			by,
			field: found.field.name,
			km,
			taken: matches.get(record)?.found.field.id === found.field.id,
		})),
	});
}

function preview(context: QueryContext, reading: Reading, prepared: Prepared): ImportReport {
	const { matches, before } = prepared;
	const nextId = idMaker(context.now);
	const added: ImportReport['added'] = [];
	const updated: ImportReport['updated'] = [];
	for (const row of prepared.good) {
		const match = matches.get(row.record);
		const geometry = readBoundaryText(row.boundary);
		if (!match) {
			added.push({ ...shown(row, nextId()), geometry });
			continue;
		}
		const { id } = match.found.field;
		const geoJson = before.get(id);
		const old = geoJson === undefined ? {} : { geometryBefore: readBoundaryText({ geoJson }) };
		const same = sameAsBefore(row, match, before);
		updated.push({ ...shown(row, id), ...renamed(row, match), ...comparison(match), ...same, geometry, ...old });
	}
	return report(reading, prepared, { added, updated });
}

function report(
	{ input, file, columns, season, step, exchange }: Reading,
	{ good, refused, warnings, repairs, left, far }: Prepared,
	rows: Pick<ImportReport, 'added' | 'updated'>,
): ImportReport {
	const gridScalePpm = scaleOfMapped(file, good, step);
	const shownRepairs = input.dryRun ? [...repairs] : repairs.map(({ geometry: _, ...rest }) => rest);
	return {
		...rows,
		refused,
		warnings: [...warnings],
		repairs: shownRepairs,
		exchange: exchange?.offer ?? null,
		left: [...left],
		far: [...far],
		file: { ...aboutFile(input.path, file, columns, good), season, gridScalePpm },
	};
}

async function write(context: CommandContext, reading: Reading): Promise<Result<ImportReport>> {
	const { tx, farm, now, newId, note } = context;
	const prepared = await prepare(tx, reading);
	if (!prepared.ok) return prepared;
	const { good, matches, before: inForce } = prepared.value;
	const { file, step, season, exchange } = reading;
	const takenOn = toLocalDate(now, farm.zone);
	const source = basename(reading.input.path);
	const gridScalePpm = scaleOfMapped(file, good, step);
	const added: ImportReport['added'] = [];
	const updated: ImportReport['updated'] = [];
	const fields: FieldStored[] = [];
	const boundaries: BoundaryStored[] = [];
	const warnings: Warning[] = [];
	const sown: { fieldId: string; row: GoodRecord }[] = [];
	for (const row of good) {
		const match = matches.get(row.record);
		const { name, code, mappedHa } = row;
		const same = match ? sameAsBefore(row, match, inForce) : {};
		const id = match?.found.field.id ?? newId();
		const boundaryId = (same.sameBoundary ? match?.found.field.boundaryId : null) ?? newId();
		const repaired = repairedWords(row, exchange);
		const mapped =
			mappedHa === null || isMapped(match?.found.field, mappedHa)
				? {}
				: { mappedM2: toSquareMetres(mappedHa), mappedStepM2: step, mappedSource: source, mappedOn: takenOn };
		if (match) {
			const before = match.found.field;
			const next = { ...before, name: nameAfter(row, match), code: code ?? before.code, boundaryId, ...mapped };
			if (match.found.strips.length > 0 && !same.sameBoundary)
				warnings.push(...(await carryOver(context, match.found, row)));
			await saveField(tx, next);
			note({ table: 'field', id, before, after: repaired ? { ...next, repaired } : next });
			updated.push({ ...shown(row, id), ...renamed(row, match), ...comparison(match), ...same });
		} else {
			const empty = newField(context, { id, name, code, mappedHa: null, mappedSource: null, boundaryId });
			fields.push({ ...empty, ...mapped });
			if (repaired) note({ table: 'field', id, before: null, after: { name, boundaryId, repaired } });
			added.push(shown(row, id));
		}
		sown.push({ fieldId: id, row });
		if (same.sameBoundary) continue;
		const from = repaired ? `${source}; ${repaired}` : source;
		const rest = { id: boundaryId, fieldId: id, crs: systemName(file), gridScalePpm, source: from, takenOn, now };
		boundaries.push(boundaryRow(row.measured, row.boundary, rest));
	}
	await addFields(tx, fields);
	await addBoundaries(tx, boundaries);
	warnings.push(...(await enterCrops(context, season, sown)));
	const done = report(reading, prepared.value, { added, updated });
	return ok({ ...done, warnings: [...done.warnings, ...warnings] });
}

/** "repaired: a spike cut off, 50,012 m² before, 50,000 m² after"; null for a boundary as it stands in the file. */
function repairedWords(
	{ record, repaired, unrepairedM2, measured }: GoodRecord,
	exchange: Exchange | null,
): string | null {
	const exchanged = exchange?.offer.chosen ? exchange : null;
	const did = [...(exchanged ? [`${exchanged.offer.axes} exchanged`] : []), ...repaired];
	if (did.length === 0) return null;
	const asInFile = exchanged?.areasInFile.get(record);
	const beforeM2 = exchanged ? (asInFile === undefined ? null : toSquareMetres(asInFile)) : unrepairedM2;
	const before = beforeM2 === null ? 'no area before' : `${wholeM2(beforeM2)} before`;
	return `repaired: ${did.join(', ')}; ${before}, ${wholeM2(toSquareMetres(measured.areaHa))} after`;
}

function wholeM2(m2: number): string {
	return `${Math.round(m2).toLocaleString('en-GB')} m²`;
}

/** The crops of the file, where none is entered for the season yet; a crop entered otherwise stays, and is named. */
async function enterCrops(
	{ tx, newId }: CommandContext,
	season: number,
	sown: readonly { readonly fieldId: string; readonly row: GoodRecord }[],
): Promise<Warning[]> {
	const withCrop = sown.filter(({ row }) => row.crop !== null);
	if (withCrop.length === 0) return [];
	const entered = new Map((await listCropping(tx, season)).map((row) => [row.fieldId, row]));
	const warnings: Warning[] = [];
	for (const { fieldId, row } of withCrop) {
		const { crop, eppoCode, variety, name, record } = row;
		const stands = entered.get(fieldId);
		if (crop === null || stands?.crop === crop || (stands?.eppoCode && stands.eppoCode === eppoCode)) continue;
		if (stands) {
			const message = `${name}: ${stands.crop} is entered for ${season} and stays; the file says ${crop}`;
			warnings.push({ code: 'crop.kept', message, record: String(record) });
			continue;
		}
		const rest = { eppoCode, sownOn: null, harvestOn: null, version: 1 };
		await saveCropping(tx, { id: newId(), fieldId, season, crop, variety, ...rest });
	}
	return warnings;
}

/** Strips and obstacles follow the boundary; what could not be placed for certain is named. */
async function carryOver(context: CommandContext, { field, boundary, strips }: FieldWithFigures, row: GoodRecord) {
	const lay = await currentGeometry(context.tx, field.id);
	const before = lay ? readBoundaryText({ geoJson: lay }) : null;
	const areas = { before: boundary?.areaM2 ?? 0, after: toSquareMetres(row.measured.areaHa) };
	const carried = await carryStripsOver(context, { strips, before, after: readBoundaryText(row.boundary) }, areas);
	return warningsOf(carried, field.name);
}

/** An equal figure keeps the source and the date it is known by. */
function isMapped(field: FieldStored | undefined, mappedHa: number): boolean {
	const known = field?.mappedM2 ?? null;
	return known !== null && Math.abs(known - toSquareMetres(mappedHa)) < SAME_FIGURE_M2;
}

const SAME_FIGURE_M2 = 0.01;

/** A file without names leaves the register's. */
function nameAfter({ name, named }: GoodRecord, { found }: Match): string {
	return named ? name : found.field.name;
}

function renamed(row: GoodRecord, match: Match): { name: string; nameBefore?: string } {
	const [name, before] = [nameAfter(row, match), match.found.field.name];
	return name === before ? { name } : { name, nameBefore: before };
}

function shown(row: GoodRecord, id: string): ImportReport['added'][number] {
	const { record, name, code, measured, mappedHa, crop, eppoCode, variety } = row;
	const { areaHa, perimeterM, vertexCount } = measured;
	const grown = {
		...(crop === null ? {} : { crop }),
		...(eppoCode === null ? {} : { eppoCode }),
		...(variety === null ? {} : { variety }),
	};
	return { id, record, name, code, measuredHa: areaHa, mappedHa, perimeterM, vertexCount, ...grown };
}

function centreOf(good: readonly GoodRecord[]): ImportReport['file']['centre'] {
	const [first] = good;
	if (!first) return null;
	let { west, south, east, north } = first.boundary;
	for (const { boundary } of good) {
		west = Math.min(west, boundary.west);
		south = Math.min(south, boundary.south);
		east = Math.max(east, boundary.east);
		north = Math.max(north, boundary.north);
	}
	return [(west + east) / 2, (south + north) / 2];
}

/** By its published name, with the code: files write `GCS_WGS_1984`. */
function systemName({ crs: { name, epsg } }: BoundaryFile): string {
	return epsg === undefined ? name : `${systemFromCode(epsg)?.name ?? name} (EPSG:${epsg})`;
}

function aboutFile(
	path: string,
	file: BoundaryFile,
	columns: Columns,
	good: readonly GoodRecord[],
): Omit<ImportReport['file'], 'gridScalePpm' | 'season'> {
	const { datum, shiftUsed, residualM } = file.crs;
	const right = residualM === undefined ? '' : `, right to about ${residualM} m`;
	const shift = shiftUsed ? `; ${datum} shifted by ${shiftUsed}${right}` : '';
	return {
		name: basename(path),
		layer: file.layer,
		crs: `${systemName(file)}${shift}`,
		encoding: file.encoding,
		letters: file.readings.map(({ encoding, samples }) => ({ encoding, samples: [...samples] })),
		centre: centreOf(good),
		records: file.records.length,
		attributes: file.attributes.map(({ name, kind, samples }) => ({ name, kind, samples: samples.map(String) })),
		nameAttribute: columns.name,
		codeAttribute: columns.code,
		mappedAreaAttribute: columns.mappedArea,
		mappedAreaUnit: columns.unit,
		cropAttribute: columns.crop,
		cropCodeAttribute: columns.cropCode,
		varietyAttribute: columns.variety,
		totalHa: good.reduce((sum, { measured }) => sum + measured.areaHa, 0),
	};
}
