import type { Report, ReportColumn, ReportName, ReportRow } from '../../shared/contract/season.ts';
import type { DisplayUnits } from '../../shared/core/display/display-units.ts';
import { sayInUs } from '../../shared/core/display/say-in-us.ts';
import { inUs, type Size, sizeFor } from '../../shared/core/display/us-unit.ts';

/**
 * A finished report in the units the farm reads in. Reports are made in metric units; their columns say which, so they are
 * turned over here, once for screen, paper and files. A column keeps to one unit, gallons or pounds, and adds up; doses
 * stand in what a label gives them in. The name of a value tells its unit still: `treatedHa` becomes `treatedAc`.
 */
export function inUnits(report: Report, units: DisplayUnits): Report {
	if (units === 'metric') return report;
	const turned = report.columns
		.filter((column) => !isTwin(column, report.columns))
		.map((column) => turn(column, report));
	return {
		...report,
		columns: turned.flatMap(({ columns }) => columns),
		rows: report.rows.map((row) => rowIn(turned, row)),
		totals: report.totals && rowIn(turned, report.totals),
		notes: report.notes.map(noteInUs),
	};
}

type Cells = (row: ReportRow) => ReportRow;
/** One column turned over: what stands in its place, and its cells of a row. */
type Turned = { readonly columns: readonly ReportColumn[]; readonly cells: Cells };

function rowIn(turned: readonly Turned[], row: ReportRow): ReportRow {
	return Object.assign({}, ...turned.map(({ cells }) => cells(row)));
}

function turn(column: ReportColumn, { report, columns, rows }: Report): Turned {
	const { key, unit, unitFrom } = column;
	const named = {
		...column,
		name: perAcre(column.name),
		...(column.under && { under: newKey(column.under, columns) }),
	};
	if (unit !== undefined && inUs(0, unit).unit !== unit) return measured(named, unit, newKey(key, columns));
	if (unitFrom !== undefined) {
		if (/ per ha$/.test(column.name)) return dosed(named, unitFrom, rows);
		const cells: Cells = (row) => ({
			[key]: figureIn(row[key], String(row[unitFrom] ?? ''), sizeOf(row, unitFrom, columns)),
		});
		return { columns: [named], cells };
	}
	if (columns.some((other) => other.unitFrom === key)) {
		return { columns: [named], cells: (row) => ({ [key]: unitIn(row[key], sizeOf(row, key, columns)) }) };
	}
	const isWorded = worded.has(key) || (wordedIn[report] ?? []).includes(key);
	return { columns: [named], cells: (row) => ({ [key]: isWorded ? wordsIn(row[key]) : (row[key] ?? null) }) };
}

/** A column of one unit. */
function measured(column: ReportColumn, metric: string, key: string): Turned {
	const { unit } = inUs(0, metric);
	const digits = (column.digits ?? 0) + (moreDigits[metric] ?? 0);
	return {
		columns: [{ ...column, key, unit, digits }],
		cells: (row) => ({ [key]: figureIn(row[column.key], metric) }),
	};
}

/** Doses per acre, in a unit of their own: what is read alike for all lines of a product. */
function dosed(column: ReportColumn, unitFrom: string, rows: readonly ReportRow[]): Turned {
	const unitKey = `${column.key}Unit`;
	const ofProduct = Map.groupBy(rows, (row) => `${row['product']} ${row[unitFrom]}`);
	const sizes = new Map(
		[...ofProduct].map(([product, lines]) => {
			const doses = lines.flatMap((row) => (typeof row[column.key] === 'number' ? [Number(row[column.key])] : []));
			return [product, sizeFor(doses, `${lines[0]?.[unitFrom]}/ha`)];
		}),
	);
	const key = column.key.replace(/Ha$/, 'Ac');
	return {
		columns: [
			{ ...column, key, unitFrom: unitKey },
			{ key: unitKey, name: 'dose in', kind: 'text', ...(column.under && { under: column.under }) },
		],
		cells: (row) => {
			const dose = row[column.key];
			if (typeof dose !== 'number') return { [key]: null, [unitKey]: null };
			const size = sizes.get(`${row['product']} ${row[unitFrom]}`);
			const { value, unit } = inUs(dose, `${row[unitFrom]}/ha`, size);
			return { [key]: value, [unitKey]: unit.replace(/\/ac$/, '') };
		},
	};
}

