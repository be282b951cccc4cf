import type { z } from 'zod';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { AreaUnit, ImportInput } from '../../shared/contract/fields-import.ts';
import { mappedAreasAreOf, stepOfFigures } from '../../shared/core/geometry/planar-scale.ts';
import { M2_PER_UNIT, toHectares } from '../../shared/units/area.ts';
import type { BoundaryFile } from '../files/boundary-file.ts';
import { guessAttributes, speaksOfMappedArea } from '../files/guess-attributes.ts';
import { leftOutReason } from '../files/left-out.ts';
import type { Warning } from './import-records.ts';
import type { GoodRecord } from './match-register.ts';

/** Which columns hold what; null for none. */
export type Columns = {
	readonly name: string | null;
	readonly code: string | null;
	readonly mappedArea: string | null;
	readonly unit: z.output<typeof AreaUnit> | null;
	readonly crop: string | null;
	readonly cropCode: string | null;
	readonly variety: string | null;
};

/** Which attributes hold name, code, mapped area and crop: what the user said, else the guess. */
export function chooseColumns(file: BoundaryFile, input: ImportInput): Result<Columns> {
	const known = new Set(file.attributes.map(({ name }) => name));
	const { nameAttribute, codeAttribute, mappedAreaAttribute } = input;
	const { cropAttribute, cropCodeAttribute, varietyAttribute } = input;
	const crops = [cropAttribute, cropCodeAttribute, varietyAttribute];
	for (const attribute of [nameAttribute, codeAttribute, mappedAreaAttribute, ...crops]) {
		if (typeof attribute === 'string' && !known.has(attribute)) {
			return refuse('file.attributeUnknown', {
				file: file.file,
				attribute,
				attributes: [...known],
				choices: [...known],
			});
		}
	}
	const records = recordsOfFields(file);
	const areas = records.map(({ measured }) => measured?.areaHa ?? null);
	const guess = guessAttributes({ attributes: file.attributes, records }, areas, mappedAreaAttribute ?? undefined);
	const mappedArea = mappedAreaAttribute === undefined ? guess.mappedArea : mappedAreaAttribute;
	const unit = input.mappedAreaUnit ?? guess.mappedAreaUnit;
	if (mappedAreaAttribute && unit === null) {
		return refuse('file.areaUnitUnclear', {
			file: file.file,
			attribute: mappedAreaAttribute,
			choices: Object.keys(M2_PER_UNIT),
			...totalsOf(records, mappedAreaAttribute),
		});
	}
	return ok({
		name: nameAttribute === undefined ? guess.name : nameAttribute,
		code: codeAttribute === undefined ? guess.code : codeAttribute,
		mappedArea: unit === null ? null : mappedArea,
		unit: mappedArea === null ? null : unit,
		crop: cropAttribute === undefined ? guess.crop : cropAttribute,
		cropCode: cropCodeAttribute === undefined ? guess.cropCode : cropCodeAttribute,
		variety: varietyAttribute === undefined ? guess.variety : varietyAttribute,
	});
}

type Records = BoundaryFile['records'];

/** Strips and obstacles of a file of ours stand among its fields and say nothing of their columns. */
function recordsOfFields({ attributes, records }: BoundaryFile): Records {
	const reason = leftOutReason(attributes);
	return records.filter(({ properties }) => reason(attributes.map(({ name }) => properties[name] ?? null)) === null);
}

/** What the column would come to in each unit, beside the measured area of the same fields. */
function totalsOf(records: Records, attribute: string): { totalsHa: Record<string, number>; measuredHa: number } {
	const pairs = records.flatMap(({ properties, measured }) => {
		const given = numberOf(properties[attribute]);
		return given === null || !measured ? [] : [{ given, measured: measured.areaHa }];
	});
	const sum = pairs.reduce((total, { given }) => total + given, 0);
	const units = Object.entries(M2_PER_UNIT).map(([unit, m2]) => [unit, toHectares(sum * m2)]);
	return {
		totalsHa: Object.fromEntries(units),
		measuredHa: pairs.reduce((total, { measured }) => total + measured, 0),
	};
}

/** Columns that speak of area, where none was taken: their figures are areas of these fields in no unit. */
export function areaInDoubt(file: BoundaryFile, input: ImportInput, columns: Columns): Warning[] {
	if (columns.mappedArea !== null || input.mappedAreaAttribute !== undefined) return [];
	const records = recordsOfFields(file);
	const spoken = file.attributes.filter(({ name }) => name !== columns.name && name !== columns.code);
	return spoken.flatMap(({ name }) => {
		if (!speaksOfMappedArea(name) || !records.some(({ properties }) => (numberOf(properties[name]) ?? 0) > 0))
			return [];
		const message = `No mapped area is taken: the figures in the column ${name} fit the measured fields in no unit for certain. Choose it above if it is the mapped area`;
		return [{ code: 'mappedArea.inDoubt', message }];
	});
}

/** The step the mapped figures were rounded to, in m²: with it, rounding explains a difference before anything else does. */
export function mappedStep(file: BoundaryFile, { mappedArea, unit }: Columns): number | null {
	if (!mappedArea || !unit) return null;
	const figures = file.records.map((record) => numberOf(record.properties[mappedArea]));
	const step = stepOfFigures(figures.filter((figure) => figure !== null));
	return step === null ? null : step * M2_PER_UNIT[unit];
}

/** How far the plane of the file's grid is from the ground, where the mapped areas are areas on that plane; else null. */
export function scaleOfMapped(file: BoundaryFile, good: readonly GoodRecord[], step: number | null): number | null {
	if (file.gridScalePpm === undefined) return null;
	const plane = new Map(file.records.map(({ record, planarAreaM2 }) => [record, planarAreaM2]));
	const fields = good.flatMap(({ record, measured, mappedHa }) => {
		const planeM2 = plane.get(record);
		if (planeM2 === undefined || mappedHa === null) return [];
		return [{ planeHa: toHectares(planeM2), groundHa: measured.areaHa, mappedHa }];
	});
	return mappedAreasAreOf(fields, toHectares(step ?? 0)) === 'plane' ? file.gridScalePpm : null;
}

export function numberOf(value: string | number | null | undefined): number | null {
	if (typeof value === 'number') return Number.isFinite(value) ? value : null;
	if (typeof value !== 'string' || value.trim() === '') return null;
	const figure = Number(value.trim().replace(',', '.'));
	return Number.isFinite(figure) ? figure : null;
}

export function textOf(value: string | number | null | undefined): string | null {
	const text = value === null || value === undefined ? '' : String(value).trim();
	return text === '' ? null : text;
}
