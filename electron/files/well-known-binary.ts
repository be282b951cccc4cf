/** Geometry blobs of GeoPackages: a header (OGC 12-128r19 §2.1.3) and well-known binary (OGC 06-103r4 §8). */
import type { RawPolygon, Ring } from './layer.ts';
import { importLimits } from './limits.ts';

/** Bytes of the envelope by its kind: none, xy, xyz, xym, xyzm. */
const ENVELOPE_BYTES = [0, 32, 48, 48, 64];
const POLYGON = 3;
const MULTI_POLYGON = 6;
const COLLECTION = 7;
const MULTI_SURFACE = 12;
const DEEPEST_COLLECTION = 8;

const kinds: Readonly<Record<number, string>> = {
	1: 'a point',
	2: 'a line',
	4: 'points',
	5: 'lines',
	8: 'a curve',
	10: 'an area with curved edges',
	15: 'a surface',
};

/** The polygons of a blob, or what is wrong with it. Heights and measures are left off. */
export function polygonsFromBlob(blob: Buffer): RawPolygon[] | string {
	if (blob.length < 8 || blob.toString('latin1', 0, 2) !== 'GP') return 'its boundary is not a GeoPackage geometry';
	const flags = blob[3] ?? 0;
	if (flags & 0x20) return 'its boundary is of an extended kind that is not read';
	if (flags & 0x10) return 'its boundary is empty';
	const envelope = ENVELOPE_BYTES[(flags >> 1) & 7];
	if (envelope === undefined) return 'its boundary has a damaged header';
	const reader: Reader = { bytes: blob, at: 8 + envelope, little: true };
	return readGeometry(reader, 0);
}

type Reader = { readonly bytes: Buffer; at: number; little: boolean };

function readGeometry(reader: Reader, depth: number): RawPolygon[] | string {
	if (depth > DEEPEST_COLLECTION || reader.at + 9 > reader.bytes.length) return 'its boundary is cut off';
	reader.little = reader.bytes[reader.at] === 1;
	reader.at += 1;
	const { type, dimensions, hasSrid } = readType(readCount(reader));
	if (hasSrid) reader.at += 4;
	if (reader.at + 4 > reader.bytes.length) return 'its boundary is cut off';
	if (type === POLYGON) {
		const polygon = readPolygon(reader, dimensions);
		return typeof polygon === 'string' ? polygon : polygon.length === 0 ? 'its boundary is empty' : [polygon];
	}
	if (type !== MULTI_POLYGON && type !== COLLECTION && type !== MULTI_SURFACE)
		return `it is not an area (${kinds[type] ?? `kind ${type}`})`;
	const parts = readCount(reader);
	if (parts > importLimits.ringsPerRecord)
		return `it claims ${parts} parts, at most ${importLimits.ringsPerRecord} are read`;
	const polygons: RawPolygon[] = [];
	for (let part = 0; part < parts; part++) {
		const read = readGeometry(reader, depth + 1);
		if (typeof read === 'string') return read;
		polygons.push(...read);
	}
	return polygons.length === 0 ? 'its boundary is empty' : polygons;
}

/** ISO types add 1000 for Z and 2000 for M; the older extended kind sets high bits instead. */
function readType(code: number): { type: number; dimensions: number; hasSrid: boolean } {
	const plain = code & 0x0fffffff;
	const group = Math.floor(plain / 1000);
	const z = (code & 0x80000000) !== 0 || group === 1 || group === 3;
	const m = (code & 0x40000000) !== 0 || group === 2 || group === 3;
	return { type: plain % 1000, dimensions: 2 + Number(z) + Number(m), hasSrid: (code & 0x20000000) !== 0 };
}

function readPolygon(reader: Reader, dimensions: number): RawPolygon | string {
	const rings = readCount(reader);
	if (rings > importLimits.ringsPerRecord)
		return `it claims ${rings} rings, at most ${importLimits.ringsPerRecord} are read`;
	const polygon: Ring[] = [];
	for (let index = 0; index < rings; index++) {
		if (reader.at + 4 > reader.bytes.length) return 'its boundary is cut off';
		const points = readCount(reader);
		if (reader.at + points * dimensions * 8 > reader.bytes.length)
			return `it claims ${points} points, more than it has room for`;
		const ring = new Float64Array(points * 2);
		for (let point = 0; point < points; point++) {
			ring[point * 2] = readDouble(reader, reader.at);
			ring[point * 2 + 1] = readDouble(reader, reader.at + 8);
			reader.at += dimensions * 8;
		}
		polygon.push(ring);
	}
	return polygon;
}

function readCount(reader: Reader): number {
	const { bytes, at, little } = reader;
	reader.at += 4;
	return little ? bytes.readUInt32LE(at) : bytes.readUInt32BE(at);
}

function readDouble({ bytes, little }: Reader, at: number): number {
	return little ? bytes.readDoubleLE(at) : bytes.readDoubleBE(at);
}
