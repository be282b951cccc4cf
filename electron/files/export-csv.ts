/** The register as a table: no boundaries, every figure the register shows. */
import type { FieldRow } from '../../shared/contract/fields.ts';
import type { ReportColumn } from '../../shared/contract/season.ts';
import { csvReport } from './csv-report.ts';
import type { LeftOut } from './export-field.ts';

const columns: readonly ReportColumn[] = [
	{ key: 'name', name: 'field', kind: 'text' },
	{ key: 'code', name: 'code', kind: 'text' },
	{ key: 'crop', name: 'crop', kind: 'text' },
	{ key: 'eppoCode', name: 'EPPO code', kind: 'text' },
	{ key: 'mappedHa', name: 'mapped area', kind: 'number', unit: 'ha' },
	{ key: 'measuredHa', name: 'measured area', kind: 'number', unit: 'ha' },
	{ key: 'sigmaHa', name: 'standard error', kind: 'number', unit: 'ha' },
	{ key: 'differenceHa', name: 'measured less mapped', kind: 'number', unit: 'ha' },
	{ key: 'edgeStripM', name: 'difference all round', kind: 'number', unit: 'm' },
	{ key: 'tolerance', name: 'within measuring tolerance', kind: 'text' },
	{ key: 'perimeterM', name: 'perimeter', kind: 'number', unit: 'm' },
	{ key: 'strips', name: 'no-spray strips', kind: 'number' },
	{ key: 'stripsHa', name: 'in no-spray strips', kind: 'number', unit: 'ha' },
	{ key: 'obstacles', name: 'obstacles', kind: 'number' },
	{ key: 'obstaclesHa', name: 'in obstacles', kind: 'number', unit: 'ha' },
	{ key: 'loadForHa', name: 'area to load for', kind: 'number', unit: 'ha' },
	{ key: 'loadForBasis', name: 'loaded for', kind: 'text' },
];

/** RFC 4180 with a byte order mark; names a spreadsheet would take for a formula are neutralised. */
export function fieldsAsCsv(
	rows: readonly FieldRow[],
	leftOutOf: (row: FieldRow) => readonly Pick<LeftOut, 'kind' | 'areaHa'>[],
): string {
	return csvReport({
		columns: [...columns],
		rows: rows.map((field) => {
			const { id: _, version: __, withinTolerance, ...row } = field;
			const [strips, obstacles] = (['strip', 'obstacle'] as const).map((wanted) =>
				leftOutOf(field).filter(({ kind }) => kind === wanted),
			);
			return {
				...row,
				crop: row.crop ?? null,
				eppoCode: row.eppoCode ?? null,
				tolerance: withinTolerance === null ? null : withinTolerance ? 'yes' : 'no',
				strips: strips?.length ?? 0,
				stripsHa: sumHa(strips ?? []),
				obstacles: obstacles?.length ?? 0,
				obstaclesHa: sumHa(obstacles ?? []),
			};
		}),
	});
}

function sumHa(ground: readonly Pick<LeftOut, 'areaHa'>[]): number {
	return ground.reduce((sum, { areaHa }) => sum + areaHa, 0);
}
