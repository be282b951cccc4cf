import { currentBoundaries, listFields } from '../../db/modules/fields.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldMapPaper } from '../../shared/contract/fields-papers.ts';
import { displayUnitsOf } from '../../shared/core/display/display-units.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { pdfPages } from '../paper/pdf-pages.ts';
import { paperProgram } from '../paper/render.ts';
import { toIso, toLocalDate } from './clock.ts';
import { type Geometry, registerRow } from './field-register.ts';
import { seasonNow } from './fields.ts';
import type { QueryContext } from './handler.ts';

/** The map of the fields with a boundary, on a sheet of paper. */
export async function printMap(
	context: QueryContext,
	{ by, path }: { by: FieldMapPaper['by']; path?: string | undefined },
): Promise<Result<{ path: string; pages: number }>> {
	const { book, farm, now, printer } = context;
	const map = await mapPaper(context, by);
	if (map.fields.length === 0) return refuse('fields.nothingToDraw');
	if (printer === null) return refuse('pdf.noBrowser');
	const pdf = await printer.pdf((await paperProgram()).fieldMapHtml(map, { units: displayUnitsOf(farm) }));
	if (!pdf.ok) return pdf;
	const name = `${toLocalDate(now, farm.zone)} fields by ${by}`;
	const written = writeExport(exportPath(book.folder, path, name, 'pdf'), pdf.value);
	return written.ok ? ok({ path: written.value, pages: pdfPages(pdf.value) }) : written;
}

export async function mapPaper(context: QueryContext, by: FieldMapPaper['by']): Promise<FieldMapPaper> {
	const { db, farm, now } = context;
	const season = seasonNow(context);
	const boundaries = new Map((await currentBoundaries(db)).map(({ id, geometry }) => [id, geometry]));
	const rows = await listFields(db, season, { farmedAfter: toLocalDate(now, farm.zone) });
	return {
		farm: farm.farmName ?? '',
		season,
		madeAt: toIso(now, farm.zone),
		by,
		fields: rows.flatMap((row) => {
			const geometry = boundaries.get(row.field.id);
			if (geometry === undefined) return [];
			const leftOut = row.strips.flatMap(({ kind, geometry: ground }) =>
				ground ? [{ kind, geometry: JSON.parse(ground) as Geometry }] : [],
			);
			return [{ ...registerRow(row), geometry: JSON.parse(geometry) as Geometry, leftOut }];
		}),
	};
}
