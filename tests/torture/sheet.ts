import { createHash } from 'node:crypto';
import { sha256Of } from '../../electron/files/document-file.ts';

const LINES = 512;

/** A document of 16 KB that only this key has; no two sectors of it are alike, so that one in the place of another shows. */
export function sheetOf(key: string): Buffer {
	const lines = Array.from({ length: LINES }, (_, line) => createHash('sha256').update(`${key} ${line}`).digest());
	return Buffer.concat([Buffer.from('%PDF-1.7\n'), ...lines, Buffer.from('\n%%EOF\n')]);
}

const sums = new Map<string, string>();

/** The check sum of a sheet; each is looked at thousands of times. */
export function sheetSumOf(key: string): string {
	const sum = sums.get(key) ?? sha256Of(sheetOf(key));
	sums.set(key, sum);
	return sum;
}
