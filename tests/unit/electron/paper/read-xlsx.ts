import { strFromU8, unzipSync } from 'fflate';
import { SaxesParser } from 'saxes';

/** A cell as the file holds it: its type, its value, and its number format. */
export type ReadCell = { readonly type: 'text' | 'number' | 'empty'; readonly value: string | number | null };
export type ReadSheet = { readonly name: string; readonly rows: ReadCell[][] };

type Element = { name: string; attributes: Record<string, string>; text: string };

/** Reads a workbook from its parts (ECMA-376), without the library that wrote it; refuses one that holds a formula. */
export function readXlsx(bytes: Uint8Array): ReadSheet[] {
	const parts = unzipSync(bytes);
	const part = (name: string) => strFromU8(parts[name] ?? new Uint8Array());
	const names = elements(part('xl/workbook.xml'), 'sheet').map(({ attributes }) => attributes['name'] ?? '');
	const shared = parts['xl/sharedStrings.xml']
		? elements(part('xl/sharedStrings.xml'), 'si').map(({ text }) => text)
		: [];
	return names.map((name, index) => {
		const xml = part(`xl/worksheets/sheet${index + 1}.xml`);
		if (elements(xml, 'f').length > 0) throw new Error('the workbook holds a formula');
		return { name, rows: rowsOf(xml, shared) };
	});
}

function rowsOf(xml: string, shared: readonly string[]): ReadCell[][] {
	const rows: ReadCell[][] = [];
	for (const { attributes, text } of elements(xml, 'c')) {
		const [, letters = '', number = '0'] = /^([A-Z]+)(\d+)$/.exec(attributes['r'] ?? '') ?? [];
		const row = rows[Number(number) - 1] ?? [];
		rows[Number(number) - 1] = row;
		const column = [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1;
		row[column] = cellOf(attributes['t'], text, shared);
	}
	return rows;
}

function cellOf(type: string | undefined, text: string, shared: readonly string[]): ReadCell {
	if (type === 's') return { type: 'text', value: shared[Number(text)] ?? null };
	if (type === 'inlineStr' || type === 'str') return { type: 'text', value: text };
	return text === '' ? { type: 'empty', value: null } : { type: 'number', value: Number(text) };
}

/** Every element of that name with all text inside it. Throws where the XML is not well-formed. */
function elements(xml: string, wanted: string): Element[] {
	const parser = new SaxesParser();
	const found: Element[] = [];
	const open: Element[] = [];
	parser.on('error', (error) => {
		throw error;
	});
	parser.on('opentag', ({ name, attributes }) => {
		if (name === wanted) open.push({ name, attributes: attributes as Record<string, string>, text: '' });
	});
	parser.on('text', (text) => {
		for (const element of open) element.text += text;
	});
	parser.on('closetag', ({ name }) => {
		if (name === wanted) found.push(open.pop() ?? { name, attributes: {}, text: '' });
	});
	parser.write(xml).close();
	return found;
}
