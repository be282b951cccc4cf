/** A small table somebody filled in, as the importing procedure sees it. Every cell comes as text. */
import { basename } from 'node:path';
import { ok, type Result } from '../../shared/basics/result.ts';
import { startForked } from '../reader/forked-process.ts';
import { readerLimits, startTableReader } from '../reader/start-reader.ts';
import type { ReadingHost } from './boundary-file.ts';

export type TableFile = { readonly file: string; readonly rows: readonly (readonly string[])[] };

/** Reads CSV or the first sheet of an XLSX workbook in a process of its own, which is ended when it takes too long or too much. */
export async function readTableFile(
	path: string,
	{ startProcess = startForked, limits = readerLimits }: ReadingHost = {},
): Promise<Result<TableFile>> {
	const rows = await startTableReader(path, startProcess, limits);
	return rows.ok ? ok({ file: basename(path), rows: rows.value }) : rows;
}
