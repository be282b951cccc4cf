/** The attribute table of a shapefile (.dbf), read with its lengths checked first. Dates stay text: no clock, no time zone. */
import { isAscii } from 'node:buffer';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Attribute, AttributeKind, AttributeValue, FileWarning } from './layer.ts';
import { importLimits } from './limits.ts';
import { chooseEncoding, type Encoding, type LettersRead } from './text-encoding.ts';

export type DbfTable = {
	readonly rows: number;
	readonly encoding: string;
	readonly readings: readonly LettersRead[];
	readonly attributes: readonly Attribute[];
	readonly warnings: readonly FileWarning[];
	readonly row: (index: number) => { readonly deleted: boolean; readonly values: readonly AttributeValue[] };
};

type Column = { readonly rawName: Uint8Array; readonly type: string; readonly at: number; readonly length: number };

const DBASE_7 = 4;

/**
 * Opens a table. Source of the layout: dBASE III/IV file structure, as the shapefile literature describes it.
 * Refuses `file.damaged` where the header does not fit the file, before any row is read (85 bytes can claim 4 billion rows).
 */
export function openTable(
	file: string,
	bytes: Buffer,
	codePageFile: string | null,
	asked: string | undefined,
): Result<DbfTable> {
	const shape = readShape(bytes);
	if (typeof shape === 'string') return refuse('file.damaged', { file, why: shape });
	const { rows, headerBytes, rowBytes, columns } = shape;
	const cell = (row: number, { at, length }: Column) => {
		const start = headerBytes + row * rowBytes + at;
		return trimmed(bytes.subarray(start, start + length));
	};
	const textColumns = columns.filter(({ type }) => type === 'C');
	const texts = isAscii(bytes.subarray(headerBytes))
		? []
		: Array.from({ length: rows }, (_, row) => textColumns.map((column) => cell(row, column))).flat();
	const clues = {
		asked,
		codePageFile,
		languageDriver: bytes[29] ?? 0,
		texts: [...texts, ...columns.map(({ rawName }) => rawName)],
	};
	const { encoding, warning, readings } = chooseEncoding(clues);
	const names = uniqueNames(columns.map(({ rawName }) => encoding.decode(rawName).trim()));
	return ok({
		rows,
		encoding: encoding.name,
		readings,
		attributes: columns.map(({ type }, index) => ({ name: names[index] ?? '', kind: kindOf(type) })),
		warnings: warning ? [warning] : [],
		row: (index) => ({
			deleted: bytes[headerBytes + index * rowBytes] === 0x2a,
			values: columns.map((column) => readValue(column.type, cell(index, column), encoding)),
		}),
	});
}

function readShape(bytes: Buffer): { rows: number; headerBytes: number; rowBytes: number; columns: Column[] } | string {
	if (bytes.length < 33) return 'the attribute table (.dbf) is cut off';
	if (((bytes[0] ?? 0) & 7) === DBASE_7) return 'the attribute table (.dbf) is of a kind that is not read (dBASE 7)';
	const rows = bytes.readUInt32LE(4);
	const headerBytes = bytes.readUInt16LE(8);
	const rowBytes = bytes.readUInt16LE(10);
	if (headerBytes < 33 || headerBytes > bytes.length || rowBytes < 1)
		return 'the header of the attribute table (.dbf) is wrong';
	if (headerBytes + rows * rowBytes > bytes.length) {
		const room = Math.floor((bytes.length - headerBytes) / rowBytes);
		return `the attribute table (.dbf) says it has ${rows} rows, but only ${room} are there`;
	}
	const columns: Column[] = [];
	let place = 1;
	for (let at = 32; at + 32 <= headerBytes && bytes[at] !== 0x0d; at += 32) {
		const type = String.fromCharCode(bytes[at + 11] ?? 0).toUpperCase();
		// Text columns above 255 bytes keep the high byte where numbers keep their decimals.
		const length = type === 'C' ? bytes.readUInt16LE(at + 16) : (bytes[at + 16] ?? 0);
		columns.push({ rawName: untilZero(bytes.subarray(at, at + 11)), type, at: place, length });
		place += length;
	}
	if (columns.length > importLimits.attributes) return `the attribute table (.dbf) has ${columns.length} columns`;
	return place > rowBytes
		? 'the columns of the attribute table (.dbf) are longer than its rows'
		: { rows, headerBytes, rowBytes, columns };
}

function readValue(type: string, bytes: Buffer, encoding: Encoding): AttributeValue {
	if (type === 'C') {
		const text = encoding.decode(bytes);
		return text === '' ? null : text;
	}
	const text = bytes.toString('latin1').trim();
	if (type === 'N' || type === 'F') return readNumber(text);
	if (type === 'D')
		return /^\d{8}$/.test(text) && text !== '00000000' ? text.replace(/^(....)(..)(..)$/, '$1-$2-$3') : null;
	if (type === 'L') return /^[YyTt]$/.test(text) ? 'yes' : /^[NnFf]$/.test(text) ? 'no' : null;
	return null; // Memos and pictures stand in other files
}

/** Whole numbers too long for a number (register codes) stay text, so that no digit is lost. */
export function readNumber(text: string): AttributeValue {
	const plain = text.replace(',', '.');
	if (plain === '' || !/^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(plain)) return null;
	const figure = Number(plain);
	if (!Number.isFinite(figure)) return null;
	return /^[-+]?\d+$/.test(plain) && !Number.isSafeInteger(figure) ? plain : figure;
}

function kindOf(type: string): AttributeKind {
	if (type === 'N' || type === 'F') return 'number';
	return type === 'D' ? 'date' : 'text';
}

function trimmed(bytes: Buffer): Buffer {
	const zero = bytes.indexOf(0);
	let end = zero < 0 ? bytes.length : zero;
	while (end > 0 && bytes[end - 1] === 0x20) end--;
	return bytes.subarray(0, end);
}

function untilZero(bytes: Buffer): Buffer {
	const zero = bytes.indexOf(0);
	return zero < 0 ? bytes : bytes.subarray(0, zero);
}

/** Unnamed and repeated columns get a name of their own. */
export function uniqueNames(names: readonly string[]): string[] {
	const taken = new Set<string>();
	return names.map((name, index) => {
		const wanted = name === '' ? `column ${index + 1}` : name;
		let unique = wanted;
		for (let count = 2; taken.has(unique); count++) unique = `${wanted} (${count})`;
		taken.add(unique);
		return unique;
	});
}
