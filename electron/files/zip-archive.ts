/** Reads files out of a zip archive in memory. Nothing is ever written to disk; every length is checked before it is used. */
import { crc32, inflateRawSync } from 'node:zlib';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { importLimits, inMegabytes } from './limits.ts';
import { decodeOem } from './text-encoding.ts';

export type ZipEntry = {
	readonly name: string;
	readonly method: number;
	readonly crc: number;
	readonly compressedBytes: number;
	readonly bytes: number;
	readonly headerAt: number;
	readonly encrypted: boolean;
};

export type ZipArchive = {
	readonly file: string;
	readonly bytes: Buffer;
	readonly entries: readonly ZipEntry[];
	/** Names that point outside the archive; such entries are left alone. */
	readonly ignored: readonly string[];
};

const END_RECORD = 0x06054b50;
const END_RECORD_64 = 0x06064b50;
const END_LOCATOR_64 = 0x07064b50;
const DIRECTORY_RECORD = 0x02014b50;
const LOCAL_RECORD = 0x04034b50;
const STORED = 0;
const DEFLATED = 8;

/**
 * The archive's directory. Source of the layout: PKWARE APPNOTE 6.3.
 * Refuses `file.damaged` for anything that contradicts itself (short, overlapping, two entries of one name), `file.tooBig`
 * above the limits, `file.encrypted`.
 */
export function openArchive(file: string, bytes: Buffer): Result<ZipArchive> {
	if (bytes.length > importLimits.archiveBytes) {
		return refuse('file.tooBig', {
			file,
			why: `the archive has ${inMegabytes(bytes.length)}, at most ${inMegabytes(importLimits.archiveBytes)} are read`,
		});
	}
	const end = findEnd(bytes);
	if (!end) return damaged(file, 'the directory at the end of the archive is missing');
	if (end.entries > importLimits.archiveEntries) {
		return refuse('file.tooBig', {
			file,
			why: `it holds ${end.entries} files, at most ${importLimits.archiveEntries} are read`,
		});
	}
	const entries: ZipEntry[] = [];
	let at = end.directoryAt;
	for (let index = 0; index < end.entries; index++) {
		const entry = readDirectoryRecord(bytes, at);
		if (typeof entry === 'string') return damaged(file, entry);
		entries.push(entry.entry);
		at = entry.next;
	}
	const contradiction = contradictionIn(entries, end.directoryAt);
	if (contradiction) return damaged(file, contradiction);
	if (entries.some(({ encrypted }) => encrypted)) return refuse('file.encrypted', { file });
	const files = entries.filter(({ name }) => !name.endsWith('/'));
	return ok({
		file,
		bytes,
		entries: files.filter(({ name }) => isSafe(name)),
		ignored: files.map(({ name }) => name).filter((name) => !isSafe(name)),
	});
}

/** The content of one entry. `alreadyRead` counts the bytes taken from this archive so far. */
export function readEntry(archive: ZipArchive, entry: ZipEntry, alreadyRead: number): Result<Buffer> {
	const { file, bytes } = archive;
	const limit = Math.min(importLimits.entryBytes, importLimits.totalBytes - alreadyRead);
	if (entry.bytes > limit) {
		return refuse('file.tooBig', {
			file,
			why: `${entry.name} would unpack to ${inMegabytes(entry.bytes)}, at most ${inMegabytes(limit)} are read`,
		});
	}
	const isGeometry = /\.(shp|shx|prj)$/i.test(entry.name);
	if (isGeometry && entry.bytes > entry.compressedBytes * importLimits.geometryRatio + 1024) {
		return refuse('file.tooBig', {
			file,
			why: `${entry.name} unpacks to more than ${importLimits.geometryRatio} times its size`,
		});
	}
	const dataAt =
		entry.headerAt + 30 + bytes.readUInt16LE(entry.headerAt + 26) + bytes.readUInt16LE(entry.headerAt + 28);
	const packed = bytes.subarray(dataAt, dataAt + entry.compressedBytes);
	if (packed.length !== entry.compressedBytes) return damaged(file, `${entry.name} is cut off`);
	if (entry.method !== STORED && entry.method !== DEFLATED)
		return damaged(file, `${entry.name} is packed by an unknown method`);
	const content = entry.method === STORED ? packed : inflate(packed, entry.bytes);
	if (content === 'broken') return damaged(file, `${entry.name} cannot be unpacked`);
	if (content === 'longer' || content.length !== entry.bytes)
		return damaged(file, `${entry.name} is not as long as the directory says`);
	if (crc32(content) !== entry.crc) return damaged(file, `${entry.name} fails its check sum`);
	return ok(content);
}

function inflate(packed: Buffer, bytes: number): Buffer | 'longer' | 'broken' {
	try {
		return inflateRawSync(packed, { maxOutputLength: Math.max(1, bytes) });
	} catch (error) {
		return error instanceof RangeError ? 'longer' : 'broken';
	}
}

function findEnd(bytes: Buffer): { entries: number; directoryAt: number } | null {
	// The end record is followed by a comment of at most 65 535 bytes.
	for (let at = bytes.length - 22; at >= Math.max(0, bytes.length - 22 - 65_535); at--) {
		if (bytes.readUInt32LE(at) !== END_RECORD || at + 22 + bytes.readUInt16LE(at + 20) > bytes.length) continue;
		const entries = bytes.readUInt16LE(at + 10);
		const directoryAt = bytes.readUInt32LE(at + 16);
		const end = entries === 0xffff || directoryAt === 0xffffffff ? findEnd64(bytes, at) : { entries, directoryAt };
		return end && end.directoryAt <= at ? end : null;
	}
	return null;
}