/** Amounts are added up, rates (a sum of doses against its limit) are only held against each other in their line. */
function sizeOf(row: ReportRow, unitKey: string, columns: readonly ReportColumn[]): Size {
	const metric = String(row[unitKey] ?? '');
	if (!metric.includes('/')) return 'large';
	const own = columns.filter(({ unitFrom }) => unitFrom === unitKey).map(({ key }) => row[key]);
	return sizeFor(
		own.filter((cell) => typeof cell === 'number'),
		metric,
	);
}

/** Where one figure stands in acres already, with its hectares under it. */
function isTwin({ under, unit, name }: ReportColumn, columns: readonly ReportColumn[]): boolean {
	const above = columns.find(({ key }) => key === under);
	return above !== undefined && unit === 'ha' && above.unit === 'acres' && above.name === name;
}

type Cell = string | number | null;

function figureIn(cell: Cell | undefined, metric: string, size?: Size): Cell {
	return typeof cell === 'number' ? inUs(cell, metric, size).value : (cell ?? null);
}

function unitIn(cell: Cell | undefined, size: Size): Cell {
	return typeof cell === 'string' ? inUs(0, cell, size).unit : (cell ?? null);
}

function wordsIn(cell: Cell | undefined): Cell {
	return typeof cell === 'string' ? sayInUs(cell) : (cell ?? null);
}

/** Decimals more or fewer than the metric figure has, so that as much can be read off it. */
const moreDigits: Readonly<Record<string, number>> = { L: 1, 'L/ha': 1, 'g/ha': 3 };

/** Texts that the program writes with quantities in them; what somebody typed stays as it was typed. */
const worded: ReadonlySet<string> = new Set(['seed', 'space', 'onSeed', 'inSpace', 'nutrients', 'assessed']);
const wordedIn: Partial<Record<ReportName, readonly string[]>> = {
	'limit review': ['limit', 'value', 'say'],
	recommendations: ['products', 'deviations'],
	'cleaning log': ['done'],
};

const endings: readonly (readonly [RegExp, string])[] = [
	[/LPerHa$/, 'GalPerAc'],
	[/gPerHa$/, 'lbPerAc'],
	[/kgPerHa$/, 'lbPerAc'],
	[/Ha$/, 'Ac'],
	[/Kg$/, 'Lb'],
	[/^kg$/, 'lb'],
	[/Kmh$/, 'Mph'],
	[/L$/, 'Gal'],
	[/C$/, 'F'],
	[/M$/, 'Ft'],
];

/** The key of a column that is turned over; that of another stays. */
function newKey(key: string, columns: readonly ReportColumn[]): string {
	const column = columns.find((one) => one.key === key);
	if (column && column.unitFrom !== undefined && / per ha$/.test(column.name)) return key.replace(/Ha$/, 'Ac');
	if (column?.unit === undefined || inUs(0, column.unit).unit === column.unit) return key;
	const [ending, own] = endings.find(([end]) => end.test(key)) ?? [/$/, ''];
	return key.replace(ending, own);
}

function perAcre(words: string): string {
	return words.replace(/\bper ha$/, 'per acre').replace(/\bhectare\b/, 'acre');
}

function noteInUs(note: string): string {
	return sayInUs(note)
		.replace(/\bkg\/ha\b/g, 'lb/ac')
		.replace(/\bhectares\b/g, 'acres')
		.replace(/\bKilograms\b/g, 'Pounds');
}
