import Papa from 'papaparse';
import writeXlsxFile from 'write-excel-file/node';
import type { z } from 'zod';
import { listProducts } from '../../db/modules/products.ts';
import { sentenceOf } from '../../shared/basics/problem.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { type Product, ProductInput, type productsContract } from '../../shared/contract/products.ts';
import { cellText } from '../files/csv-text.ts';
import { productColumns } from '../files/product-columns.ts';
import { readTableFile, type TableFile } from '../files/table-file.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { toLocalDate } from './clock.ts';
import type { CommandContext, QueryContext, Transact } from './handler.ts';
import { addNewProduct, type ProductDetails, updateProduct, whatIsWrong } from './products.ts';

type ImportInput = z.output<(typeof productsContract.importList)['~orpc']['inputSchema'] & z.ZodType>;
type Report = z.input<(typeof productsContract.importList)['~orpc']['outputSchema'] & z.ZodType>;
type Entry = { readonly row: number; readonly name: string; readonly given: Readonly<Record<string, unknown>> };
type Refused = Report['refused'][number];

/** The product list as a table, or its heads with an example to fill in. */
export async function exportList(
	{ db, book, farm, now }: QueryContext,
	{ format, template, path }: { format: 'csv' | 'xlsx'; template: boolean; path?: string | undefined },
): Promise<Result<{ path: string; rows: number }>> {
	const products: readonly Product[] = template ? [] : await listProducts<ProductDetails>(db);
	const rows = template
		? [productColumns.map(({ example }) => example)]
		: products.map((product) => productColumns.map(({ write }) => write(product)));
	const heads = productColumns.map(({ head }) => head);
	const table = [heads, ...rows.map((row) => row.map(cellText))];
	const bytes = format === 'csv' ? csvBytes(table) : await xlsxBytes(table);
	const name = template ? 'product list template' : `${toLocalDate(now, farm.zone)} product list`;
	const written = writeExport(exportPath(book.folder, path, name, format), bytes);
	return written.ok ? ok({ path: written.value, rows: template ? 0 : rows.length }) : written;
}

function csvBytes(table: readonly (readonly string[])[]): Uint8Array {
	const text = Papa.unparse(table as string[][], { quotes: true, newline: '\r\n' });
	return new TextEncoder().encode(`\uFEFF${text}\r\n`);
}

async function xlsxBytes(table: readonly (readonly string[])[]): Promise<Uint8Array> {
	const data = table.map((row, index) =>
		row.map((value) => ({ type: String, value, ...(index === 0 ? { fontWeight: 'bold' as const } : {}) })),
	);
	const columns = productColumns.map(({ head }) => ({ width: Math.max(12, head.length + 4) }));
	const workbook = await writeXlsxFile([{ sheet: 'Products', data, columns, stickyRowsCount: 1 }]);
	return workbook.toBuffer();
}

/**
 * Brings in a product list: rows with a name and formulation that are on the books change that product, the others are
 * new. A bad row is refused by its number and column; the good ones come in together. A blank cell says nothing.
 */
export async function importList(
	context: QueryContext,
	input: ImportInput,
	transact: Transact,
): Promise<Result<Report>> {
	const table = await readTableFile(input.path);
	if (!table.ok) return table;
	const read = readRows(table.value);
	if (!read.ok) return read;
	const { entries, refused } = read.value;
	const known = new Map((await listProducts<ProductDetails>(context.db)).map((product) => [keyOf(product), product]));
	const { report, good } = sorted(entries, refused, known);
	if (input.dryRun) return ok(report);
	return transact(async (command) => {
		for (const entry of good) {
			const before = known.get(keyOf(entry.given));
			const done = before ? await change(command, before, entry) : await add(command, entry);
			if (!done.ok) return refuse(done.problem.code, { ...done.problem.details, row: entry.row });
		}
		return ok(report);
	});
}

/** What would come in; new rows are checked whole, changed ones with what is on the books already. */
function sorted(entries: readonly Entry[], refused: readonly Refused[], known: ReadonlyMap<string, Product>) {
	const report: Report = { added: [], changed: [], same: 0, refused: [...refused] };
	const good: Entry[] = [];
	for (const entry of entries) {
		const before = known.get(keyOf(entry.given));
		const whole = ProductInput.safeParse({ ...(before ? inputOf(before) : {}), ...entry.given });
		const trouble = whole.success ? contradictionOf(whole.data, entry) : issueOf(whole.error, entry);
		if (trouble) report.refused.push(trouble);
		else {
			good.push(entry);
			if (!before) report.added.push(entry.name);
			else if (isSame(before, entry)) report.same += 1;
			else report.changed.push(entry.name);
		}
	}
	report.refused.sort((a, b) => a.row - b.row);
	return { report, good };
}

