import { expect, test } from 'vitest';
import { cellWords, lineBelow, paperColumns, rowsTogether, underWords } from '../../../renderer/paper/report-cells.ts';
import type { ReportColumn } from '../../../shared/contract/season.ts';

const columns: ReportColumn[] = [
	{ key: 'field', name: 'field', kind: 'text', once: true },
	{ key: 'crop', name: 'crop', kind: 'text', under: 'field', bare: true },
	{ key: 'product', name: 'product', kind: 'text' },
];
const rowsOf = (texts: readonly string[]) =>
	texts.map((text) => {
		const [field = '', crop = '', product = ''] = text.split(' ');
		return { field, crop, product };
	});

test('rows that agree in what is written once stand together, also in what stands under it', () => {
	const rows = rowsOf(['Heath wheat A', 'Heath wheat B', 'Heath beans C', 'Lays wheat D', 'Heath wheat E']);
	const together = rowsTogether(paperColumns({ columns, rows }), rows);
	expect(together.map((group) => group.map(({ product }) => product).join(''))).toEqual(['AB', 'C', 'D', 'E']);
});

test('a long group says its words again, so that no page is without them', () => {
	const rows = rowsOf(Array.from({ length: 30 }, (_, index) => `Heath wheat ${index}`));
	expect(rowsTogether(paperColumns({ columns, rows }), rows).map(({ length }) => length)).toEqual([6, 6, 6, 6, 6]);
});

test('without such columns every row stands for itself', () => {
	const rows = rowsOf(['Heath wheat A', 'Heath wheat A']);
	const plain = columns.map(({ once: _, ...column }) => column);
	expect(rowsTogether(paperColumns({ columns: plain, rows }), rows)).toHaveLength(2);
});

test('sizes stand without zeros that say nothing, amounts in a column keep theirs', () => {
	const size: ReportColumn = { key: 'size', name: 'size', kind: 'number', digits: 3, unitFrom: 'unit', plain: true };
	const words = (value: number, column = size) => cellWords(column, { size: value, unit: 'L' }).replace('\u00a0', ' ');
	expect([5, 0.25, 1000, 7.5].map((value) => words(value))).toEqual(['5 L', '0.25 L', '1,000 L', '7.5 L']);
	const { plain: _, ...amount } = size;
	expect([5, 0].map((value) => words(value, amount))).toEqual(['5.000 L', '0 L']);
});

test('under a cell stands the name of the figure, where the head does not say it', () => {
	const [, crop] = columns;
	if (!crop) throw new Error('no column');
	expect(underWords(crop, { crop: 'wheat' })).toBe('wheat');
	expect(underWords({ ...crop, bare: false }, { crop: 'wheat' })).toBe('crop wheat');
});

test('what is said below a row reaches to the next column that is written once, and splits no rows that stand together', () => {
	const wide: ReportColumn[] = [
		{ key: 'field', name: 'field', kind: 'text', once: true },
		{ key: 'product', name: 'product', kind: 'text' },
		{ key: 'assessed', name: 'assessed', kind: 'text', under: 'product', wide: true },
		{ key: 'dose', name: 'dose', kind: 'number' },
		{ key: 'reason', name: 'reason', kind: 'text', once: true },
		{ key: 'entry', name: 'entry', kind: 'number' },
	];
	const lines = [
		{ field: 'Rookery', product: 'A', assessed: 'a ditch', dose: 1, reason: 'rust', entry: 1 },
		{ field: 'Rookery', product: 'B', assessed: null, dose: 2, reason: 'rust', entry: 2 },
	];
	const columns = paperColumns({ columns: wide, rows: lines });
	expect(rowsTogether(columns, lines)).toHaveLength(1);
	expect(lineBelow(columns, lines[0] ?? {})).toMatchObject([
		{ key: 'product', span: 2, words: ['assessed a ditch'] },
		{ key: 'entry', span: 1, words: [] },
	]);
	expect(lineBelow(columns, lines[1] ?? {})).toBeNull();
});
