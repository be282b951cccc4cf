/** Well-known text of a reference system (WKT 1, as .prj files and GeoPackages carry it) as a tree. */

export type WktNode = { readonly keyword: string; readonly values: readonly (string | number | WktNode)[] };

/** A .prj of a projected system has about 600 characters; anything far longer is something else. */
const LONGEST_TEXT = 20_000;
const DEEPEST_NESTING = 12;

/**
 * Reads WKT such as `GEOGCS["WGS 84",DATUM["WGS_1984",…],…]`.
 * Gives null where the text is not WKT: no keyword with brackets, an unclosed bracket, or text after the end.
 */
export function parseWkt(text: string): WktNode | null {
	if (text.length > LONGEST_TEXT) return null;
	const tokens = text.match(
		/"(?:[^"]|"")*"|[A-Za-z_][A-Za-z0-9_]*|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?|[[\](),]|\S/g,
	);
	if (!tokens) return null;
	const reader = { tokens, at: 0 };
	const node = readNode(reader, 0);
	return node && reader.at === tokens.length ? node : null;
}

/** The first child with one of these keywords. */
export function child(node: WktNode, ...keywords: string[]): WktNode | null {
	for (const value of node.values) if (typeof value === 'object' && keywords.includes(value.keyword)) return value;
	return null;
}

/** All children with this keyword. */
export function children(node: WktNode, keyword: string): WktNode[] {
	return node.values.filter((value): value is WktNode => typeof value === 'object' && value.keyword === keyword);
}

/** The node's first text: its name. */
export function nameOf(node: WktNode): string {
	const first = node.values[0];
	return typeof first === 'string' ? first : '';
}

/** The node's n-th figure, counted from 0, or null. */
export function figureOf(node: WktNode | null, index = 0): number | null {
	const figures = (node?.values ?? []).filter((value) => typeof value === 'number');
	return figures[index] ?? null;
}

type Reader = { readonly tokens: readonly string[]; at: number };

function readNode(reader: Reader, depth: number): WktNode | null {
	const keyword = reader.tokens[reader.at] ?? '';
	const bracket = reader.tokens[reader.at + 1];
	if (depth > DEEPEST_NESTING || !/^[A-Za-z_]/.test(keyword) || (bracket !== '[' && bracket !== '(')) return null;
	reader.at += 2;
	const values: (string | number | WktNode)[] = [];
	for (;;) {
		const value = readValue(reader, depth);
		if (value === null) return null;
		values.push(value);
		const next = reader.tokens[reader.at++];
		if (next === ']' || next === ')') return { keyword: keyword.toUpperCase(), values };
		if (next !== ',') return null;
	}
}

function readValue(reader: Reader, depth: number): string | number | WktNode | null {
	const token = reader.tokens[reader.at] ?? '';
	if (token.startsWith('"') && token.endsWith('"') && token.length > 1) {
		reader.at++;
		return token.slice(1, -1).replaceAll('""', '"');
	}
	if (/^[-+.\d]/.test(token)) {
		reader.at++;
		const figure = Number(token);
		return Number.isFinite(figure) ? figure : null;
	}
	if (!/^[A-Za-z_]/.test(token)) return null;
	const bracket = reader.tokens[reader.at + 1];
	if (bracket === '[' || bracket === '(') return readNode(reader, depth + 1);
	reader.at++;
	return token; // A bare word, such as the NORTH of AXIS["Northing",NORTH]
}
