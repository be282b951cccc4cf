/** What a file is, from its first bytes: names lie. */

export type FileKind = 'zip' | 'geopackage' | 'shapefile' | 'xml' | 'json' | 'empty' | { readonly other: string };

/** First bytes of files that get mistaken for boundaries. Source: the formats' own specifications; from memory. */
const signatures: readonly (readonly [readonly number[], string])[] = [
	[[0x25, 0x50, 0x44, 0x46], 'it is a PDF'],
	[[0x89, 0x50, 0x4e, 0x47], 'it is a picture (PNG)'],
	[[0xff, 0xd8, 0xff], 'it is a picture (JPEG)'],
	[[0x47, 0x49, 0x46, 0x38], 'it is a picture (GIF)'],
	[[0x49, 0x49, 0x2a, 0x00], 'it is a picture (TIFF)'],
	[[0x4d, 0x4d, 0x00, 0x2a], 'it is a picture (TIFF)'],
	[[0xd0, 0xcf, 0x11, 0xe0], 'it is an old office document or spreadsheet'],
	[[0x1f, 0x8b], 'it is a gzip archive: unpack it first'],
	[[0x37, 0x7a, 0xbc, 0xaf], 'it is a 7z archive: unpack it first'],
	[[0x52, 0x61, 0x72, 0x21], 'it is a RAR archive: unpack it first'],
	[[0x7f, 0x45, 0x4c, 0x46], 'it is a program'],
	[[0x4d, 0x5a], 'it is a program'],
];

const SHAPEFILE_CODE = 9994;

/** The kind of a file by its content. `head` is its first kilobyte or more. */
export function kindOfFile(head: Buffer): FileKind {
	if (head.length === 0) return 'empty';
	if (head.length >= 4 && head.readUInt32LE(0) === 0x04034b50) return 'zip';
	if (head.length >= 4 && head.readUInt32LE(0) === 0x06054b50) return { other: 'it is an empty archive' };
	if (head.subarray(0, 16).toString('latin1') === 'SQLite format 3\0') return 'geopackage';
	if (head.length >= 4 && head.readInt32BE(0) === SHAPEFILE_CODE) return 'shapefile';
	const known = signatures.find(([bytes]) => bytes.every((byte, index) => head[index] === byte));
	if (known) return { other: known[1] };
	const text = startOfText(head);
	if (text === null) return { other: 'it is not a kind of file that holds boundaries' };
	if (text.startsWith('<')) return 'xml';
	if (text.startsWith('{') || text.startsWith('[')) return 'json';
	const firstLine = text.split(/\r?\n/, 1)[0] ?? '';
	if (/^(PROJCS|GEOGCS|PROJCRS|GEOGCRS)\[/.test(text)) return { other: 'it describes a reference system only' };
	return {
		other: /[;,\t].*[;,\t]/.test(firstLine)
			? 'it is a table of text (such as CSV)'
			: text === ''
				? 'it is blank'
				: 'it is plain text',
	};
}

function startOfText(head: Buffer): string | null {
	const utf16 =
		head[0] === 0xff && head[1] === 0xfe ? 'utf-16le' : head[0] === 0xfe && head[1] === 0xff ? 'utf-16be' : null;
	const text = new TextDecoder(utf16 ?? 'windows-1252').decode(head.subarray(0, 1024)).replace(/^(ï»¿|\ufeff)/, '');
	// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters tell binary files from text
	return /[\u0000-\u0008\u000e-\u001f]/.test(text) ? null : text.trimStart();
}

/** What an archive is that holds no boundaries, by the names in it. */
export function kindOfArchive(names: readonly string[]): string {
	if (names.some((name) => /^(xl|word|ppt)\//.test(name))) return 'it is an office document or spreadsheet';
	if (names.some((name) => /^(content\.xml|META-INF\/manifest\.xml)$/.test(name)))
		return 'it is an office document or spreadsheet';
	if (names.some((name) => /\.(zip|kmz)$/i.test(name))) return 'it is an archive in an archive: unpack it first';
	return names.length === 0
		? 'the archive is empty'
		: 'the archive holds no shapefile, GeoJSON, KML, GeoPackage or TASKDATA.XML';
}