function findEnd64(bytes: Buffer, endAt: number): { entries: number; directoryAt: number } | null {
	const locatorAt = endAt - 20;
	if (locatorAt < 0 || bytes.readUInt32LE(locatorAt) !== END_LOCATOR_64) return null;
	const at = Number(bytes.readBigUInt64LE(locatorAt + 8));
	if (!(at + 56 <= locatorAt) || bytes.readUInt32LE(at) !== END_RECORD_64) return null;
	return { entries: Number(bytes.readBigUInt64LE(at + 32)), directoryAt: Number(bytes.readBigUInt64LE(at + 48)) };
}

function readDirectoryRecord(bytes: Buffer, at: number): { entry: ZipEntry; next: number } | string {
	if (at + 46 > bytes.length || bytes.readUInt32LE(at) !== DIRECTORY_RECORD)
		return 'the directory of the archive is cut off';
	const flags = bytes.readUInt16LE(at + 8);
	const nameBytes = bytes.readUInt16LE(at + 28);
	const extraBytes = bytes.readUInt16LE(at + 30);
	const next = at + 46 + nameBytes + extraBytes + bytes.readUInt16LE(at + 32);
	if (next > bytes.length) return 'the directory of the archive is cut off';
	const rawName = bytes.subarray(at + 46, at + 46 + nameBytes);
	const name = readName(rawName, (flags & 0x800) !== 0);
	if (name === null) return 'a file name in the archive is not text';
	const sizes = readSizes(bytes, at, bytes.subarray(at + 46 + nameBytes, at + 46 + nameBytes + extraBytes));
	if (!sizes) return `the sizes of ${name} are missing`;
	const { headerAt } = sizes;
	if (headerAt + 30 > bytes.length || bytes.readUInt32LE(headerAt) !== LOCAL_RECORD)
		return `${name} is not where the directory says`;
	const localName = bytes.subarray(headerAt + 30, headerAt + 30 + bytes.readUInt16LE(headerAt + 26));
	if (!localName.equals(rawName)) return `${name} has another name inside the archive`;
	const entry = {
		name,
		method: bytes.readUInt16LE(at + 10),
		crc: bytes.readUInt32LE(at + 16),
		...sizes,
		encrypted: (flags & 1) !== 0,
	};
	return { entry, next };
}

/** Sizes and place of an entry; where a 32-bit field is full, the ZIP64 extra field (id 1) holds the true figure. */
function readSizes(
	bytes: Buffer,
	at: number,
	extra: Buffer,
): Pick<ZipEntry, 'compressedBytes' | 'bytes' | 'headerAt'> | null {
	const short = {
		bytes: bytes.readUInt32LE(at + 24),
		compressedBytes: bytes.readUInt32LE(at + 20),
		headerAt: bytes.readUInt32LE(at + 42),
	};
	if (!Object.values(short).includes(0xffffffff)) return short;
	for (let field = 0; field + 4 <= extra.length; field += 4 + extra.readUInt16LE(field + 2)) {
		if (extra.readUInt16LE(field) !== 1) continue;
		let place = field + 4;
		const figures = { ...short };
		for (const key of ['bytes', 'compressedBytes', 'headerAt'] as const) {
			if (short[key] !== 0xffffffff) continue;
			if (place + 8 > extra.length) return null;
			figures[key] = Number(extra.readBigUInt64LE(place));
			place += 8;
		}
		return figures;
	}
	return null;
}

function readName(raw: Buffer, isUtf8: boolean): string | null {
	if (raw.length === 0 || raw.length > importLimits.nameBytes) return null;
	const name = decodeName(raw, isUtf8).replaceAll('\\', '/');
	// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
	return /[\u0000-\u001f\u007f]/.test(name) ? null : name;
}

function decodeName(raw: Buffer, isUtf8: boolean): string {
	try {
		return new TextDecoder('utf-8', { fatal: true }).decode(raw);
	} catch {
		// Without the UTF-8 flag, names are in the code page of the first PCs (APPNOTE appendix D).
		return isUtf8 ? '\0' : decodeOem('cp437', raw);
	}
}

function contradictionIn(entries: readonly ZipEntry[], directoryAt: number): string | null {
	const names = new Set<string>();
	for (const { name } of entries) {
		if (names.has(name.toLowerCase())) return `it holds two files named ${name}`;
		names.add(name.toLowerCase());
	}
	const inOrder = entries.toSorted((a, b) => a.headerAt - b.headerAt);
	for (const [index, { name, headerAt, compressedBytes }] of inOrder.entries()) {
		const limit = inOrder[index + 1]?.headerAt ?? directoryAt;
		if (headerAt + 30 + compressedBytes > limit) return `${name} overlaps another file of the archive`;
	}
	return null;
}

function isSafe(name: string): boolean {
	return !name.startsWith('/') && !/^[A-Za-z]:/.test(name) && !name.split('/').includes('..');
}

function damaged(file: string, why: string): ReturnType<typeof refuse> {
	return refuse('file.damaged', { file, why });
}