function contradictionOf(product: z.output<typeof ProductInput>, { row, name }: Entry): Refused | null {
	const wrong = whatIsWrong(product);
	if (!wrong) return null;
	const { code, details } = wrong.problem;
	const column = columnAtFault[code] ?? columnOfPath[String(details['path'])] ?? 'closures';
	return { row, name, column, reason: sentenceOf(wrong.problem) };
}

const columnOfPath: Readonly<Record<string, string>> = { packSizes: 'pack sizes', nutrients: 'nutrients' };

/** Which column to look at for what contradicts itself. */
const columnAtFault: Readonly<Record<string, string>> = {
	'product.formulationUnknown': 'formulation',
	'product.densityMissing': 'relative density',
	'product.packUnknown': 'closures',
};

async function add(command: CommandContext, entry: Entry) {
	return addNewProduct(command, ProductInput.parse(entry.given));
}

async function change(command: CommandContext, before: Product, entry: Entry) {
	if (isSame(before, entry)) return ok(before);
	const { id, version } = before;
	return updateProduct(command, { key: '', id, version, ...entry.given });
}

function isSame(before: Product, { given }: Entry): boolean {
	return Object.entries(given).every(
		([field, value]) => JSON.stringify(before[field as keyof Product]) === JSON.stringify(value),
	);
}

function inputOf({ id: _, version: __, ...input }: Product) {
	return input;
}

/** Heads in any order and case; cells column by column. */
function readRows({ file, rows }: TableFile): Result<{ entries: Entry[]; refused: Refused[] }> {
	const heads = (rows[0] ?? []).map((head) =>
		head
			.replace(/^\uFEFF/, '')
			.trim()
			.toLowerCase(),
	);
	const missing = ['name', 'formulation'].filter((head) => !heads.includes(head));
	if (missing.length > 0) {
		return refuse('file.notTable', { file, why: `its first row has no column named ${missing.join(' and ')}` });
	}
	const strangers = heads.filter((head) => head !== '' && !productColumns.some((column) => column.head === head));
	if (strangers.length > 0) {
		const known = productColumns.map(({ head }) => head).join(', ');
		return refuse('file.notTable', {
			file,
			why: `nobody knows its column ${strangers.join(', ')}. There are: ${known}`,
		});
	}
	const entries: Entry[] = [];
	const refused: Refused[] = [];
	const seen = new Map<string, number>();
	for (const [index, cells] of rows.entries()) {
		if (index === 0 || cells.every((cell) => cell.trim() === '')) continue;
		const entry = readRow(index + 1, heads, cells, refused);
		if (!entry) continue;
		const twice = seen.get(keyOf(entry.given));
		if (twice === undefined) entries.push(entry);
		else refused.push({ row: entry.row, name: entry.name, column: 'name', reason: `stands in row ${twice} already` });
		seen.set(keyOf(entry.given), twice ?? entry.row);
	}
	return ok({ entries, refused });
}

function readRow(row: number, heads: readonly string[], cells: readonly string[], refused: Refused[]): Entry | null {
	const given: Record<string, unknown> = {};
	const name = plain(cells[heads.indexOf('name')]);
	const before = refused.length;
	for (const column of productColumns) {
		const at = heads.indexOf(column.head);
		const cell = at < 0 ? '' : plain(cells[at]);
		if (cell === '') continue;
		const value = column.read(cell);
		if (value === null)
			refused.push({ row, name, column: column.head, reason: `"${cell.slice(0, 60)}" ${column.must}` });
		else given[column.field] = column.field === 'formulation' ? String(value).toUpperCase() : value;
	}
	for (const head of ['name', 'formulation'] as const) {
		if (given[head] === undefined) refused.push({ row, name, column: head, reason: 'is empty' });
	}
	return refused.length > before ? null : { row, name, given };
}

/** The apostrophe that keeps a spreadsheet from taking a text for a formula is taken off again. */
function plain(cell: string | undefined): string {
	return (cell ?? '').trim().replace(/^'(?='*\s*[=+\-@])/, '');
}

function keyOf({ name, formulation }: { readonly name?: unknown; readonly formulation?: unknown }): string {
	return JSON.stringify([name, formulation]);
}

function issueOf(error: z.ZodError, { row, name }: Entry): Refused {
	const [issue] = error.issues;
	const field = String(issue?.path[0] ?? 'name');
	const column = productColumns.find((each) => each.field === field);
	const isMissing = issue?.code === 'invalid_type' && issue.path.length === 1;
	const reason = isMissing ? 'is empty' : (column?.must ?? issue?.message ?? 'is wrong');
	return { row, name, column: column?.head ?? field, reason };
}
