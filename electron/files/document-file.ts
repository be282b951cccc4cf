/** Takes a document somebody hands over: a PDF or a picture, told by its content, never by its name. Nothing in it is run. */
import { createHash } from 'node:crypto';
import { closeSync, openSync, readFileSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { inMegabytes } from './limits.ts';

export const documentTypes = ['pdf', 'png', 'jpeg'] as const;
export type DocumentType = (typeof documentTypes)[number];

export type DocumentFile = {
	readonly name: string;
	readonly type: DocumentType;
	readonly sha256: string;
	readonly content: Buffer;
};

/** Labels and data sheets have 0.1 to 5 MB; a photograph of a label up to 10. Common practice. */
export const MOST_DOCUMENT_BYTES = 16 * 1024 * 1024;

/** Refuses `file.missing`, `file.tooBig`, `document.unknown` for anything but a whole PDF, PNG or JPEG. */
export function readDocumentFile(path: string): Result<DocumentFile> {
	const name = basename(path);
	const content = contentOf(path, name);
	if (!content.ok) return content;
	const type = documentType(content.value);
	if (type === null) return refuse('document.unknown', { file: name, why: 'it does not begin like one' });
	if (!isWhole(content.value, type)) return refuse('document.unknown', { file: name, why: `the ${type} is cut off` });
	return ok({ name, type, sha256: sha256Of(content.value), content: content.value });
}

export function sha256Of(content: Uint8Array): string {
	return createHash('sha256').update(content).digest('hex');
}

function contentOf(path: string, file: string): Result<Buffer> {
	let handle: number | null = null;
	try {
		if (!statSync(path).isFile()) return refuse('file.missing', { file });
		handle = openSync(path, 'r');
		const { size } = statSync(path);
		if (size > MOST_DOCUMENT_BYTES) {
			const why = `it has ${inMegabytes(size)}, at most ${inMegabytes(MOST_DOCUMENT_BYTES)} are kept`;
			return refuse('file.tooBig', { file, why });
		}
		return ok(readFileSync(handle));
	} catch {
		return refuse('file.missing', { file });
	} finally {
		if (handle !== null) closeSync(handle);
	}
}

const PDF = Buffer.from('%PDF-');
const PNG = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const JPEG = Buffer.from([0xff, 0xd8, 0xff]);

/** First bytes: ISO 32000-1 §7.5.2 (PDF), ISO/IEC 15948 §5.2 (PNG), ITU-T T.81 annex B (JPEG: SOI and the next marker). */
export function documentType(content: Uint8Array): DocumentType | null {
	const begins = (mark: Buffer) => mark.equals(content.subarray(0, mark.length));
	if (begins(PDF)) return 'pdf';
	if (begins(PNG)) return 'png';
	return begins(JPEG) ? 'jpeg' : null;
}

/** The mark each of them ends with, not far before the last byte: %%EOF, IEND, EOI. */
function isWhole(content: Buffer, type: DocumentType): boolean {
	const end = { pdf: Buffer.from('%%EOF'), png: Buffer.from('IEND'), jpeg: Buffer.from([0xff, 0xd9]) }[type];
	// Writers leave blank lines after %%EOF, cameras their own blocks after EOI.
	const reach = { pdf: 1024, png: 1024, jpeg: 64 * 1024 }[type];
	return content.lastIndexOf(end) >= Math.max(0, content.length - reach);
}
