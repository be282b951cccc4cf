import { PROGRAM } from '../../db/modules/audit.ts';
import { currentBoundaries, listFields, type StripStored } from '../../db/modules/fields.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { toHectares } from '../../shared/units/area.ts';
import { fieldsAsCsv } from '../files/export-csv.ts';
import type { ExportField, ExportGeometry, LeftOut } from '../files/export-field.ts';
import { fieldsAsGeoJson } from '../files/export-geojson.ts';
import { fieldsAsTaskData, fieldsAsTaskDataZip } from '../files/export-isoxml.ts';
import { fieldsAsShapefile } from '../files/export-shapefile.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { toLocalDate } from './clock.ts';
import { registerRow } from './field-register.ts';
import type { QueryContext } from './handler.ts';

type Format = 'geojson' | 'shapefile' | 'csv' | 'isoxml';

const endings: Readonly<Record<Format, string>> = { geojson: 'geojson', shapefile: 'zip', csv: 'csv', isoxml: 'zip' };
const words: Readonly<Record<Format, string>> = {
	geojson: 'Fields',
	shapefile: 'Fields shapefile',
	csv: 'Fields',
	isoxml: 'Fields task data',
};

/** Writes the register of this season to a file that other programs read, whole or not at all. */
export async function exportFields(
	{ db, book, farm, now }: QueryContext,
	{ format, path }: { readonly format: Format; readonly path?: string | undefined },
): Promise<Result<{ path: string; rows: number }>> {
	const today = toLocalDate(now, farm.zone);
	const register = await listFields(db, seasonOf(today, farm.seasonStartMonth), { farmedAfter: today });
	const rows = register.map((row) => registerRow(row));
	if (rows.length === 0) return refuse('fields.noneToExport');
	const geometries = new Map(
		(await currentBoundaries(db)).map(({ id, geometry }) => [id, JSON.parse(geometry) as ExportGeometry]),
	);
	const leftOut = new Map(register.map(({ field, strips }) => [field.id, strips.map(leftOutOf)]));
	const fields = rows.map(
		(row): ExportField => ({
			name: row.name,
			code: row.code,
			mappedHa: row.mappedHa,
			measuredHa: row.measuredHa,
			loadForHa: row.loadForHa,
			crop: row.crop ?? null,
			eppoCode: row.eppoCode ?? null,
			geometry: geometries.get(row.id) ?? null,
			leftOut: leftOut.get(row.id) ?? [],
		}),
	);
	const target = exportPath(book.folder, path, `${words[format]} ${today}`, endings[format]);
	const task = { farm: farm.farmName, version: PROGRAM };
	const at = new Date(now);
	const text = (written: string) => new TextEncoder().encode(written);
	const make: Readonly<Record<Format, () => Uint8Array>> = {
		geojson: () => text(fieldsAsGeoJson(fields)),
		shapefile: () => fieldsAsShapefile(fields, { name: 'fields', at }),
		csv: () => text(fieldsAsCsv(rows, ({ id }) => leftOut.get(id) ?? [])),
		isoxml: () =>
			/\.xml$/i.test(target) ? text(fieldsAsTaskData(fields, task)) : fieldsAsTaskDataZip(fields, { ...task, at }),
	};
	const written = writeExport(target, make[format]());
	return written.ok ? ok({ path: written.value, rows: rows.length }) : written;
}

function leftOutOf({ kind, label, areaM2, widthM, geometry }: StripStored): LeftOut {
	const shape = geometry === null ? null : (JSON.parse(geometry) as ExportGeometry);
	return { kind: kind === 'strip' ? 'strip' : 'obstacle', label, areaHa: toHectares(areaM2), widthM, geometry: shape };
}
